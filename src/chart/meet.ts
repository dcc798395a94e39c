import { flattenWithParams } from '../plane/flatten.ts'
import { intersections } from '../plane/polyline.ts'
import { toPlaneCubic } from './curve.ts'
import type { Curve } from './point.ts'

/** Where two curves meet: the parameter on each. */
export interface Meeting {
	readonly u: number
	readonly v: number
}

/**
 * Every place where curve `a` meets curve `b`, in the order of `a`. What crosses what does not depend on the metric, so chords in
 * (s, g) do; they leave their curves by `chordMm` at most, and a meeting under an angle x is out by about chordMm / sin x.
 */
export function meetings(a: Curve, b: Curve, chordMm: number): Meeting[] {
	const p = flattenWithParams(a.cubics.map(toPlaneCubic), chordMm)
	const q = flattenWithParams(b.cubics.map(toPlaneCubic), chordMm)
	return intersections(p.points, q.points).map((x) => ({ u: between(p.params, x.i, x.a), v: between(q.params, x.j, x.b) }))
}

function between(params: readonly number[], i: number, part: number): number {
	const from = params[i] as number
	return from + ((params[i + 1] ?? from) - from) * part
}
