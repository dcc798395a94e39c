/** Where work ends at a seam: lines, bands and fields as far as it, and nothing of them beyond. */
import type { Chart } from '../chart/chart.ts'
import { evaluate, part } from '../chart/curve.ts'
import { meetings } from '../chart/meet.ts'
import type { ChartCubic, ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import { shifted, turnOf } from '../chart/round.ts'
import type { Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { intersect, offsetRegion, subtract } from '../plane/region.ts'
import { CHORD_MM } from './band.ts'
import { boxOf } from './clearance.ts'
import { fieldRegion, isEmpty } from './field.ts'
import type { Band, PlacedField, Scheme } from './parts.ts'

/** A seam as the panel on one side of it sees it. */
export interface SeamCut {
	/** a letter by which both of its panels know it */
	readonly label: string
	/** the other panel, as people call it */
	readonly other: string
	/** led on past its datums, straight in (s, g), until it has left all that is drawn */
	readonly curve: Curve
	/** what lies on its other side, in the (s, g) plane */
	readonly beyond: Region
	/** places where lines come to it */
	readonly ticks: readonly SeamTick[]
}

export interface SeamTick {
	/** where the line goes on over the seam, the short name that this place has on both panels */
	readonly label: string
	readonly goesOn: boolean
	readonly at: ChartPoint
	/** direction of the seam, from +s towards +g */
	readonly angle: number
}

/** Meetings with a seam are found on chords that leave their curves by no more than this. */
const MEET_MM = 1e-4
/** A line that runs along the seam itself is not cut where the two touch, mm. */
const ALONG_MM = 0.05

/** The seam led on at both ends past everything that is drawn on the panel and a margin round it, and the two parts of the panel beside it. */
export function seamSides(
	chart: Chart,
	seam: Curve,
	drawn: readonly ChartPoint[],
	marginMm: number,
): { readonly curve: Curve; readonly plus: Region; readonly minus: Region } {
	const chords = polyline(chart, seam, CHORD_MM)
	const { s0: x0, s1: x1, g0: y0, g1: y1 } = boxOf([[...drawn, ...chords]], marginMm)
	const far = Math.hypot(x1 - x0, y1 - y0)
	const [a, b] = [chords[0] as ChartPoint, chords[1] as ChartPoint]
	const [y, z] = [chords[chords.length - 2] as ChartPoint, chords[chords.length - 1] as ChartPoint]
	const curve = { ...seam, cubics: [straight(past(b, a, far), a), ...seam.cubics, straight(z, past(y, z, far))] }
	const whole = [
		{ s: x0, g: y0 },
		{ s: x1, g: y0 },
		{ s: x1, g: y1 },
		{ s: x0, g: y1 },
	]
	const plus = toPlane(fieldRegion(chart, [whole], [{ curve: seam, towards: 'inside' }]))
	return { curve, plus, minus: subtract(toPlane([whole]), plus) }
}

/** From one place straight over another and so far past it. */
function past(from: ChartPoint, over: ChartPoint, by: number): ChartPoint {
	const f = by / Math.hypot(over.s - from.s, over.g - from.g)
	return { s: over.s + (over.s - from.s) * f, g: over.g + (over.g - from.g) * f }
}

function straight(p: ChartPoint, q: ChartPoint): ChartCubic {
	const on = (t: number): ChartPoint => ({ s: p.s + (q.s - p.s) * t, g: p.g + (q.g - p.g) * t })
	return [p, on(1 / 3), on(2 / 3), q]
}

/** A line at which work ends, and what lies on its other side. */
type End = Pick<SeamCut, 'curve' | 'beyond'>

/** Bands and fields as far as the seams. What does not come to one stays the very same. */
export function cutScheme(chart: Chart, scheme: Scheme, seams: readonly End[]): Scheme {
	return seams.reduce((left, seam) => cutAt(chart, left, seam), scheme)
}

function cutAt(chart: Chart, { bands, fields }: Scheme, seam: End): Scheme {
	const cutter = cutterOf(chart, seam)
	const cutBands = bands.flatMap((band): Band[] => {
		const region = cutter.region(band.region)
		if (region === band.region) return [band]
		if (isEmpty(region)) return []
		const [near, far, caps] = [cutter.curves(band.near), cutter.curves(band.far), cutter.curves(band.caps)]
		return [{ ...band, near, far, caps, region }]
	})
	const cutFields = fields.flatMap((field): PlacedField[] => {
		const region = cutter.region(field.region)
		if (region === field.region) return [field]
		if (isEmpty(region)) return []
		const boundaries = field.boundaries.flatMap((b) => cutter.curves([b.curve]).map((curve) => ({ ...b, curve })))
		return [{ ...field, region, boundaries }]
	})
	return { bands: cutBands, fields: cutFields }
}

function cutterOf(chart: Chart, { curve: seam, beyond }: End) {
	const wellBeyond = offsetRegion(beyond, -ALONG_MM, { join: 'mitre' })
	const lies = (curve: Curve, u: number) => {
		const { s, g } = evaluate(curve, u).at
		return pointInRegion({ x: s, y: g }, wellBeyond)
	}
	return {
		/** the very same region where nothing of it lies beyond */
		region(of: ChartRegion): ChartRegion {
			const whole = toPlane(of)
			return intersect(whole, wellBeyond).length === 0 ? of : toChart(subtract(whole, beyond))
		},
		curves: (curves: readonly Curve[]): Curve[] =>
			curves.flatMap((curve) => {
				const n = curve.cubics.length
				const at = [0, ...meetings(curve, seam, MEET_MM).map(({ u }) => u), n].sort((a, b) => a - b)
				const kept: [number, number][] = []
				for (const [i, to] of at.entries()) {
					const from = at[i - 1]
					if (from === undefined || to - from < 1e-9 || lies(curve, (from + to) / 2)) continue
					const last = kept[kept.length - 1]
					if (last && from - last[1] < 1e-9) last[1] = to
					else kept.push([from, to])
				}
				if (kept.length === 1 && kept[0]?.[0] === 0 && kept[0][1] === n) return [curve]
				return partsOf(curve, kept, turnOf(chart, curve))
			}),
	}
}

/** Parts of a curve; on a closed one, or one that makes a turn round a ring, that which ends at its start goes on from there. */
export function partsOf(curve: Curve, kept: readonly (readonly [number, number])[], turn?: number): Curve[] {
	const parts = kept.map(([from, to]) => part(curve, from, to))
	const [first, last] = [kept[0], kept[kept.length - 1]]
	const comesBack = curve.closed || turn !== undefined
	if (comesBack && first && last && first !== last && first[0] === 0 && last[1] === curve.cubics.length) {
		const end = parts.pop() as Curve
		parts[0] = { ...end, cubics: [...end.cubics, ...shifted(parts[0] as Curve, turn ?? 0).cubics] }
	}
	return parts.map((each, i) => (parts.length > 1 ? { ...each, id: `${curve.id}/${i + 1}` } : each))
}
