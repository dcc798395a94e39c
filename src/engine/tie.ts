/** Lines that miss each other a little over a seam are bent on both panels, so that one line flows over it. */
import type { Problem } from '../job/problem.ts'
import type { Job } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Side } from '../scheme/side.ts'
import type { PanelEdge } from './edges.ts'
import type { PanelResult } from './panelResult.ts'
import type { EdgeHit } from './seamLines.ts'
import { bentEdge, type PlaceToBend, reaching, type TiedEnd } from './tieBend.ts'
import { DEG, type Half, handed, type Meeting, meetingsOf } from './tieMeeting.ts'
import { type RunIn, runIn } from './tieRunIn.ts'
import { type Given, shareMisses } from './tieShares.ts'
import { refusal, seenProblem } from './tieWords.ts'

/** What one panel gave where a line of it was tied. */
export interface TieGift {
	/** along the seam, the way it counts, mm */
	readonly alongMm: number
	/** anticlockwise as one looks at the panel */
	readonly turnDeg: number
	/** square off the line, and which way */
	readonly movedMm: number
	readonly way: string
	/** which end of the line this is; none of a closed one */
	readonly end: 'front' | 'rear' | undefined
	/** length over which the line was bent; 0 where it stays as it was */
	readonly overMm: number
}

/** One line at a tied seam: first the panel that declares the seam. */
export interface TiedMeeting {
	/** JSON pointer to the pair of lines */
	readonly path: string
	readonly sides: readonly [Side, Side]
	/** where it came to the seam before it was tied */
	readonly alongMm: readonly [number, number]
	readonly stepMm: number
	readonly kinkDeg: number
	readonly gave: readonly [TieGift, TieGift]
}

/** The lines of a panel as its tied seams have them. */
export interface PanelTie {
	readonly edges: readonly PanelEdge[]
	/** all that they follow from beside the panel itself */
	readonly of: readonly unknown[]
}

export interface Ties {
	readonly panels: ReadonlyMap<string, PanelTie>
	readonly meetings: readonly TiedMeeting[]
	readonly problems: readonly Problem[]
}

/** Places of a line nearer than this on its two sides are one, mirrored, mm. */
const ONE_PLACE_MM = 5

/** Panels with a tied seam: their own or one that another panel declares. */
export function tiedPanels(job: Job): ReadonlySet<string> {
	return new Set(job.panels.flatMap(({ id, seams }) => (seams ?? []).flatMap((seam) => (seam.tie ? [id, seam.with] : []))))
}

export function tieSeams(job: Job, shop: Shop, results: readonly PanelResult[], toleranceMm: number): Ties {
	const problems: Problem[] = []
	const all = results.flatMap((own, index) =>
		(own.panel.seams ?? []).flatMap((input, k) => {
			const theirs = results.find(({ id }) => id === input.with)
			if (!input.tie || !own.lines || !theirs?.lines) return []
			return meetingsOf(job, own, theirs, input, `/panels/${index}/seams/${k}`, problems)
		}),
	)
	let meetings = onePlace(all)
	for (;;) {
		const { made, refused } = attempt(shop, meetings, toleranceMm)
		if (refused.length === 0) {
			problems.push(...made.problems)
			return { ...made, problems }
		}
		// What hangs together by mirrored sides is refused together; the rest is shared anew without it.
		problems.push(...refused.map(({ problem }) => problem))
		const without = new Set(refused.flatMap((each) => each.meetings))
		meetings = meetings.filter((meeting) => !without.has(meeting))
	}
}

interface Attempt {
	readonly made: Ties
	readonly refused: readonly { readonly meetings: readonly Meeting[]; readonly problem: Problem }[]
}

function attempt(shop: Shop, meetings: readonly Meeting[], toleranceMm: number): Attempt {
	const given = shareMisses(meetings.map(({ miss }) => miss))
	const mostBend = Math.max(0, ...shop.tapes.map(({ width, edgeStrain }) => (2 * edgeStrain) / width))
	const problems: Problem[] = []
	const refused: { meetings: readonly Meeting[]; problem: Problem }[] = []
	const overOf = new Map<string, number>()
	const panels = new Map<string, PanelTie>()
	const halves = meetings.flatMap((meeting): Half[] => [
		{ meeting, half: 0 },
		{ meeting, half: 1 },
	])
	for (const of of new Set(halves.map(({ meeting, half }) => meeting.of[half]))) {
		const own = halves.filter(({ meeting, half }) => meeting.of[half] === of)
		const edges = (of.lines?.edges ?? []).map((edge, fit) => {
			const here = own.filter(({ meeting, half }) => meeting.hits[half].fit === fit)
			if (here.length === 0) return edge
			const names = new Set(here.map(({ meeting, half }) => meeting.miss.parts[half].place))
			const places = [...names].map(
				(place) => [place, here.filter(({ meeting, half }) => meeting.miss.parts[half].place === place)] as const,
			)
			const ends = places.map(([place, [first]]) => tiedEnd(first as Half, given.get(place) as Given))
			const { edge: reached, frontMm } = reaching(of, edge, ends, toleranceMm)
			const bends = places.flatMap(([place, group], i): PlaceToBend[] => {
				const end = ends[i] as TiedEnd
				const { moveMm, turn } = given.get(place) as Given
				if (Math.abs(moveMm) < LEAST_MM && Math.abs(turn) < LEAST_RAD) return []
				const l = end.hit.lineMm + frontMm
				const slope = Math.tan(turn)
				const { input } = (group[0] as Half).meeting
				const run: RunIn = runIn({
					...{ chart: of.shape!.now[0]!.chart, fitted: reached.fitted, l, inward: end.inward, moveMm, slope },
					others: ends.flatMap((other) => (other === end ? [] : [other.hit.lineMm + frontMm])),
					...(input.tie?.over === undefined ? {} : { overMm: input.tie.over }),
					kink: shop.tolerances.kinkDeg * DEG,
					mostBend,
				})
				if ('why' in run) {
					refused.push({ meetings: group.map((one) => one.meeting), problem: refusal(group[0] as Half, moveMm, run) })
					return []
				}
				overOf.set(place, run.insideMm)
				if (run.turn > shop.tolerances.kinkDeg * DEG) problems.push(seenProblem(group[0] as Half, run.turn / DEG, run.insideMm))
				return [{ bend: { l, moveMm, slope, overMm: run.overMm }, end }]
			})
			return bentEdge(of, reached, bends, toleranceMm)
		})
		const key = own.map(({ meeting, half }) => {
			const { place } = meeting.miss.parts[half]
			const { fit, lineMm } = meeting.hits[half]
			return [fit, lineMm, given.get(place), overOf.get(place)]
		})
		panels.set(of.id, { edges, of: key })
	}
	const tied = meetings.map((meeting) => told(meeting, given, overOf))
	return { made: { panels, meetings: tied, problems }, refused }
}

