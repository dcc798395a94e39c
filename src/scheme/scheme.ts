import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import { beyond } from '../chart/limits.ts'
import { measure } from '../chart/measure.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import { constantWidth, type Width } from '../chart/width.ts'
import { placeOn } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Field, Panel, Stripe, StripeEnd } from '../job/schema.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { areaOf, intersect, subtract } from '../plane/region.ts'
import { type BandShape, CHORD_MM, layBand } from './band.ts'
import { clearances, type Placed } from './clearance.ts'
import { beside, type FieldBoundary, fieldRegion, isEmpty, middleOf } from './field.ts'
import { type PanelArea, signedGirth } from './outline.ts'
import { laySign, type Side, sidesOf } from './side.ts'
import { breaksOf, scaled, sum, widthOf } from './width.ts'

/** A line of the scheme as it lies on one side. */
export interface SidedEdge {
	readonly edge: string
	readonly side: Side
	readonly curve: Curve
}

export interface Band extends BandShape {
	/** stripe/side/number */
	readonly id: string
	readonly stripe: string
	readonly side: Side
	readonly paint: string
	/** +1 where far lies on the line's plus side */
	readonly sign: 1 | -1
	readonly areaMm2: number
	readonly lengthMm: number
}

export interface PlacedField {
	readonly id: string
	readonly field: string
	readonly side: Side
	readonly paint: string
	readonly region: ChartRegion
	/** the whole of it, and what the stripes over it leave open */
	readonly areaMm2: number
	readonly openAreaMm2: number
	/** its boundary lines, for guides */
	readonly boundaries: readonly { readonly edge: string; readonly curve: Curve; readonly sign: 1 | -1 }[]
}

/** What is to be seen on one panel, seen from one hand. */
export interface Scheme {
	readonly bands: readonly Band[]
	readonly fields: readonly PlacedField[]
}

export interface SchemeInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly edges: readonly SidedEdge[]
	readonly area: PanelArea | undefined
	/** only these sides: one of a pair's, or all of a centreline panel's */
	readonly sides: readonly Side[]
	readonly gapMm: number
	readonly toleranceMm: number
}

/** A band this far out, mm, is a slip of the pen: its edges are not worth following. */
const LOST_MM = 100
const FAR_LOOKS = 8
const SQUARE: StripeEnd = { shape: 'square' }
const RUNS_OFF: StripeEnd = { shape: 'runs-off' }

export function layScheme(input: SchemeInput): Outcome<Scheme> {
	const problems: Problem[] = []
	const bands: Band[] = []
	const placed: Placed[] = []
	input.panel.stripes.forEach((stripe, i) => {
		const path = `${input.path}/stripes/${i}`
		const source = input.panel.edges.find((e) => e.id === stripe.edge)
		for (const side of sidesOf(input.panel, stripe.hand ?? source?.hand)) {
			if (!input.sides.includes(side)) continue
			const edge = input.edges.find((e) => e.edge === stripe.edge && e.side === side)
			if (!edge) continue // the line's own problem says why
			const front = stripe.front ?? (source?.front === 'runs-off' ? RUNS_OFF : SQUARE)
			const rear = stripe.rear ?? (source?.rear === 'runs-off' ? RUNS_OFF : SQUARE)
			const laid = layStripe(input, stripe, edge, front, rear, path, problems)
			bands.push(...laid)
			placed.push(
				...laid.map((b) => ({
					...b,
					path,
					runsOff: front.shape === 'runs-off' || rear.shape === 'runs-off',
					over: stripe.over ?? [],
				})),
			)
		}
	})
	problems.push(...clearances(input.chart, input.panel, placed, input.area, input.gapMm))
	const fields = input.panel.fields.flatMap((field, i) => placeField(input, field, bands, `${input.path}/fields/${i}`, problems))
	return { value: { bands, fields }, problems }
}

