/** Gauge sections that go right round: a ring whose stations run round it and repeat. */
import type { Chart } from '../chart/chart.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { smoothByCp } from '../numeric/smoothing.ts'
import type { PanelFrame } from './frame.ts'
import { chartFromSurface, type SurfaceChart } from './fromSurface.ts'
import { GAUGE_SD_MM } from './gauge.ts'
import { type LoftSection, loft } from './loft.ts'
import { panelProblem } from './panelProblem.ts'
import { type SaidOfReading, withPlaces } from './placeUnder.ts'
import type { SectionsCapture } from './sectionPlanes.ts'
import { curvatureSd } from './sectionsNoise.ts'
import type { Surface } from './surface.ts'
import { surfaceDistance } from './surfaceGeodesic.ts'

type Reading = readonly [number, number]

/** The first reading, taken again at the end, agrees within so much, or four times what the gauge is good to, mm. */
const CLOSES_MM = 1
/** Fewer readings do not tell how a section goes round. */
const LEAST_READINGS = 6
/** Spokes that a ring is divided into: a loft of as many follows every bend that readings can tell. */
const SPOKES = { least: 24, most: 64 }
/** Spokes lie on smooth sections already: a skin that left them by more would draw the ring in, mm. */
const SPOKE_MM = 0.0005
/** A reading so many standard deviations off where its neighbours put it sticks out. */
const ODD_SDS = 4
/** A line round that comes back this near to its own direction closes, rad; one that is looked for does so far better. */
const CLOSED_RAD = 0.002
/** Places along at which a line round is looked for, and halvings between two of them. */
const LOOKS = 12
const HALVINGS = 20

/** A section round the middle: place along, and by direction from the middle the distance from it. */
interface Round {
	readonly along: number
	/** of the readings: direction from the top to the right, rad, rising, and distance from the middle */
	readonly turns: readonly number[]
	readonly radii: readonly number[]
}

/**
 * The chart of a ring: closed sections in parallel planes are divided by directions from the middle line into spokes along
 * the ring, and these are lofted all round. The baseline is a straightest line that comes back into itself.
 */
export function ringChart(frame: PanelFrame, capture: SectionsCapture, path: string): Outcome<Chart> {
	const rounds = roundsOf(capture, path)
	if (!rounds.value) return { problems: rounds.problems }
	const { sections, middle } = rounds.value
	const sd = capture.sd ?? GAUGE_SD_MM
	const odd: SaidOfReading[] = []
	const mean = average(sections.flatMap((s) => s.radii))
	const period = 2 * Math.PI * mean
	// The panel's own frame: along, up, and outward of its side; stations run from the top over that side.
	const placeAt = (along: number, turn: number, radius: number) => ({
		x: along,
		y: middle.up + radius * Math.cos(turn),
		z: -frame.orientation * middle.right + radius * Math.sin(turn),
	})
	const radiusAt = sections.map((section, i) => {
		const fit = smoothByCp(
			section.turns.map((t) => t * mean),
			[{ y: section.radii, sigma: section.radii.map(() => sd) }],
			{ period },
		)
		const spline = fit?.coordinates[0]
		section.radii.forEach((radius, k) => {
			const said = spline?.deleted[k]
			if (!said || Math.abs(said.residual) <= ODD_SDS * said.sd) return
			odd.push({
				problem: oddReading(`${path}/sections/${i}`, i, k, -said.residual, sd),
				at: placeAt(section.along, -frame.orientation * (section.turns[k] as number), radius),
			})
		})
		const out = new Float64Array(4)
		return (turn: number): number | undefined => {
			spline?.at((turn - 2 * Math.PI * Math.floor(turn / (2 * Math.PI))) * mean, out)
			return spline && (out[0] as number)
		}
	})
	const count = Math.min(SPOKES.most, Math.max(SPOKES.least, 2 * Math.max(...sections.map((s) => s.radii.length))))
	const zero =
		capture.baseline.from?.along ?? (Math.min(...sections.map((s) => s.along)) + Math.max(...sections.map((s) => s.along))) / 2
	const spokes = Array.from({ length: count }, (_, k): LoftSection => {
		const turn = (2 * Math.PI * k) / count
		return {
			u: mean * turn,
			points: sections.map(
				(section, i): Reading => [section.along - zero, mean - (radiusAt[i]?.(frame.orientation === 1 ? -turn : turn) ?? mean)],
			),
			creases: [],
			place: (a, d) => placeAt(zero + a, turn, mean - d),
		}
	})
	const skin = loft(spokes, { sd, periodU: period, mayLeaveMm: SPOKE_MM })
	const made = closedBaseline(frame, capture, skin.surface, period, {
		errorMm: sd * Math.sqrt(skin.share),
		curvatureSd: (grid) => curvatureSd(skin, grid, sd),
	})
	if (made) return { value: made.chart, problems: [...rounds.problems, ...withPlaces(frame, made.chart, odd)] }
	return {
		problems: [
			...rounds.problems,
			...odd.map(({ problem }) => problem),
			...panelProblem(
				`${path}/baseline`,
				'BASELINE_NOT_CLOSED',
				capture.baseline.from
					? `no taut line round the ring that comes back into itself about ${zero.toFixed(0)} mm along`
					: 'a ring round which no taut line comes back into itself',
				'a ring with a widest or a narrowest place, or one that is as wide all along, round which a taut tape keeps its place',
				capture.baseline.from
					? 'leave the baseline out, so that its place is looked for, or name one where the ring is widest or narrowest'
					: 'capture it as "revolved" where it is round, or in two halves whose sections are open',
			).problems,
		],
	}
}

