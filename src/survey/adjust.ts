import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { type GaussNewtonResult, gaussNewton } from '../numeric/gaussNewton.ts'
import type { Observation } from './observe.ts'

export interface Adjustment {
	/** keys of the measured marks; unknowns 2i and 2i + 1 are station and girth of the i-th */
	readonly keys: readonly string[]
	readonly places: ReadonlyMap<string, ChartPoint>
	readonly observations: readonly Observation[]
	readonly fit: GaussNewtonResult
}

/** In standard deviations of all readings together: finer than a hundredth of a hundredth of one. */
const TOLERANCE = 1e-6
const MAX_STEPS = 60

/**
 * The places of all marks at once that make sum((fitted - read) / sd)^2 least, datums held. Undefined where the panel does
 * not reach some reading at the start.
 */
export function adjust(
	chart: Chart,
	start: ReadonlyMap<string, ChartPoint>,
	free: readonly string[],
	observations: readonly Observation[],
): Adjustment | undefined {
	const keys = [...free].sort()
	const column = new Map(keys.map((key, i) => [key, 2 * i]))
	const columns = 2 * keys.length
	const x0 = new Float64Array(columns)
	keys.forEach((key, i) => {
		const at = start.get(key)!
		x0[2 * i] = at.s
		x0[2 * i + 1] = at.g
	})
	const model = (x: Float64Array) => {
		const residuals = new Float64Array(observations.length)
		const jacobian = new Float64Array(observations.length * columns)
		for (let i = 0; i < observations.length; i++) {
			const o = observations[i]!
			const at = o.keys.map((key) => {
				const c = column.get(key)
				return c === undefined ? start.get(key)! : { s: x[c]!, g: x[c + 1]! }
			})
			const prediction = o.predict(chart, at)
			if (!prediction) return undefined
			residuals[i] = prediction.value - o.value
			o.keys.forEach((key, k) => {
				const c = column.get(key)
				if (c === undefined) return
				jacobian[i * columns + c] = prediction.gradient[2 * k]!
				jacobian[i * columns + c + 1] = prediction.gradient[2 * k + 1]!
			})
		}
		return { residuals, jacobian }
	}
	const sds = observations.map((o) => o.sd)
	const fit = gaussNewton(model, x0, sds, { tolerance: TOLERANCE, maxSteps: MAX_STEPS })
	if (!fit) return undefined
	const places = new Map(start)
	keys.forEach((key, i) => {
		places.set(key, { s: fit.x[2 * i]!, g: fit.x[2 * i + 1]! })
	})
	return { keys, places, observations, fit }
}
