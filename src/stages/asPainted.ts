/** Lines as they came out of the paint: what lies beside them moves with them. */
import { evaluateCubic, part } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearest } from '../chart/nearest.ts'
import { offset } from '../chart/offset.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import type { Width } from '../chart/width.ts'
import { intersect, normalise, subtract, union } from '../plane/region.ts'
import { widthOf } from '../scheme/width.ts'
import type { Border, Part, Seen } from './parts.ts'

/** A place of a painted edge, measured again. */
export interface PaintedPlace {
	/** the border that it is of */
	readonly border: string
	/** where the edge was found */
	readonly at: ChartPoint
}

/** A border that came out elsewhere than planned. */
export interface MovedBorder {
	readonly border: string
	readonly line: string
	/** off the plan to the border's plus side, mm, at each measured place from its front */
	readonly places: readonly { readonly alongMm: number; readonly at: ChartPoint; readonly offMm: number }[]
	/** the largest of them, mm */
	readonly worstMm: number
	readonly worstAt: ChartPoint
}

const CHORD_MM = 0.005
const FIT_MM = 0.005

/**
 * The panel with its measured borders where they came out: straight between measured places along the line, and as the first and
 * the last of them beyond those. The two parts beside a border give and take what lies between plan and paint.
 */
export function asPainted(
	seen: Seen,
	places: readonly PaintedPlace[],
): { readonly seen: Seen; readonly moved: readonly MovedBorder[] } {
	const moved = seen.borders.flatMap((border) => movedBorder(seen, border, places) ?? [])
	const after = moved.reduce((now, move) => withMoved(now, move), seen)
	return { seen: after, moved }
}

function movedBorder({ chart }: Seen, border: Border, places: readonly PaintedPlace[]): MovedBorder | undefined {
	const own = places.filter((place) => place.border === border.id)
	const lengths = measure(chart, border.curve)
	const feet = own
		.flatMap(({ at }) => {
			const foot = nearest(chart, border.curve, at)
			return foot ? [{ alongMm: lengths.lengthAt(foot.u), at, offMm: foot.offsetMm }] : []
		})
		.sort((a, b) => a.alongMm - b.alongMm)
	const worst = feet.reduce(
		(a, b) => (Math.abs(b.offMm) > Math.abs(a.offMm) ? b : a),
		feet[0] ?? { offMm: 0, at: { s: 0, g: 0 }, alongMm: 0 },
	)
	if (feet.length === 0) return undefined
	return { border: border.id, line: border.line, places: feet, worstMm: worst.offMm, worstAt: worst.at }
}

/** Off the plan by length along the border. */
const offBy = ({ places }: MovedBorder): Width =>
	places.length === 1
		? { at: () => places[0]?.offMm ?? 0, rate: () => 0 }
		: widthOf(places.map(({ alongMm, offMm }) => ({ along: alongMm, width: offMm })))

function withMoved(seen: Seen, move: MovedBorder): Seen {
	const { chart, parts, borders } = seen
	const border = borders.find(({ id }) => id === move.border) as Border
	const split = splitAt(seen, border.curve, move)
	const { curves } = offset(chart, split, offBy(move), { id: border.id, toleranceMm: FIT_MM, corners: 'mitred' })
	if (curves.length === 0) return seen
	const curve: Curve = { ...border.curve, cubics: curves.flatMap(({ cubics }) => cubics) }
	const plan = polyline(chart, border.curve, CHORD_MM)
	const painted = polyline(chart, curve, CHORD_MM)
	const between = normalise(toPlane([[...plan, ...painted.reverse()]]))
	const regionOf = (i: number) => toPlane((parts[i] as Part).region)
	const [plus, minus] = [regionOf(border.plus), regionOf(border.minus)]
	const changed = new Map([
		[border.plus, union([subtract(plus, between), intersect(minus, between)])],
		[border.minus, union([subtract(minus, between), intersect(plus, between)])],
	])
	return {
		...seen,
		parts: parts.map((each, i) => {
			const region = changed.get(i)
			return region ? { ...each, region: toChart(region) } : each
		}),
		borders: borders.map((each) => (each === border ? { ...border, curve, lengthMm: measure(chart, curve).length } : each)),
	}
}

/** A parallel of changing width breaks where the width does: the line is split there. */
function splitAt({ chart }: Seen, curve: Curve, { places }: MovedBorder): Curve {
	const lengths = measure(chart, curve)
	const cuts = [0, ...places.map(({ alongMm }) => lengths.at(alongMm)), curve.cubics.length]
	const cubics = cuts
		.slice(1)
		.flatMap((to, i) => (to - (cuts[i] as number) > 1e-9 ? part(curve, cuts[i] as number, to).cubics : []))
	return { ...curve, cubics: cubics.length > 0 ? cubics : curve.cubics }
}

/** A place on a border, for those who look for the one that a line is. */
export const middleOf = ({ curve }: Border): ChartPoint => {
	const cubic = curve.cubics[Math.floor(curve.cubics.length / 2)]
	return cubic ? evaluateCubic(cubic, 0.5).at : { s: 0, g: 0 }
}