type Made = Extract<SurfaceChart, { ok: true }>

/** The chart about a straightest line once round: where the job says, or where one comes back into its own direction. */
function closedBaseline(
	frame: PanelFrame,
	capture: SectionsCapture,
	surface: Surface,
	period: number,
	known: Pick<Parameters<typeof chartFromSurface>[0], 'errorMm' | 'curvatureSd'>,
): Made | undefined {
	const turnAt = (v: number) => {
		const path = surfaceDistance(surface, { u: 0, v }, { u: period, v }, { stepMm: 4 })
		if (!path) return undefined
		const { start, end } = path
		return (start.du * end.dv - start.dv * end.du) / Math.hypot(start.du, start.dv) ** 2
	}
	const chartAt = (v: number) => {
		const made = chartFromSurface({ frame, surface, from: { u: 0, v }, to: { u: period, v }, front: capture.front, ...known })
		return made.ok ? made : undefined
	}
	const v = capture.baseline.from ? 0 : closingPlace(surface, turnAt)
	return v === undefined ? undefined : chartAt(v)
}

/** Where a line round closes, as near the middle as can be. */
function closingPlace({ vMin, vMax }: Surface, turnAt: (v: number) => number | undefined): number | undefined {
	const [middle, step] = [(vMin + vMax) / 2, (vMax - vMin) / (LOOKS + 1)]
	const looked = Array.from({ length: LOOKS }, (_, i) => middle + (i % 2 ? 1 : -1) * Math.ceil(i / 2) * step).map((v) => ({
		v,
		turn: turnAt(v),
	}))
	const closed = looked.find(({ turn }) => turn !== undefined && Math.abs(turn) < CLOSED_RAD)
	if (closed) return closed.v
	const inOrder = looked.filter((l): l is { v: number; turn: number } => l.turn !== undefined).sort((a, b) => a.v - b.v)
	for (let i = 1; i < inOrder.length; i++) {
		let [a, b] = [inOrder[i - 1], inOrder[i]] as [{ v: number; turn: number }, { v: number; turn: number }]
		if (a.turn > 0 === b.turn > 0) continue
		for (let k = 0; k < HALVINGS; k++) {
			const v = (a.v + b.v) / 2
			const turn = turnAt(v)
			if (turn === undefined) break
			if (turn > 0 === a.turn > 0) a = { v, turn }
			else b = { v, turn }
		}
		return (a.v + b.v) / 2
	}
	return undefined
}

