import type { Chart } from '../../chart/chart.ts'
import { fieldChart } from '../fieldChart.ts'
import { panelFrame } from '../frame.ts'
import { gridField } from '../gridField.ts'
import type { ScaleField } from '../scaleField.ts'
import { acrossAt, alongAt, type Series } from './series.ts'

/** The grid that J is tabulated on: a sixth or less of the finest waves, 1e-7 of their height between its places. */
const STEP_ALONG_MM = 9
const STEP_ACROSS_MM = 4
const LEAST_STEPS = 6

/** The scale field of a series, tabulated; J goes on straight beyond its rectangle. */
export function fieldOf(series: Series, c: Float64Array): ScaleField {
	const { sFrom, sSpan, gFrom, gSpan, even } = series
	const stepsS = Math.max(LEAST_STEPS, Math.ceil(sSpan / STEP_ALONG_MM))
	const s = { from: sFrom, step: sSpan / stepsS, count: stepsS + 1 }
	// Girth 0 is a place of the grid, and a few lie beyond it where nothing was read there.
	const below = even ? gSpan : -gFrom
	const step = gSpan / Math.max(LEAST_STEPS, Math.ceil(gSpan / STEP_ACROSS_MM))
	const down = Math.max(LEAST_STEPS, Math.ceil(below / step))
	const up = Math.max(LEAST_STEPS, Math.ceil((gFrom + gSpan) / step))
	const g = { from: -down * step, step, count: down + up + 1 }
	const across = Array.from({ length: g.count }, (_, k) => acrossAt(series, (k - down) * step))
	const scale = new Float64Array(s.count * g.count)
	for (let i = 0; i < s.count; i++) {
		// Terms along first: one sum for each term across.
		const along = alongAt(series, s.from + i * s.step)
		const sums = new Float64Array(series.across)
		for (let a = 0, at = 0; a < series.along; a++) {
			for (let b = 0; b < series.across; b++, at++) sums[b] = sums[b]! + along[a]! * c[at]!
		}
		for (let k = 0; k < g.count; k++) {
			let j = 1
			for (let b = 0; b < series.across; b++) j -= sums[b]! * across[k]![b]!
			scale[i * g.count + k] = j
		}
	}
	const field = gridField(s, g, scale)
	return even ? evenField(field) : field
}

/** One side's field for both, to the last digit. */
function evenField(field: ScaleField): ScaleField {
	return {
		...field,
		jet(s, g, into) {
			const jet = field.jet(s, Math.abs(g), into)
			return g < 0 ? { ...jet, jg: -jet.jg } : jet
		},
		integral: (s, g) => Math.sign(g) * field.integral(s, Math.abs(g)),
	}
}

/** A chart to find the paths of tapes on, before its limits are known. */
export function bareChart(field: ScaleField): Chart {
	const limits = {
		...{ sMin: field.sMin, sMax: field.sMax, reason: '' },
		gMin: () => field.gMin,
		gMax: () => field.gMax,
	}
	return fieldChart(panelFrame('taped', 'centre'), field, limits, { errorMm: 0, curvatureSd: 0 })
}