function layStripe(
	input: SchemeInput,
	stripe: Stripe,
	edge: SidedEdge,
	front: StripeEnd,
	rear: StripeEnd,
	path: string,
	problems: Problem[],
): Band[] {
	const { chart, panel } = input
	const sign = laySign(chart, edge.curve, stripe.lay)
	const widths = stripe.bands.map((b) => ('gap' in b ? widthOf(b.gap) : widthOf(b.width)))
	const total = widths.reduce((a, b) => sum(a, b), constantWidth(0))
	let at = stripe.lay === 'centred' ? sum(constantWidth(stripe.offset), scaled(total, -0.5)) : constantWidth(stripe.offset)
	const out: Band[] = []
	let number = 0
	stripe.bands.forEach((band, k) => {
		const near = at
		at = sum(at, widths[k] as ReturnType<typeof widthOf>)
		if ('gap' in band) return
		number++
		const id = `${stripe.id}/${edge.side}/${number}`
		const place = { panel: panel.id, side: edge.side }
		const lost = [near, at]
			.flatMap((w) => farPoints(chart, edge.curve, scaled(w, sign)))
			.reduce((worst, x) => (x.by > worst.by ? x : worst))
		if (lost.by > LOST_MM) {
			problems.push({
				code: 'CHART_LIMIT',
				severity: 'error',
				path: `${path}/bands/${k}`,
				place: placeOn(panel, lost.from, edge.side),
				found: `${id} lies ${Number.isFinite(lost.by) ? `${lost.by.toFixed(0)} mm` : 'far'} beyond where this baseline can measure`,
				expected: `at most there: ${chart.limitReason}`,
				fix: 'look at the width and the offset of the stripe, or measure this part from a second baseline',
			})
			return
		}
		const shape = layBand(chart, {
			id: `${panel.id}/${id}`,
			base: edge.curve,
			near: scaled(near, sign),
			far: scaled(at, sign),
			breaks: stripe.bands.flatMap((b) => ('gap' in b ? [] : breaksOf(b.width))),
			front,
			rear,
			corners: stripe.corners,
			toleranceMm: input.toleranceMm,
		})
		const trimmed = shape.trims[0]
		if (trimmed) {
			const all = shape.near.length === 0 || shape.far.length === 0
			problems.push({
				code: all ? 'BAND_VANISHES' : 'BAND_TRIMMED',
				severity: all ? 'error' : 'warning',
				path: `${path}/bands/${k}`,
				place: placeOn(panel, trimmed.at, edge.side),
				found: {
					bend: `the line bends tighter there than the distance of ${id} off it, so an edge of the band ${all ? 'vanishes' : 'was cut short'}`,
					crossing: `an edge of ${id} meets itself there and was cut`,
					limit: `${id} cannot be followed there: ${chart.limitReason}`,
				}[trimmed.why],
				expected: 'a line that bends more gently than the band is far off it',
				fix: 'make the band narrower, lay it off the other side of the line, or give the line a corner there',
			})
			if (all) return
		}
		const clip = input.area && (front.shape === 'runs-off' || rear.shape === 'runs-off')
		const region = clip ? toChart(intersect(toPlane(shape.region), toPlane(input.area?.region as ChartRegion))) : shape.region
		if (isEmpty(region)) {
			problems.push({
				code: 'BAND_EMPTY',
				severity: 'error',
				path: `${path}/bands/${k}`,
				place,
				found: `nothing of ${id} lies on the panel`,
				expected: 'a band on the panel',
				fix: 'look at its line, its offset and the outline',
			})
			return
		}
		out.push({
			...shape,
			region,
			id,
			stripe: stripe.id,
			side: edge.side,
			paint: band.paint,
			sign,
			areaMm2: area(chart, region),
			lengthMm: Math.max(...[shape.near, shape.far].map((c) => c.reduce((l, curve) => l + measure(chart, curve).length, 0))),
		})
	})
	return out
}

/** How far beyond the chart some places of a parallel lie, with the places of the line that they are off. */
function farPoints(chart: Chart, base: Curve, width: Width): { by: number; from: ChartPoint }[] {
	const { lengthAt } = measure(chart, base)
	return Array.from({ length: FAR_LOOKS + 1 }, (_, i) => {
		const u = (base.cubics.length * i) / FAR_LOOKS
		const f = frame(chart, base, u)
		const p = parallelPoint(chart, f, width.at(lengthAt(u)))
		return { by: p.reached ? beyond(chart, p.at) : Number.POSITIVE_INFINITY, from: f.at }
	})
}

function placeField(input: SchemeInput, field: Field, bands: readonly Band[], path: string, problems: Problem[]): PlacedField[] {
	const { panel, chart } = input
	const out: PlacedField[] = []
	for (const side of sidesOf(panel, field.hand)) {
		if (!input.sides.includes(side)) continue
		const place = { panel: panel.id, side }
		if (!input.area) {
			problems.push({
				code: 'FIELD_NO_PANEL',
				severity: 'warning',
				path,
				place,
				found: `the field ${field.id} on a panel with no outline, no length and no marks`,
				expected: 'something that says how far the panel reaches',
				fix: 'give the panel an outline, or its length',
			})
			return []
		}
		const lines = field.between.flatMap((name) => {
			if (name === 'outline' || name === 'centreline') return []
			// A field across the centreline lies between both sides' lines.
			return input.edges.filter((e) => e.edge === name && (e.side === side || side === 'both' || e.side === 'both'))
		})
		const missing = field.between.find((n) => n !== 'outline' && n !== 'centreline' && !lines.some((l) => l.edge === n))
		if (missing) continue // that line's own problem says why
		const seed = field.seed && seedOn(panel, field.seed, side)
		const boundaries = lines.map((l): FieldBoundary & { edge: string } => ({
			edge: l.edge,
			curve: l.curve,
			towards: towards(chart, field, l, lines, seed),
		}))
		let region = fieldRegion(chart, halfOf(panel, side, input.area.region), boundaries)
		if (isEmpty(region)) {
			problems.push({
				code: 'FIELD_EMPTY',
				severity: 'error',
				path,
				place,
				found: `nothing lies between ${field.between.join(' and ')} on this side`,
				expected: 'lines with a part of the panel between them',
				fix: 'give a "seed": a place inside the field',
			})
			continue
		}
		if (seed) region = holding(region, seed)
		const over = bands.filter((b) => b.side === side || b.side === 'both' || side === 'both').flatMap((b) => toPlane(b.region))
		out.push({
			id: `${field.id}/${side}`,
			field: field.id,
			side,
			paint: field.paint,
			region,
			areaMm2: area(chart, region),
			openAreaMm2: area(chart, toChart(subtract(toPlane(region), over))),
			boundaries: boundaries.map((b) => ({ edge: b.edge, curve: b.curve, sign: signTo(b) })),
		})
	}
	return out
}

