import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import type { Curve } from '../chart/point.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { normalise } from '../plane/region.ts'

/** Looks along the led-on part of a line, which is straight on the panel. */
const LOOKS = 12

/** Out there the zone is drawn by the metric on the line; beside it a millimetre of station may be longer by so much. */
const SPARE = 0.5

/**
 * Where a band may leave the panel: the line's led-on part and `reachMm` before it (the rim may run slantwise there, up to 45
 * degrees to the line), `reachMm` to each side of it. As loops in (s, g).
 * @param ledMm how far the line goes on past its first or last mark
 */
export function runOffZone(chart: Chart, line: Curve, end: 'front' | 'rear', ledMm: number, reachMm: number): Region {
	const { at, length } = measure(chart, line)
	const depth = Math.min(length, ledMm + reachMm)
	const [from, to] = end === 'front' ? [0, depth] : [length - depth, length]
	const beside = (l: number, side: 1 | -1, on: number): PlanePoint => {
		const { at: p, angle } = frame(chart, line, at(l))
		const { j } = chart.metric(p.s, p.g)
		const [along, across] = [on, side * (1 + SPARE) * reachMm]
		return {
			x: p.s + (along * Math.cos(angle) - across * Math.sin(angle)) / j,
			y: p.g + along * Math.sin(angle) + across * Math.cos(angle),
		}
	}
	// A little past the line's own end, so that the end of the band lies inside and not on the rim.
	const past = (i: number) =>
		end === 'front' && i === 0 ? -SPARE * reachMm : end === 'rear' && i === LOOKS ? SPARE * reachMm : 0
	const side = (sign: 1 | -1) =>
		Array.from({ length: LOOKS + 1 }, (_, i) => beside(from + ((to - from) * i) / LOOKS, sign, past(i)))
	return normalise([[...side(-1), ...side(1).reverse()]])
}
