import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import { signedGirth } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Field, Panel } from '../job/schema.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { areaOf, intersect } from '../plane/region.ts'
import { CHORD_MM } from './band.ts'
import { boxOf } from './clearance.ts'
import { beside, type FieldBoundary, fieldRegion, isEmpty, middleOf } from './field.ts'
import type { PlacedField, SchemeInput, SidedEdge } from './parts.ts'
import { type Side, sidesOf } from './side.ts'

/** One colour field on each of its sides, as far as the panel and its lines go. */
export function placeField(input: SchemeInput, field: Field, path: string, problems: Problem[]): PlacedField[] {
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
		const boundaries = lines.map((l): FieldBoundary & { edge: string; side: Side } => ({
			edge: l.edge,
			side: l.side,
			curve: l.curve,
			towards: towards(chart, field, l, lines, seed),
		}))
		const invented = input.area.from === 'marks'
		const ground = invented ? wide(chart, input.area.region, lines) : input.area.region
		let region = fieldRegion(chart, halfOf(panel, side, ground), boundaries)
		if (seed && !isEmpty(region)) region = holding(region, seed)
		if (invented && reachesRim(region, ground)) {
			problems.push({
				code: 'FIELD_NO_OUTLINE',
				severity: 'error',
				path,
				place,
				found: `the field ${field.id}, which reaches the rim of a panel whose rim was not measured`,
				expected: 'an outline, the reach of the panel, or lines that enclose the field by themselves',
				fix: 'give the panel an outline, or its length (and width, where it is flat)',
			})
			continue
		}
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
		out.push({
			id: `${field.id}/${side}`,
			field: field.id,
			side,
			paint: field.paint,
			region,
			boundaries: boundaries.map((b) => ({ edge: b.edge, side: b.side, curve: b.curve, sign: signTo(b) })),
		})
	}
	return out
}

/** How far past everything that was measured an unmeasured panel is taken to go: only what does not reach there is known. */
const PAST_ALL_MM = 200

/** Ground that no rim is known of, well past the marks and the lines; holes are taken out. */
function wide(chart: Chart, around: ChartRegion, lines: readonly SidedEdge[]): ChartRegion {
	const all = [...around.flat(), ...lines.flatMap((l) => polyline(chart, l.curve, 0.5))]
	const { s0, s1, g0, g1 } = boxOf([all], PAST_ALL_MM)
	const box = [
		{ s: s0, g: g0 },
		{ s: s1, g: g0 },
		{ s: s1, g: g1 },
		{ s: s0, g: g1 },
	]
	return [box, ...around.filter((loop) => signed(loop) < 0)]
}

/** Whether a field goes as far as such ground does, its half's edge on the centreline not counted. */
function reachesRim(region: ChartRegion, ground: ChartRegion): boolean {
	const { s0, s1, g0, g1 } = boxOf(ground, -0.01)
	return region.flat().some((p) => p.s < s0 || p.s > s1 || p.g < g0 || p.g > g1)
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
