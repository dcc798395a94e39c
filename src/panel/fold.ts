import { type GridAxis, lineSpline } from '../numeric/gridSpline.ts'

/** What a crease adds beyond it to a function of (s, g), so that the rest of the function is smooth. */
export interface Fold {
	/** +1 where it lies at g > 0 */
	readonly side: 1 | -1
	/** adds to f, fs, fg, fgg of each component, 4 in turn */
	add(s: number, g: number, out: Float64Array): void
	/** the same as the grid's samples have it: with no rounding; adds to one value for each component */
	sharp(s: number, g: number, out: Float64Array): void
	/** of component 0, its integral over girth from 0 to g */
	integral(s: number, g: number): number
}

/**
 * Creases are rounded so much, mm to each side: metal has no sharper ones (common practice, no source), and paths that cross
 * them still meet a bounded curvature.
 */
export const CREASE_ROUND_MM = 3

/** The spline through a crease's girths may lie so much under the least of them, mm. */
const SLACK_MM = 10

/** One line's crossing of the crease: unsigned girth, then the change of first and second derivative by it, per component. */
export interface FoldSample {
	readonly girth: number
	readonly first: readonly number[]
	readonly second: readonly number[]
}

/**
 * Beyond the crease at girth q(s): a(s) (|g| - q) + b(s) (|g| - q)^2 / 2, its first part rounded by a curve whose second
 * derivative is the parabola 3 (r^2 - x^2) / (4 r^3). Samples that are missing take their nearest neighbour's values.
 */
export function fold(side: 1 | -1, axis: GridAxis, samples: readonly (FoldSample | undefined)[], components: number): Fold {
	const width = 1 + 2 * components
	const rows = new Float64Array(axis.count * width)
	for (let i = 0; i < axis.count; i++) {
		const { girth, first, second } = nearest(samples, i)
		rows.set([girth, ...first, ...second], i * width)
	}
	const along = lineSpline(axis, rows, width)
	const at = new Float64Array(2 * width)
	const last = axis.from + (axis.count - 1) * axis.step
	const read = (s: number) => along.jet(axis.periodic ? s : Math.min(last, Math.max(axis.from, s)), at)
	const r = CREASE_ROUND_MM
	// Nearer the baseline than this nothing is added: by far the most places are.
	const nowhere = samples.reduce((least, x) => Math.min(least, x?.girth ?? least), Number.POSITIVE_INFINITY) - r - SLACK_MM
	return {
		side,
		add(s, g, out) {
			if (side * g <= nowhere || side * g <= 0) return
			read(s)
			const x = side * g - (at[0] as number)
			if (x <= -r) return
			const dq = at[1] as number
			const y = x + r
			const inside = x < r
			const ramp = inside ? (y ** 3 * (3 * r - x)) / (16 * r ** 3) : x
			const slope = inside ? (y * y * (2 * r - x)) / (4 * r ** 3) : 1
			const bend = inside ? (3 * (r * r - x * x)) / (4 * r ** 3) : 0
			const beyond = Math.max(0, x)
			for (let c = 0; c < components; c++) {
				const [a, da] = [at[2 + 2 * c] as number, at[3 + 2 * c] as number]
				const [b, db] = [at[2 + 2 * (components + c)] as number, at[3 + 2 * (components + c)] as number]
				const o = 4 * c
				out[o] = (out[o] as number) + a * ramp + (b * beyond * beyond) / 2
				out[o + 1] = (out[o + 1] as number) + da * ramp - a * slope * dq + (db * beyond * beyond) / 2 - b * beyond * dq
				out[o + 2] = (out[o + 2] as number) + side * (a * slope + b * beyond)
				out[o + 3] = (out[o + 3] as number) + a * bend + (x > 0 ? b : 0)
			}
		},
		sharp(s, g, out) {
			if (side * g <= 0) return
			read(s)
			const x = side * g - (at[0] as number)
			if (x <= 0) return
			for (let c = 0; c < components; c++) {
				const [a, b] = [at[2 + 2 * c] as number, at[2 + 2 * (components + c)] as number]
				out[c] = (out[c] as number) + a * x + (b * x * x) / 2
			}
		},
		integral(s, g) {
			if (side * g <= nowhere || side * g <= 0) return 0
			read(s)
			const x = side * g - (at[0] as number)
			if (x <= -r) return 0
			const y = x + r
			const inside = (t: number) => (r * t ** 4 - t ** 5 / 5) / (16 * r ** 3)
			const ramp = x < r ? inside(y) : inside(2 * r) + (x * x - r * r) / 2
			return side * ((at[2] as number) * ramp + ((at[4] as number) * Math.max(0, x) ** 3) / 6)
		},
	}
}

function nearest(samples: readonly (FoldSample | undefined)[], i: number): FoldSample {
	for (let d = 0; d < samples.length; d++) {
		const found = samples[i - d] ?? samples[i + d]
		if (found) return found
	}
	throw new RangeError('fold: no sample')
}
