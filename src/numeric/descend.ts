/** What the model says at one place: at least its sum of squares. */
export interface Evaluated {
	readonly sum: number
}

/** The model made linear at one place. */
export interface Linearised {
	/** what a full step would still change, in sds (numerator of Bates & Watts' relative offset, Technometrics 23, 1981) */
	readonly offset: number
	/** to be taken off x; `damping` in units of the columns' squared lengths */
	step(damping: number): Float64Array
}

export interface Descent<E extends Evaluated, L extends Linearised> {
	readonly x: Float64Array
	readonly here: E
	readonly linear: L
	readonly converged: boolean
	/** evaluations of the model */
	readonly steps: number
}

/** Damping after a refused full step, in units of the columns' squared lengths (Marquardt, SIAM J. 11, 1963, starts at 0.01). */
const FIRST_DAMPING = 1e-3
const DAMPING_UP = 8
const DAMPING_DOWN = 5
/** A damping so high moves nothing: the step is below rounding. */
const HIGHEST_DAMPING = 1e16
/** Sums of squares that differ by rounding are equal: near the end a full step may not be refused for that. */
const EQUAL = 1e-13

/**
 * Down a sum of squares by Gauss-Newton, damped as Levenberg and Marquardt do whenever a full step does not lower it
 * (Nocedal & Wright, Numerical Optimization, 10.3). Done when a full step would change less than `tolerance`. Undefined when
 * the model is not defined at the start; `converged` false when the evaluations run out.
 */
export function descend<E extends Evaluated, L extends Linearised>(
	evaluate: (x: Float64Array) => E | undefined,
	linearise: (here: E) => L,
	start: Float64Array,
	{ tolerance, maxSteps }: { readonly tolerance: number; readonly maxSteps: number },
): Descent<E, L> | undefined {
	let x = start
	let here = evaluate(x)
	if (!here) return undefined
	let steps = 1
	let damping = 0
	for (;;) {
		const linear = linearise(here)
		const converged = linear.offset <= tolerance
		if (converged || steps >= maxSteps) return { x, here, linear, converged, steps }
		let moved = false
		while (!moved && steps < maxSteps && damping < HIGHEST_DAMPING) {
			const step = linear.step(damping)
			const next = x.map((value, j) => value - step[j]!)
			const there = evaluate(next)
			steps++
			if (there && there.sum <= here.sum * (1 + EQUAL)) {
				x = next
				here = there
				moved = true
				damping = damping > FIRST_DAMPING ? damping / DAMPING_DOWN : 0
			} else {
				damping = damping === 0 ? FIRST_DAMPING : damping * DAMPING_UP
			}
		}
		if (!moved) return { x, here, linear, converged: false, steps }
	}
}
