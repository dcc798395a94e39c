import { metricRoom } from '../chart/chart.ts'
import { type GridAxis, type GridSpline, gridSpline } from '../numeric/gridSpline.ts'
import { gaussRule } from '../numeric/quadrature.ts'
import type { Fold } from './fold.ts'
import type { ScaleField } from './scaleField.ts'

/** Exact for the quintic pieces of J. */
const GAUSS_3 = gaussRule(3)

/**
 * The scale field through values of J on a regular grid: scale[i * g.count + k] at station s.from + i * s.step and girth
 * g.from + k * g.step. Four times continuously differentiable inside the grid; beyond it J goes on straight. Girth 0 must be
 * one of the places of g, so that the integral starts there. `folds` are creases that J bends at. Throws where an axis has fewer than 6 places.
 */
export function gridField(s: GridAxis, g: GridAxis, scale: ArrayLike<number>, folds: readonly Fold[] = []): ScaleField {
	const zero = Math.round(-g.from / g.step)
	if (zero < 0 || zero >= g.count || Math.abs(g.from + zero * g.step) > 1e-9)
		throw new RangeError('gridField: girth 0 is no place of the grid')
	const spline = gridSpline(s, g, withoutFolds(s, g, scale, folds), 1, true)
	const four = new Float64Array(4)
	const out = new Float64Array(6)
	// Areas are asked for later than lengths, or not at all.
	let area: GridSpline | undefined
	const sEnd = s.from + (s.count - 1) * s.step
	const gEnd = g.from + (g.count - 1) * g.step
	return {
		sMin: s.periodic ? Number.NEGATIVE_INFINITY : s.from,
		sMax: s.periodic ? Number.POSITIVE_INFINITY : sEnd,
		gMin: g.from,
		gMax: gEnd,
		jet(at, girth, into) {
			spline.jet(at, girth, out)
			four[0] = out[0]!
			four[1] = out[1]!
			four[2] = out[2]!
			four[3] = out[5]!
			for (const f of folds) f.add(at, girth, four)
			const metric = into ?? metricRoom()
			metric.j = four[0]!
			metric.jg = four[2]!
			metric.js = four[1]!
			metric.k = -four[3]! / four[0]!
			return metric
		},
		integral: (at, girth) => {
			area ??= gridSpline(s, g, integrals(), 1, true)
			const inside = Math.min(gEnd, Math.max(g.from, girth))
			let whole = area.value(at, inside)
			for (const f of folds) whole += f.integral(at, girth)
			if (inside === girth) return whole
			spline.jet(at, inside, out)
			return whole + (out[0]! + (out[2]! * (girth - inside)) / 2) * (girth - inside)
		},
	}

	/** S at the places of the grid, from the spline of J itself. */
	function integrals(): Float64Array {
		const values = new Float64Array(s.count * g.count)
		for (let i = 0; i < s.count; i++) {
			const at = s.from + i * s.step
			const cell = (k: number) => {
				let sum = 0
				for (let q = 0; q < 3; q++) {
					const girth = g.from + (k + (GAUSS_3.nodes[q]! + 1) / 2) * g.step
					sum += (GAUSS_3.weights[q]! / 2) * spline.value(at, girth)
				}
				return sum * g.step
			}
			for (let k = zero; k + 1 < g.count; k++) values[i * g.count + k + 1] = values[i * g.count + k]! + cell(k)
			for (let k = zero; k > 0; k--) values[i * g.count + k - 1] = values[i * g.count + k]! - cell(k - 1)
		}
		return values
	}
}

/** The samples with what creases add taken off, so that what is left is smooth. */
export function withoutFolds(
	s: GridAxis,
	g: GridAxis,
	values: ArrayLike<number>,
	folds: readonly Fold[],
	components = 1,
): ArrayLike<number> {
	if (folds.length === 0) return values
	const left = Float64Array.from(values)
	const off = new Float64Array(components)
	for (let i = 0; i < s.count; i++) {
		for (let k = 0; k < g.count; k++) {
			off.fill(0)
			for (const f of folds) f.sharp(s.from + i * s.step, g.from + k * g.step, off)
			for (let c = 0; c < components; c++) {
				const at = (i * g.count + k) * components + c
				left[at] = left[at]! - off[c]!
			}
		}
	}
	return left
}