const seedOn = (panel: Panel, seed: { station: number; girth: number; side?: string }, side: Side): ChartPoint => {
	const g = signedGirth(seed.girth, seed.side)
	// One seed serves both sides of a mirrored field.
	return { s: seed.station, g: panel.hand === 'centre' && side !== 'both' ? (side === 'left' ? -1 : 1) * Math.abs(g) : g }
}

function towards(
	chart: Chart,
	field: Field,
	line: SidedEdge,
	lines: readonly SidedEdge[],
	seed: ChartPoint | undefined,
): FieldBoundary['towards'] {
	if (line.curve.closed) {
		if (seed) return encloses(chart, line.curve, seed) ? 'inside' : 'outside'
		if (field.between.includes('outline')) return 'outside'
		const inner = lines.some((o) => o !== line && o.curve.closed && encloses(chart, o.curve, middleOf(line.curve)))
		return inner ? 'outside' : 'inside'
	}
	if (seed) return seed
	const other =
		lines.find((o) => o !== line && o.edge !== line.edge) ?? (field.hand === 'across' ? lines.find((o) => o !== line) : undefined)
	if (other && !field.between.includes('outline')) return middleOf(other.curve)
	const m = middleOf(line.curve)
	const outward = m.g < 0 ? -1 : 1
	const inboard = field.between.includes('centreline') || (field.hand === 'across' && !field.between.includes('outline'))
	return beside(line.curve, 0, (inboard ? -1 : 1) * outward * 0.5)
}

const encloses = (chart: Chart, loop: Curve, p: ChartPoint) =>
	pointInRegion({ x: p.s, y: p.g }, toPlane([polyline(chart, loop, CHORD_MM)]))

/** A mirrored field on a centreline panel keeps to its own half. */
function halfOf(panel: Panel, side: Side, region: ChartRegion): ChartRegion {
	if (panel.hand !== 'centre' || side === 'both') return region
	const s = region.flat().map((p) => p.s)
	const g = Math.max(...region.flat().map((p) => Math.abs(p.g))) + 1
	const [a, b] = side === 'right' ? [0, g] : [-g, 0]
	const [from, to] = [Math.min(...s) - 1, Math.max(...s) + 1]
	return toChart(
		intersect(toPlane(region), [
			[
				{ x: from, y: a },
				{ x: to, y: a },
				{ x: to, y: b },
				{ x: from, y: b },
			],
		]),
	)
}

/** Of a region in several parts, the part that holds the seed (all of it if none does). */
function holding(region: ChartRegion, seed: ChartPoint): ChartRegion {
	const outers = region.filter((l) => signed(l) > 0)
	if (outers.length < 2) return region
	const mine = outers.find((l) => inside(l, seed))
	return mine ? toChart(intersect(toPlane(region), toPlane([mine]))) : region
}
const signed = (loop: readonly ChartPoint[]) => areaOf(toPlane([loop]))
const inside = (loop: readonly ChartPoint[], p: ChartPoint) => pointInRegion({ x: p.s, y: p.g }, toPlane([loop]))

/** Whether the field lies on the line's plus side (+1). */
function signTo(b: FieldBoundary): 1 | -1 {
	if (typeof b.towards === 'string') {
		const loop = b.curve.cubics.map((c) => c[0])
		return signed(loop) > 0 === (b.towards === 'inside') ? 1 : -1
	}
	let best = { d: Number.POSITIVE_INFINITY, sign: 1 as 1 | -1 }
	for (const c of b.curve.cubics) {
		const [p, q] = [c[0], c[3]]
		const m = { s: (p.s + q.s) / 2, g: (p.g + q.g) / 2 }
		const t = b.towards as ChartPoint
		const d = Math.hypot(t.s - m.s, t.g - m.g)
		if (d < best.d) best = { d, sign: (q.s - p.s) * (t.g - m.g) - (q.g - p.g) * (t.s - m.s) >= 0 ? 1 : -1 }
	}
	return best.sign
}