/** The sections by directions from their common middle, or what is wrong with the first that is not so. */
function roundsOf(
	capture: SectionsCapture,
	path: string,
): Outcome<{ readonly sections: readonly Round[]; readonly middle: { readonly right: number; readonly up: number } }> {
	const sd = capture.sd ?? GAUGE_SD_MM
	if (capture.crown) return panelProblem(`${path}/crown`, 'RING_CROWN', ...RING_CROWN)
	const loops: { readonly along: number; readonly points: readonly Reading[] }[] = []
	for (const [i, section] of capture.sections.entries()) {
		const at = `${path}/sections/${i}`
		if ('traced' in section) return panelProblem(`${at}/traced`, 'TRACING_NOT_READ', ...NOT_READ)
		if (section.creases.length > 0) return panelProblem(`${at}/creases`, 'RING_CREASE', ...RING_CREASE)
		const before = capture.sections[i - 1]
		if (before && section.along <= before.along) {
			return panelProblem(
				`${at}/along`,
				'SECTIONS_OUT_OF_ORDER',
				`section ${i + 1} at ${section.along} mm along, after section ${i} at ${before.along} mm`,
				'sections in order from front to rear',
				'put the sections in order, or correct the "along" of this one',
			)
		}
		const points: readonly Reading[] =
			'points' in section
				? section.half
					? [...section.points, ...section.points.map(([x, d]): Reading => [-x, d]).reverse()]
					: section.points
				: [
						...section.right.map(([x, d]): Reading => [Math.abs(x), d]),
						...section.left.map(([x, d]): Reading => [-Math.abs(x), d]).reverse(),
					]
		const open = 'points' in section && section.half ? openHalf(section.points) : gapOf(points)
		if (open > Math.max(CLOSES_MM, 4 * sd)) {
			return panelProblem(
				at,
				'SECTION_NOT_CLOSED',
				`section ${i + 1}, whose ${'points' in section && section.half ? 'half does not begin and end on the centreline: it is' : 'ends lie'} ${open.toFixed(1)} mm off`,
				'a section that goes right round: its last reading is its first again (a half begins and ends on the centreline)',
				'carry the gauge right round and write the first reading again at the end, or take "closed" away',
			)
		}
		const within = Math.max(CLOSES_MM, 4 * sd)
		loops.push({
			along: section.along,
			points: withoutRepeats(
				points.map(([x, d]): Reading => [x, d + section.drop]),
				within,
			),
		})
	}
	const all = loops.map(({ points }) => middleOf(points))
	const middle = { right: average(all.map(([x]) => x)), up: -average(all.map(([, d]) => d)) }
	const sections: Round[] = []
	for (const [i, { along, points }] of loops.entries()) {
		const polar = points.map(([x, d]) => {
			const [right, up] = [x - middle.right, -d - middle.up]
			return { turn: Math.atan2(right, up), radius: Math.hypot(right, up) }
		})
		const round = polar.map(({ turn }, k) => wrapped((polar[(k + 1) % polar.length]?.turn ?? 0) - turn))
		const way = Math.sign(round.reduce((a, b) => a + b, 0))
		if (
			points.length < LEAST_READINGS ||
			round.some((step) => step * way <= 0) ||
			Math.abs(round.reduce((a, b) => a + b, 0)) < Math.PI
		) {
			return panelProblem(
				`${path}/sections/${i}`,
				'SECTION_NOT_ROUND',
				points.length < LEAST_READINGS
					? `section ${i + 1}, closed, with ${points.length} readings`
					: `section ${i + 1}, which does not go once round the middle of the ring in one sense`,
				`${LEAST_READINGS} readings or more, in order round the ring, each seen from its middle`,
				'put the readings in order, or capture the ring in two halves with open sections',
			)
		}
		const sorted = polar.map((p) => ({ ...p, turn: p.turn < 0 ? p.turn + 2 * Math.PI : p.turn })).sort((a, b) => a.turn - b.turn)
		sections.push({ along, turns: sorted.map((p) => p.turn), radii: sorted.map((p) => p.radius) })
	}
	return { value: { sections, middle }, problems: [] }
}

const NOT_READ = ['a tracing that has not been read', 'a tracing that could be read', 'look at what is said of it'] as const
const RING_CROWN = [
	'a crown beside sections that are closed',
	'closed sections that stand parallel, square to one straight-edge',
	'take "crown" away',
] as const
const RING_CREASE = [
	'creases in a section that is closed',
	'closed sections without creases',
	'take "creases" away: what is sharp is rounded by as much as the readings leave open',
] as const

const average = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length
const wrapped = (turn: number) => turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI))
const apart = ([x, d]: Reading, [y, e]: Reading) => Math.hypot(x - y, d - e)
const gapOf = (points: readonly Reading[]) => apart(points[0] as Reading, points[points.length - 1] as Reading)
const openHalf = (points: readonly Reading[]) =>
	Math.max(Math.abs(points[0]?.[0] ?? 0), Math.abs(points[points.length - 1]?.[0] ?? 0))

/** The middle of the box round the readings: where they lie close does not draw it aside. */
function middleOf(points: readonly Reading[]): Reading {
	const of = (k: 0 | 1) => (Math.min(...points.map((p) => p[k])) + Math.max(...points.map((p) => p[k]))) / 2
	return [of(0), of(1)]
}

/** A place that was read at the start and again at the end, or by both halves, is one: in the middle of the two. */
function withoutRepeats(points: readonly Reading[], closesMm: number): Reading[] {
	const out: Reading[] = []
	for (const p of points) {
		const last = out[out.length - 1]
		if (last && apart(last, p) <= CLOSES_MM) out[out.length - 1] = [(last[0] + p[0]) / 2, (last[1] + p[1]) / 2]
		else out.push(p)
	}
	const [first, last] = [out[0], out[out.length - 1]]
	if (out.length > 1 && first && last && apart(first, last) <= closesMm) {
		out[0] = [(first[0] + last[0]) / 2, (first[1] + last[1]) / 2]
		out.pop()
	}
	return out
}

const oddReading = (path: string, section: number, reading: number, mm: number, sd: number): Problem => ({
	code: 'SECTION_READING_ODD',
	severity: 'warning',
	path,
	found: `reading ${reading + 1} round section ${section + 1} from its top, ${Math.abs(mm).toFixed(1)} mm ${mm > 0 ? 'outside' : 'inside'} where its neighbours put the panel`,
	expected: `readings that agree within the gauge's ${sd} mm`,
	fix: 'read that place again; leave it as it is where the panel really has a dent or a bump there',
})
