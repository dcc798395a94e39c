/** The tape of one stage: runs along its lines, knife masks where no tape follows. */
import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import { endOf, frame, part, reversed, startOf } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { measure } from '../chart/measure.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Shop, Tape } from '../job/shop.ts'
import { ledOn } from '../line/lead.ts'
import type { Region } from '../plane/point.ts'
import { areaOf, intersectSmall, subtractFrom, union } from '../plane/region.ts'
import { partFinder } from '../stages/finder.ts'
import type { Part, Seen, Stage, StageEdge } from '../stages/parts.ts'
import { strip } from '../stages/strip.ts'
import { type Look, looksAlong, type Smooth, smoothStretches, strainOf } from './along.ts'
import { type Chosen, chooseTape } from './choose.ts'
import { isMirrored, mirroredLaid, mirrorOf } from './mirror.ts'
import type { Laid, LaidKnife, LaidRun, RunEnd, TapeRun } from './run.ts'
import { stripesOf } from './stripes.ts'

/** What the lines of one stage are laid with. */
export interface LayInput {
	readonly seen: Seen
	readonly stage: Stage
	readonly shop: Shop
}

/** Room is found to a little less than this, mm: tape as wide as the room fits. */
const FITS_MM = 0.08
/** A lap's tape has so much of itself on what is covered at least, mm: its inner side is hidden, the rest may go on over anything. */
const LAP_NEEDS_MM = 1
/** Width of a knife mask along a painted line, where there is room, mm. */
const KNIFE_MM = 10
/** A knife mask laps the tape that goes on from it, mm (common practice, no source: joints lap 3 to 6). */
const KNIFE_LAP_MM = 5
/** Of what lies past the end of a line more than this part on what must stay open: the end is cut. */
const CUT_SHARE = 0.04
/** Lines led on are so exact, mm. */
const LED_MM = 0.01
const HEAD_MM = 0.5

/** One line of a stage with what is needed to lay along it. */
interface Line {
	readonly input: LayInput
	readonly edge: StageEdge
	readonly kind: TapeRun['kind']
	readonly smooth: Smooth
	readonly open: Region
	readonly isOpen: (p: ChartPoint) => boolean
	readonly isPanel: (p: ChartPoint) => boolean
}

export function layStage(input: LayInput): Laid {
	const { seen, stage, shop } = input
	const open = toPlane(stage.open)
	const openAt = partFinder(seen.chart, [stage.open])
	const panelAt = partFinder(seen.chart, [seen.area])
	const common = { input, open, isOpen: (p: ChartPoint) => openAt(p) >= 0, isPanel: (p: ChartPoint) => panelAt(p) >= 0 }
	const fineLine = stockOf(shop, ['fine-line'])
	const laps = stockOf(shop, ['crepe', 'fine-line'])
	const { stripes, rest } = stripesOf(seen, stage, fineLine, shop.taping.sameWidth)
	const edgeChoice: Choice = { tapes: fineLine, offOf: () => 0, needs: ({ width }) => width - FITS_MM, mostMm: widest(fineLine) }
	const jobs = [
		...stripes.map(({ edge, curve, tape, widthMm }) => ({
			...{ edge: { ...edge, curve }, kind: 'stripe' as const, choice: stripeChoice(tape, widthMm) },
		})),
		...rest.map((edge) =>
			edge.kind === 'lap'
				? { edge, kind: 'lap' as const, choice: lapChoice(laps, edge.offMm) }
				: { edge, kind: 'edge' as const, choice: edgeChoice },
		),
	]
	const alike = isMirrored(seen, stage)
	const done = new Map<StageEdge, Laid>()
	return jobs.reduce<Laid>(
		(all, { edge, kind, choice }) => {
			const like = alike ? mirrorOf([...done.keys()], edge) : undefined
			const from = like && done.get(like)
			const laid = from
				? mirroredLaid(from, edge)
				: joined(smoothStretches(seen.chart, edge.curve).map((smooth) => layLine({ ...common, edge, kind, smooth }, choice)))
			done.set(edge, laid)
			return joined([all, laid])
		},
		{ runs: [], knives: [] },
	)
}

