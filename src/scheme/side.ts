import type { Chart } from '../chart/chart.ts'
import { evaluate, frame, mirrored } from '../chart/curve.ts'
import type { Curve } from '../chart/point.ts'
import { polyline, toPlane } from '../chart/region.ts'
import type { Hand, Panel, Stripe } from '../job/schema.ts'
import { areaOf } from '../plane/region.ts'

/** Which side of the vehicle something is on; 'both' lies across the centreline. */
export type Side = 'left' | 'right' | 'both'

/** The sides on which a line, stripe or field of this hand appears. */
export function sidesOf(panel: Panel, hand: Hand | undefined): readonly Side[] {
	if (panel.hand === 'left' || panel.hand === 'right') return [panel.hand]
	if (hand === 'left' || hand === 'right') return [hand]
	if (hand === 'across') return ['both']
	return ['left', 'right']
}

/** On a centreline panel lines are worked out on the right (g > 0) and the left is (s, -g); a pair shares (s, g) outright. */
export function onSide(panel: Panel, curve: Curve, side: Side): Curve {
	return panel.hand === 'centre' && side === 'left' ? mirrored(curve) : curve
}

/**
 * Whether a stripe laid this way goes to the line's plus side (+1) or the other (-1), judged half-way along.
 * Off a closed line inboard is inside it and outboard outside, wherever the baseline lies.
 */
export function laySign(chart: Chart, curve: Curve, lay: Stripe['lay']): 1 | -1 {
	if (curve.closed) {
		const anticlockwise = areaOf(toPlane([polyline(chart, curve, 0.1)])) > 0
		return anticlockwise === (lay === 'inboard') ? 1 : -1
	}
	const u = curve.cubics.length / 2
	const { angle } = frame(chart, curve, u)
	const { at } = evaluate(curve, u)
	const outward = Math.cos(angle) * (at.g < 0 ? -1 : 1) >= 0 ? 1 : -1
	const rearward = -Math.sin(angle) >= 0 ? 1 : -1
	switch (lay) {
		case 'outboard':
		case 'centred':
			return outward
		case 'inboard':
			return outward === 1 ? -1 : 1
		case 'rear':
			return rearward
		case 'front':
			return rearward === 1 ? -1 : 1
	}
}
