/** dy/dt at (t, y), written into `out`. May write NaN where it is not defined: the step is then shortened. */
export type Derivative = (t: number, y: Float64Array, out: Float64Array) => void

export interface OdeOptions {
	/** largest estimated error of one step, as `scale` counts it */
	readonly tolerance: number
	/** what an error in each component counts by: error = largest of |error_i| * scale_i; 1 where absent */
	readonly scale?: ArrayLike<number>
	/** trial steps, taken or refused; 2000 */
	readonly maxSteps?: number
	/** no step is shorter, and at this length it is taken whatever its error; 1/1000 of the interval */
	readonly minStep?: number
	/** no step is longer; the whole interval */
	readonly maxStep?: number
}

export interface OdeResult {
	/** the state at t */
	readonly y: Float64Array
	/** where it stopped: t1, or the last place reached */
	readonly t: number
	/** trial steps */
	readonly steps: number
	/**
	 * Sum of the estimated errors of the steps taken, as `tolerance` counts them: on smooth paths a safe bound, across a kink
	 * of the derivative an estimate only (it may be several times too small)
	 */
	readonly error: number
	/** false when the steps ran out, or the derivative is not defined further on */
	readonly reachedEnd: boolean
}

/** A step that was taken, with what its continuous extension needs. */
interface OdeStep {
	readonly t: number
	readonly h: number
	/** five rows of n: coefficients of the extension */
	readonly terms: Float64Array
}

export interface OdePath extends OdeResult {
	/** ends of the steps, first and last included, with the derivative there */
	readonly nodes: readonly { readonly t: number; readonly y: Float64Array; readonly dy: Float64Array }[]
	/** the state at t between the ends (4th order; Hairer II.6), written into `out` and returned */
	at(t: number, out?: Float64Array): Float64Array
}

// Dormand & Prince's pair (Hairer, Norsett & Wanner, Solving ODE I, 2nd ed., table II.5.2).
const A21 = 1 / 5
const A31 = 3 / 40
const A32 = 9 / 40
const A41 = 44 / 45
const A42 = -56 / 15
const A43 = 32 / 9
const A51 = 19372 / 6561
const A52 = -25360 / 2187
const A53 = 64448 / 6561
const A54 = -212 / 729
const A61 = 9017 / 3168
const A62 = -355 / 33
const A63 = 46732 / 5247
const A64 = 49 / 176
const A65 = -5103 / 18656
const B1 = 35 / 384
const B3 = 500 / 1113
const B4 = 125 / 192
const B5 = -2187 / 6784
const B6 = 11 / 84
const E1 = 71 / 57600
const E3 = -71 / 16695
const E4 = 71 / 1920
const E5 = -17253 / 339200
const E6 = 22 / 525
const E7 = -1 / 40
// Continuous extension (same book, II.6; Shampine's coefficients as in its code DOPRI5).
const D1 = -12715105075 / 11282082432
const D3 = 87487479700 / 32700410799
const D4 = -10690763975 / 1880347072
const D5 = 701980252875 / 199316789632
const D6 = -1453857185 / 822651844
const D7 = 69997945 / 29380423

/** Aim a little below the tolerance, so that the next step is not refused by a hair (Hairer II.4 advises 0.8 to 0.9). */
const SAFETY = 0.9
/** A step grows or shrinks at most so much at once: one odd estimate must not ruin the next step. */
const GROW = 5
const SHRINK = 0.2
/** Undefined ahead (off the captured surface): come back well inside. */
const SHRINK_UNDEFINED = 0.25
const DEFAULT_MAX_STEPS = 2000
const DEFAULT_MIN_STEP = 1e-3

type Stages = readonly [
	Float64Array,
	Float64Array,
	Float64Array,
	Float64Array,
	Float64Array,
	Float64Array,
	Float64Array,
	Float64Array,
]
/** Room for the stages of runs that are over, by size of the state: paths are short and very many. */
const idle = new Map<number, Stages[]>()

function takeStages(n: number): Stages {
	const room = () => new Float64Array(n)
	return idle.get(n)?.pop() ?? [room(), room(), room(), room(), room(), room(), room(), room()]
}

function giveBack(stages: Stages, n: number) {
	const kept = idle.get(n)
	if (kept) kept.push(stages)
	else idle.set(n, [stages])
}