/** Less than a line's cubics are fitted to. */
const LEAST_MM = 1e-3
const LEAST_RAD = 1e-5

/** The same name for a place of a line and its mirror image. */
function onePlace(meetings: readonly Meeting[]): Meeting[] {
	const known: { readonly of: string; readonly fit: number; readonly l: number; readonly place: string }[] = []
	const named = (of: PanelResult, { fit, lineMm }: EdgeHit) => {
		const near = known.find((each) => each.of === of.id && each.fit === fit && Math.abs(each.l - lineMm) < ONE_PLACE_MM)
		if (near) return near.place
		const place = `${of.id}/${fit}/${known.length}`
		known.push({ of: of.id, fit, l: lineMm, place })
		return place
	}
	return meetings.map((meeting) => {
		const { parts } = meeting.miss
		const part = (half: 0 | 1) => ({ ...parts[half], place: named(meeting.of[half], meeting.hits[half]) })
		return { ...meeting, miss: { ...meeting.miss, parts: [part(0), part(1)] } }
	})
}

function tiedEnd({ meeting, half }: Half, { moveMm, turn }: Given): TiedEnd {
	const { met, hits, miss } = meeting
	const hit = hits[half]
	const part = miss.parts[half]
	const alongByMove = part.alongByMove / (half === 0 ? 1 : met.stretch)
	return {
		...{ hit, half: met.halves[half], seam: met.seams[half], inward: meeting.inward[half] },
		...{ alongByMove, angleByTurn: part.angleByTurn },
		alongMm: hit.alongMm + moveMm * alongByMove,
		angle: hit.angle + turn * part.angleByTurn,
	}
}

function told(meeting: Meeting, given: ReadonlyMap<string, Given>, overOf: ReadonlyMap<string, number>): TiedMeeting {
	const { path, hits, miss } = meeting
	const gift = (half: 0 | 1): TieGift => {
		const { place, angleByTurn } = miss.parts[half]
		const { moveMm, turn } = given.get(place) as Given
		const [of, hit, inward] = [meeting.of[half], hits[half], meeting.inward[half]]
		const overMm = overOf.get(place) ?? 0
		const { fold } = handed(of, hit, meeting.met, half)
		const closed = of.lines?.edges[hit.fit]?.fitted.curve.closed
		return {
			alongMm: overMm === 0 ? 0 : tiedEnd({ meeting, half }, { moveMm, turn }).alongMm - hit.alongMm,
			turnDeg: overMm === 0 ? 0 : (turn * angleByTurn) / DEG,
			movedMm: overMm === 0 ? 0 : Math.abs(moveMm),
			way: wayOf(of, hit, fold * Math.sign(moveMm)),
			end: closed ? undefined : inward === 1 ? 'front' : 'rear',
			overMm,
		}
	}
	return {
		...{ path, sides: [hits[0].side, hits[1].side], alongMm: [hits[0].alongMm, hits[1].alongMm] },
		...{ stepMm: Math.abs(miss.alongMm), kinkDeg: Math.abs(miss.angle) / DEG },
		gave: [gift(0), gift(1)],
	}
}

/** In the words of the bench: which way a line moves that goes to its plus side (1) or the other (-1). */
function wayOf({ panel }: PanelResult, { turn, seamAngle, at, side }: EdgeHit, sign: number): string {
	const angle = seamAngle + turn
	const [ds, dg] = [-sign * Math.sin(angle), sign * Math.cos(angle)]
	if (Math.abs(ds) > Math.abs(dg)) return ds > 0 ? 'rearward' : 'forward'
	if (panel.hand !== 'centre') return dg > 0 ? 'up' : 'down'
	if (side === 'both') return dg > 0 ? 'to the right' : 'to the left'
	return dg * at.g > 0 ? 'outward' : 'inward'
}