const joined = (all: readonly Laid[]): Laid => ({
	runs: all.flatMap(({ runs }) => runs),
	knives: all.flatMap(({ knives }) => knives),
})

interface Choice {
	readonly tapes: readonly Tape[]
	readonly offOf: (tape: Tape) => number
	readonly needs: (tape: Tape) => number
	readonly mostMm: number
	/** of a stripe, its own width */
	readonly stripeMm?: number
}

const widest = (tapes: readonly Tape[]) => Math.max(1, ...tapes.map(({ width }) => width))

const stockOf = ({ tapes }: Shop, kinds: readonly Tape['kind'][]) =>
	kinds
		.flatMap((kind) => tapes.filter((tape) => tape.kind === kind))
		.sort((a, b) => b.width - a.width || kinds.indexOf(a.kind) - kinds.indexOf(b.kind))

/** Tape of a stripe's own width lies on its middle; it needs the stripe's width but for what the two may differ. */
function stripeChoice(tape: Tape, widthMm: number): Choice {
	const offMm = (widthMm - tape.width) / 2
	return {
		tapes: [tape],
		offOf: () => offMm,
		needs: () => widthMm - offMm - FITS_MM - Math.abs(offMm),
		mostMm: widthMm + 1,
		stripeMm: widthMm,
	}
}

const lapChoice = (tapes: readonly Tape[], offMm: number): Choice => ({
	tapes,
	offOf: () => offMm,
	needs: ({ width }) => (width > (tapes[tapes.length - 1] as Tape).width ? width - FITS_MM : LAP_NEEDS_MM),
	mostMm: widest(tapes),
})

function layLine(line: Line, choice: Choice): Laid {
	const { chart } = line.input.seen
	const { curve } = line.smooth
	const offMm = choice.offOf(choice.tapes[choice.tapes.length - 1] as Tape)
	const looks = looksAlong(chart, curve, offMm, choice.mostMm, line.isOpen)
	const lengthMm = measure(chart, curve).length
	const chosen =
		choice.tapes.length === 0
			? [{ from: 0, to: lengthMm, tape: undefined, why: 'narrow' as const }]
			: chooseTape({ looks, lengthMm, offOf: choice.offOf, tapes: choice.tapes, needs: choice.needs })
	const runs: LaidRun[] = []
	const knives: LaidKnife[] = []
	chosen.forEach((each, i) => {
		const within = looks.filter(({ l }) => l >= each.from && l <= each.to)
		// A hidden edge where nothing follows is laid in short lengths of the narrowest; a painted one is a mask of its own.
		const tape = each.tape ?? (line.kind === 'lap' ? choice.tapes[choice.tapes.length - 1] : undefined)
		if (tape) runs.push(runOf(line, choice, each, tape, within, { first: i === 0, last: i === chosen.length - 1 }))
		else knives.push(knifeOf(line, choice, each, within))
	})
	return { runs, knives }
}