function run(
	f: Derivative,
	y0: ArrayLike<number>,
	t0: number,
	t1: number,
	options: OdeOptions,
	onStep?: (step: OdeStep, y: Float64Array, dy: Float64Array) => void,
): OdeResult {
	const { tolerance, scale } = options
	if (!(tolerance > 0)) throw new RangeError('integrate: tolerance must be greater than 0')
	const n = y0.length
	const span = t1 - t0
	const length = Math.abs(span)
	const maxSteps = options.maxSteps ?? DEFAULT_MAX_STEPS
	const minStep = options.minStep ?? length * DEFAULT_MIN_STEP
	const maxStep = options.maxStep ?? length
	const y = new Float64Array(n)
	for (let i = 0; i < n; i++) y[i] = y0[i]!
	if (!(length > 0)) return { y, t: t0, steps: 0, error: 0, reachedEnd: length === 0 }
	const direction = span > 0 ? 1 : -1
	const stages = takeStages(n)
	const [, k2, k3, k4, k5, k6, , z] = stages
	let [k1, , , , , , k7] = stages

	let t = t0
	let left = length
	let step = Math.min(length, maxStep)
	let error = 0
	let steps = 0
	const end = (reachedEnd: boolean): OdeResult => {
		giveBack(stages, n)
		return { y, t, steps, error, reachedEnd }
	}
	f(t, y, k1)
	while (left > 0) {
		if (steps >= maxSteps) return end(false)
		steps++
		if (step >= left) step = left
		// a rest shorter than the shortest step would have to be taken blindly: halve the way instead
		else if (left - step < minStep) step = left / 2
		const h = direction * step
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * A21 * k1[i]!
		f(t + h / 5, z, k2)
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * (A31 * k1[i]! + A32 * k2[i]!)
		f(t + h * 0.3, z, k3)
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * (A41 * k1[i]! + A42 * k2[i]! + A43 * k3[i]!)
		f(t + h * 0.8, z, k4)
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * (A51 * k1[i]! + A52 * k2[i]! + A53 * k3[i]! + A54 * k4[i]!)
		f(t + (h * 8) / 9, z, k5)
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * (A61 * k1[i]! + A62 * k2[i]! + A63 * k3[i]! + A64 * k4[i]! + A65 * k5[i]!)
		f(t + h, z, k6)
		for (let i = 0; i < n; i++) z[i] = y[i]! + h * (B1 * k1[i]! + B3 * k3[i]! + B4 * k4[i]! + B5 * k5[i]! + B6 * k6[i]!)
		f(t + h, z, k7)
		let worst = 0
		for (let i = 0; i < n; i++) {
			const e = h * (E1 * k1[i]! + E3 * k3[i]! + E4 * k4[i]! + E5 * k5[i]! + E6 * k6[i]! + E7 * k7[i]!)
			const size = Math.abs(scale ? e * scale[i]! : e)
			// not Math.max: a NaN must win
			if (!(size <= worst)) worst = size
		}
		const shortest = step <= minStep
		if (Number.isFinite(worst)) {
			const ratio = worst / tolerance
			const factor = ratio > 0 ? Math.min(GROW, Math.max(SHRINK, SAFETY * ratio ** -0.2)) : GROW
			if (ratio <= 1 || shortest) {
				onStep?.({ t, h, terms: extension(n, h, y, z, k1, k3, k4, k5, k6, k7) }, z, k7)
				error += worst
				y.set(z)
				const first = k1
				k1 = k7
				k7 = first
				left = step === left ? 0 : left - step
				t = left === 0 ? t1 : t + h
			}
			step = Math.min(maxStep, Math.max(minStep, step * factor))
		} else {
			if (shortest) return end(false)
			step = Math.max(minStep, step * SHRINK_UNDEFINED)
		}
	}
	return end(true)
}

function extension(
	n: number,
	h: number,
	y: Float64Array,
	z: Float64Array,
	k1: Float64Array,
	k3: Float64Array,
	k4: Float64Array,
	k5: Float64Array,
	k6: Float64Array,
	k7: Float64Array,
): Float64Array {
	const terms = new Float64Array(5 * n)
	for (let i = 0; i < n; i++) {
		const change = z[i]! - y[i]!
		const bend = h * k1[i]! - change
		terms[i] = y[i]!
		terms[n + i] = change
		terms[2 * n + i] = bend
		terms[3 * n + i] = change - h * k7[i]! - bend
		terms[4 * n + i] = h * (D1 * k1[i]! + D3 * k3[i]! + D4 * k4[i]! + D5 * k5[i]! + D6 * k6[i]! + D7 * k7[i]!)
	}
	return terms
}

/**
 * Integrates dy/dt = f(t, y) from t0 to t1 (either way round) by Dormand and Prince's 5(4) pair with step control
 * (Hairer, Norsett & Wanner, Solving Ordinary Differential Equations I, II.4). The first trial step is the whole
 * interval, so a straight path costs one step. The estimate is that of the 4th order formula while the 5th is kept
 * (local extrapolation): on smooth paths the true error of the whole comes out well below the tolerance of one step,
 * and `error` is the sum of the estimates. At `minStep` a step is taken whatever its error, and `error`
 * says so. Where f is not defined ahead, it stops at the last place reached with `reachedEnd` false.
 */
export function integrate(f: Derivative, y0: ArrayLike<number>, t0: number, t1: number, options: OdeOptions): OdeResult {
	return run(f, y0, t0, t1, options)
}

/** As `integrate`, keeping the way: the ends of the steps, and a continuous extension between them. */
export function integratePath(f: Derivative, y0: ArrayLike<number>, t0: number, t1: number, options: OdeOptions): OdePath {
	const n = y0.length
	const steps: OdeStep[] = []
	const start = Float64Array.from(y0)
	const slope = new Float64Array(n)
	f(t0, start, slope)
	const nodes = [{ t: t0, y: start, dy: slope }]
	const result = run(f, y0, t0, t1, options, (step, y, dy) => {
		steps.push(step)
		nodes.push({ t: step.t + step.h, y: y.slice(), dy: dy.slice() })
	})
	const last = nodes[nodes.length - 1]!
	if (nodes.length > 1) last.t = result.t
	const direction = t1 < t0 ? -1 : 1
	const at = (t: number, out = new Float64Array(n)): Float64Array => {
		if (steps.length === 0) {
			out.set(start)
			return out
		}
		let low = 0
		let high = steps.length - 1
		while (low < high) {
			const middle = (low + high + 1) >> 1
			if ((t - steps[middle]!.t) * direction >= 0) low = middle
			else high = middle - 1
		}
		const { t: from, h, terms } = steps[low]!
		const u = (t - from) / h
		const v = 1 - u
		for (let i = 0; i < n; i++) {
			const inner = terms[2 * n + i]! + u * (terms[3 * n + i]! + v * terms[4 * n + i]!)
			out[i] = terms[i]! + u * (terms[n + i]! + v * inner)
		}
		return out
	}
	return { ...result, nodes, at }
}
