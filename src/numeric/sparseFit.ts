import { descend } from './descend.ts'
import { evaluate, linearise, type SparseProblem, type SparseStatistics, statistics } from './sparseLinear.ts'

export interface SparseFit extends SparseStatistics {
	readonly x: Float64Array
	readonly converged: boolean
	/** evaluations of the model */
	readonly steps: number
}

export interface SparseFitOptions {
	/** done when a full step would change the fit (all observations together, in their sds) by less */
	readonly tolerance: number
	/** evaluations of the model, refused ones included */
	readonly maxSteps: number
	/** the covariance of all unknowns is kept whole up to so many of them */
	readonly wholeUpTo: number
}

/**
 * Nonlinear weighted least squares of many unknowns, each observation about a few of them: damped Gauss-Newton on the normal
 * equations, factored sparse. Unknowns that nothing determines stay near the start and are named. Undefined when the model is
 * not defined at the start; `converged` false when the steps run out.
 */
export function sparseFit(problem: SparseProblem, start: Float64Array, options: SparseFitOptions): SparseFit | undefined {
	const end = downTo(problem, start, options)
	if (!end) return undefined
	const { x, here, linear, converged, steps } = end
	return { ...statistics(problem, here, linear, here.r, options.wholeUpTo), x, converged, steps }
}

/** The unknowns alone, where nothing else is asked; undefined too where the observations leave some of them open. */
export function sparseFitPlace(
	problem: SparseProblem,
	start: Float64Array,
	options: Omit<SparseFitOptions, 'wholeUpTo'>,
): Float64Array | undefined {
	const end = downTo(problem, start, options)
	return end && !end.linear.nudged ? end.x : undefined
}

function downTo(problem: SparseProblem, start: Float64Array, options: Omit<SparseFitOptions, 'wholeUpTo'>) {
	return descend(
		(x) => evaluate(problem, x),
		(here) => linearise(problem, here),
		start,
		options,
	)
}