function runOf(
	line: Line,
	choice: Choice,
	{ from, to }: Chosen,
	tape: Tape,
	looks: readonly Look[],
	{ first, last }: { readonly first: boolean; readonly last: boolean },
): LaidRun {
	const { input, kind, edge, smooth } = line
	const { chart } = input.seen
	const { overrun, joint } = input.shop.taping
	const lengths = measure(chart, smooth.curve)
	const whole = first && last
	const loop = whole && smooth.curve.closed
	const own = whole ? smooth.curve : part(smooth.curve, lengths.at(from), lengths.at(to))
	const offMm = choice.offOf(tape)
	const past = (end: 'front' | 'rear') =>
		endOfRun(line, own, end, offMm, tape, Math.max(overrun, stripePast(line, own, end, offMm, tape)))
	const front: RunEnd = loop || !first ? jointEnd(startOf(own), loop ? joint : KNIFE_LAP_MM) : past('front')
	const rear: RunEnd = loop || !last ? jointEnd(endOf(own), loop ? 0 : KNIFE_LAP_MM) : past('rear')
	const led = loop ? own : lead(chart, own, front.overMm, rear.overMm)
	const outline = outlineOf(
		line,
		own,
		led,
		offMm,
		tape,
		looks.filter(({ room }) => room >= tape.width - FITS_MM).map(({ l }) => l - from),
		front,
		rear,
	)
	const worst = looks.reduce(
		(a, b) => (strainOf(b, offMm, tape.width) > strainOf(a, offMm, tape.width) ? b : a),
		looks[0] as Look,
	)
	const lengthMm = measure(chart, own).length + front.overMm + rear.overMm
	return {
		kind,
		tape,
		line: led,
		offMm,
		follows: edge.lines,
		covers: edge.coveredParts,
		lengthMm,
		joints: tape.rollLength === undefined ? 0 : Math.max(0, Math.ceil(lengthMm / tape.rollLength) - 1),
		front,
		rear,
		strain: strainOf(worst, offMm, tape.width),
		strainAt: worst.at,
		...(choice.stripeMm === undefined ? {} : { offWidthMm: tape.width - choice.stripeMm }),
		outline: toChart(oneLength(outline)),
		laid: input.stage.number,
	}
}

/** What the cut to the open part leaves asunder is no part of the same length of tape, if it is less than this of it. Holes stay. */
const SPECK = 0.05

function oneLength(outline: Region): Region {
	const most = outline.reduce((most, loop) => Math.max(most, Math.abs(areaOf([loop]))), 0)
	return outline.filter((loop) => areaOf([loop]) < 0 || areaOf([loop]) > SPECK * most)
}

/** Heads are cut to the open part so far past where the tape is as wide as it is, mm. */
const HEAD_ROUND_MM = 4
/** The three overlap so far, mm. */
const OVER_MM = 0.5

/**
 * What a run covers. Where it has room it is a strip; only its ends, and what has no room at all, are cut to what must stay open.
 * `roomy`: along its own line, where there is room for all its width.
 */
function outlineOf(
	{ input, open }: Line,
	own: Curve,
	led: Curve,
	offMm: number,
	{ width }: Tape,
	roomy: readonly number[],
	front: RunEnd,
	rear: RunEnd,
): Region {
	const { chart } = input.seen
	const lengths = measure(chart, led)
	const from = front.overMm + Math.max(0, roomy[0] ?? 0) + HEAD_ROUND_MM
	const to = lengths.length - rear.overMm - (measure(chart, own).length - (roomy[roomy.length - 1] ?? 0)) - HEAD_ROUND_MM
	const side = (line: Curve) => strip(chart, line, offMm, offMm + width)
	if (led.closed || roomy.length === 0 || !(to - from > HEAD_ROUND_MM)) return subtractFrom(side(led), open)
	const [u0, u1] = [lengths.at(from), lengths.at(to)]
	const head = subtractFrom(side(part(led, 0, u0)), open)
	const tail = subtractFrom(side(part(led, u1, led.cubics.length)), open)
	const [v0, v1] = [lengths.at(from - OVER_MM), lengths.at(to + OVER_MM)]
	return union([head, side(part(led, v0, v1)), tail])
}

const jointEnd = (at: ChartPoint, overMm: number): RunEnd => ({ kind: 'joint', at, overMm })

function lead(chart: Chart, curve: Curve, frontMm: number, rearMm: number): Curve {
	const rear = rearMm > 0 ? ledOn(chart, curve, 'rear', rearMm, LED_MM) : curve
	return frontMm > 0 ? ledOn(chart, rear, 'front', frontMm, LED_MM) : rear
}

/** Past the end of a stripe's near edge its rake, its round end or its corner goes on by no more than so many of its widths. */
const PAST_WIDTHS = 6
/** What lies nearer the end than this goes on from it, mm. */
const GOES_ON_MM = 1

