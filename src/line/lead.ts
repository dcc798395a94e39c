import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import type { Curve } from '../chart/point.ts'
import { straightOn } from './run.ts'

/** An open line led on from one of its ends, as a taut tape would go on. */
export function ledOn(chart: Chart, curve: Curve, end: 'front' | 'rear', lengthMm: number, toleranceMm: number): Curve {
	const { at, angle } = frame(chart, curve, end === 'front' ? 0 : curve.cubics.length)
	if (end === 'rear') {
		return { ...curve, cubics: [...curve.cubics, ...straightOn(chart, at, angle, lengthMm, toleranceMm).cubics] }
	}
	const lead = straightOn(chart, at, angle + Math.PI, lengthMm, toleranceMm).cubics
	return { ...curve, cubics: [...lead.map(([a, b, c, d]) => [d, c, b, a] as const).reverse(), ...curve.cubics] }
}