/** How far a stripe goes on past the end of its near edge, mm: tape of its own width covers all of it. 0 of other runs. */
function stripePast({ input, kind, edge }: Line, curve: Curve, end: 'front' | 'rear', offMm: number, { width }: Tape): number {
	if (kind !== 'stripe') return 0
	const { chart, parts } = input.seen
	const n = curve.cubics.length
	const led = ledOn(chart, { ...curve, closed: false }, end, PAST_WIDTHS * width, LED_MM)
	const over = end === 'front' ? reversed(part(led, 0, led.cubics.length - n)) : part(led, n, led.cubics.length)
	const [near, far] = end === 'front' ? [-offMm - width, -offMm] : [offMm, offMm + width]
	const stripe = edge.coveredParts.flatMap((index) => toPlane((parts[index] as Part).region))
	const foot = nearestOn(chart, over)
	const lengths = measure(chart, over)
	const reaches = intersectSmall(strip(chart, over, near, far), stripe).map((loop) =>
		loop.map(({ x, y }) => lengths.lengthAt(foot({ s: x, g: y })?.u ?? 0)),
	)
	const reach = Math.max(0, ...reaches.filter((each) => Math.min(...each) < GOES_ON_MM).flat())
	// Farther than any end of it: the stripe itself goes on, its near edge below something else.
	return reach > (PAST_WIDTHS - 0.1) * width ? 0 : reach
}

/** How a run ends where its line does, by what lies past it. */
function endOfRun(line: Line, curve: Curve, end: 'front' | 'rear', offMm: number, tape: Tape, overMm: number): RunEnd {
	const { input, smooth, open, isPanel } = line
	const { chart } = input.seen
	const n = curve.cubics.length
	const at = end === 'front' ? startOf(curve) : endOf(curve)
	const { angle } = frame(chart, curve, end === 'front' ? 0 : n)
	const ahead = end === 'front' ? angle + Math.PI : angle
	const past = shoot(chart, at, ahead, HEAD_MM, { toleranceMm: LED_MM, spreadShare: 0 }).at
	if (!isPanel(past)) return { kind: 'rim', at, overMm }
	const head = ledOn(chart, { ...curve, closed: false }, end, overMm, LED_MM)
	const over = end === 'front' ? part(head, 0, head.cubics.length - n) : part(head, n, head.cubics.length)
	const lies = strip(chart, over, offMm, offMm + tape.width)
	if (areaOf(intersectSmall(lies, open)) <= CUT_SHARE * areaOf(lies)) return { kind: 'lap', at, overMm }
	const turn = end === 'front' ? smooth.turnBefore : smooth.turnAfter
	return { kind: 'cut', at, overMm, ...(turn === undefined ? {} : { angleDeg: 180 - (Math.abs(turn) * 180) / Math.PI }) }
}

function knifeOf(line: Line, choice: Choice, { from, to, why }: Chosen, looks: readonly Look[]): LaidKnife {
	const { input, edge, smooth } = line
	const { chart } = input.seen
	const lengths = measure(chart, smooth.curve)
	const own = from <= 0 && to >= lengths.length ? smooth.curve : part(smooth.curve, lengths.at(from), lengths.at(to))
	const led = own.closed ? own : lead(chart, own, KNIFE_LAP_MM, KNIFE_LAP_MM)
	const widthMm = choice.stripeMm ?? KNIFE_MM
	const outline = intersectSmall(strip(chart, led, 0, widthMm + FITS_MM), toPlane(input.stage.covered))
	const narrowest = choice.tapes[choice.tapes.length - 1]
	const middle = looks[Math.floor(looks.length / 2)]
	const strain = narrowest
		? Math.max(0, ...looks.map((look) => strainOf(look, choice.offOf(narrowest), narrowest.width)))
		: undefined
	return {
		why: why ?? 'narrow',
		...(strain === undefined ? {} : { strain }),
		at: middle?.at ?? startOf(own),
		line: led,
		outline: toChart(outline),
		follows: edge.lines,
		covers: edge.coveredParts,
		lengthMm: to - from,
		laid: input.stage.number,
	}
}

/** mm^2 on the panel of a region in the (s, g) plane. */
export const onPanel = (chart: Chart, region: Region): number => area(chart, toChart(region) as ChartRegion)
