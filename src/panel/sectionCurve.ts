import { GAUSS_5, gaussLegendre } from '../numeric/quadrature.ts'
import { brent } from '../numeric/root.ts'
import { buildSystem, factorise, leverages, type Solved, type System, solveSide } from '../numeric/smoothingSystem.ts'
import { evaluatePiece, type SplinePieces, splinePieces } from '../numeric/splinePieces.ts'

/** Readings of one section, from one end to the other, and which of them lie on a crease. */
export interface SectionReadings {
	/** across and down, mm */
	readonly points: readonly (readonly [number, number])[]
	/** indices of readings on creases, increasing, none of them first or last */
	readonly creases: readonly number[]
}

/** One section between two creases or ends: a smooth curve by its chord length t. */
export interface SectionPiece {
	/** index of its first reading */
	readonly first: number
	readonly t: readonly number[]
	readonly across: SplinePieces
	readonly down: SplinePieces
	/** across and down of the curve less those read, at each reading */
	readonly residuals: readonly (readonly [number, number])[]
	/** how much of its own place each reading decides, 0 to 1 */
	readonly leverage: Float64Array
}

export interface SectionCurve {
	readonly pieces: readonly SectionPiece[]
	/** length along the curve of each piece's start and end, counted from across = 0 */
	readonly breaks: readonly number[]
	/** across and down at a length along the curve, in a given piece */
	at(piece: number, length: number): readonly [number, number]
}

/**
 * The rms that readings are left by, in the gauge's own uncertainty, along the sections alone; with the blend along the panel it
 * comes to 0.46. More shrinks crowns, less makes slopes wild (0.25 to 0.5 is best on shells of known shape).
 */
const AIM = 0.3
const RANGE = [0.27, 0.33] as const
/** A crease's reading is met, by both curves that end on it. */
const PINNED = 1e-3
/**
 * log10 of the weight, by spacing^5 / sd^2, at which white noise is left by 0.3 of itself: a smoothing spline then passes waves up
 * to 2.55 / spacing (Silverman, Annals of Statistics 12, 1984), and -2.44 is log10 of 2.55^-6.
 */
const START = -2.44
/** Decades of lambda per mm^5 that readings 2 to 200 mm apart can want. */
const LOG_FROM = -8
const LOG_TO = 18

interface Part {
	readonly first: number
	readonly t: readonly number[]
	readonly system: System
	readonly sides: readonly [Float64Array, Float64Array]
	readonly sigmas: Float64Array
}

/**
 * Smooths all sections of a panel by one weight, so that all are equally stiff: quintic smoothing splines (Reinsch, Numer.
 * Math. 10, 1967) of across and down over the chord length, from crease to crease. The weight leaves readings by 0.3
 * of the gauge's uncertainty, and less where Mallows' Cp says that the shape asks for it.
 */
export function sectionCurves(
	sections: readonly SectionReadings[],
	sd: number,
): { readonly curves: readonly SectionCurve[]; readonly rms: number; readonly share: number } {
	const parts = sections.map((s) => partsOf(s, sd))
	const all = parts.flat()
	const count = all.reduce((sum, p) => sum + p.t.length, 0)
	/** rms of what readings are left by, in sd */
	const misfit = (log: number) => {
		let sum = 0
		for (const p of all) {
			factorise(p.system, 10 ** log, p.sides, p.sigmas)
			sum += solveSide(p.system, 0, p.sides[0]).sumSquares + solveSide(p.system, 1, p.sides[1]).sumSquares
		}
		return Math.sqrt(sum / count)
	}
	const freedom = () => all.reduce((sum, p) => sum + leverages(p.system).reduce((a, b) => a + b, 0), 0)
	const spacing = all.reduce((sum, p) => sum + (p.t[p.t.length - 1] as number), 0) / (count - all.length)
	let log = stiffness(misfit, 5 * Math.log10(spacing) - 2 * Math.log10(sd) + START)
	// Mallows' Cp may ask for less smoothing, where a sharp shoulder takes most of what is left; never for more.
	let rms = misfit(log)
	let df = freedom()
	for (let i = 0; i < 12; i++) {
		const looser = misfit(log - 1)
		const looserDf = freedom()
		if (looser ** 2 * count + 4 * looserDf >= rms ** 2 * count + 4 * df) break
		log -= 1
		rms = looser
		df = looserDf
	}
	const curves = parts.map((list) => curveOf(list, 10 ** log))
	return { curves, rms: rms * sd, share: df / count }
}

/** log10 of the weight at which readings are left by a share of their uncertainty within the range aimed at. */
function stiffness(misfit: (log: number) => number, start: number): number {
	// What is left grows with the weight; a secant on the logarithms, kept inside a bracket.
	let [low, high] = [LOG_FROM, LOG_TO]
	let at = Math.min(LOG_TO, Math.max(LOG_FROM, start))
	let before: { at: number; y: number } | undefined
	for (let i = 0; i < 30 && high - low > 0.1; i++) {
		const left = misfit(at)
		if (left >= RANGE[0] && left <= RANGE[1]) return at
		if (left > AIM) high = at
		else low = at
		const y = Math.log10(Math.max(1e-9, left) / AIM)
		const slope = before && before.at !== at ? (y - before.y) / (at - before.at) : 0.5
		before = { at, y }
		const next = slope > 0.01 ? at - y / slope : (low + high) / 2
		at = next > low && next < high ? next : (low + high) / 2
	}
	return low
}

function partsOf({ points, creases }: SectionReadings, sd: number): Part[] {
	const ends = [0, ...creases, points.length - 1]
	return ends.slice(1).map((last, i) => {
		const first = ends[i] as number
		const list = points.slice(first, last + 1)
		const t = [0]
		for (let k = 1; k < list.length; k++) {
			const [a, b] = [list[k - 1] as readonly [number, number], list[k] as readonly [number, number]]
			t.push((t[k - 1] as number) + Math.hypot(b[0] - a[0], b[1] - a[1]))
		}
		const sigmas = Float64Array.from(list, (_, k) => (isCrease(k) ? sd * PINNED : sd))
		function isCrease(k: number) {
			return (k === 0 && i > 0) || (k === list.length - 1 && i < creases.length)
		}
		return {
			first,
			t,
			system: buildSystem(t, sigmas, 2, {}, []),
			sides: [Float64Array.from(list, (p) => p[0]), Float64Array.from(list, (p) => p[1])] as const,
			sigmas,
		}
	})
}

function curveOf(parts: readonly Part[], lambda: number): SectionCurve {
	const pieces = parts.map(({ first, t, system, sides, sigmas }): SectionPiece => {
		factorise(system, lambda, sides, sigmas)
		const [across, down] = sides.map((side, c) => solveSide(system, c, side)) as [Solved, Solved]
		const spline = (solved: Solved) =>
			splinePieces({
				degree: 2 * system.order - 1,
				knots: system.knots.map((u) => system.origin + system.unit * u),
				coefficients: solved.coefficients,
			})
		return {
			first,
			t,
			across: spline(across),
			down: spline(down),
			residuals: t.map((_, k) => [
				(across.fitted[k] as number) - (sides[0][k] as number),
				(down.fitted[k] as number) - (sides[1][k] as number),
			]),
			leverage: leverages(system),
		}
	})
	const runs = pieces.map(measured)
	// Length from the first reading to where across is 0.
	const zero = centreOf(runs)
	let total = -zero
	const breaks = [total]
	for (const run of runs) {
		total += run.lengths[run.lengths.length - 1] as number
		breaks.push(total)
	}
	return {
		pieces,
		breaks,
		at: (index, length) => (runs[index] as Measured).at(length - (breaks[index] as number)),
	}
}

/** A piece with its length known at every reading. */
interface Measured {
	readonly piece: SectionPiece
	readonly lengths: readonly number[]
	/** length from its start to t between reading k and the next */
	lengthTo(k: number, t: number): number
	/** across and down at a length from its start; beyond its ends it runs on in its last bend */
	at(length: number): readonly [number, number]
	across(k: number, t: number): number
}

function measured(piece: SectionPiece): Measured {
	const { across, down, t } = piece
	const a = new Float64Array(4)
	const d = new Float64Array(4)
	const speed = (k: number, q: number) => {
		evaluatePiece(across, k, q, a)
		evaluatePiece(down, k, q, d)
		return Math.hypot(a[1] as number, d[1] as number)
	}
	const lengthTo = (k: number, q: number, panels = 1) => gaussLegendre((x) => speed(k, x), t[k] as number, q, GAUSS_5, panels)
	const lengths = [0]
	for (let k = 0; k + 1 < t.length; k++) lengths.push((lengths[k] as number) + lengthTo(k, t[k + 1] as number, 2))
	const whole = lengths[lengths.length - 1] as number
	return {
		piece,
		lengths,
		lengthTo: (k, q) => (lengths[k] as number) + lengthTo(k, q),
		across(k, q) {
			evaluatePiece(across, k, q, a)
			return a[0] as number
		},
		at(length) {
			const last = t.length - 2
			if (length < 0 || length > whole) {
				const [end, k, over] = length < 0 ? [t[0] as number, 0, length] : [t[last + 1] as number, last, length - whole]
				const q = end + over / speed(k, end)
				// The natural end has no third and fourth derivative: all but a parabola goes on.
				evaluatePiece(across, k, q, a)
				evaluatePiece(down, k, q, d)
				return [a[0] as number, d[0] as number]
			}
			let k = 0
			while (k < last && (lengths[k + 1] as number) < length) k++
			const [l0, l1, t0, t1] = [lengths[k], lengths[k + 1], t[k], t[k + 1]] as [number, number, number, number]
			let q = t0 + ((length - l0) / (l1 - l0)) * (t1 - t0)
			// Newton on length; a start by proportion is good to a few percent of a spacing.
			for (let i = 0; i < 4; i++) {
				const miss = l0 + lengthTo(k, q) - length
				q -= miss / speed(k, q)
				if (Math.abs(miss) < 1e-4) break
			}
			evaluatePiece(across, k, q, a)
			evaluatePiece(down, k, q, d)
			return [a[0] as number, d[0] as number]
		},
	}
}

/** Length from the first reading to across = 0, or to the end that is nearest to it. */
function centreOf(runs: readonly Measured[]): number {
	let before = 0
	for (const run of runs) {
		const { t } = run.piece
		// One value a reading, so that a zero cannot fall between two pieces by rounding.
		const x = t.map((at, k) => run.across(Math.min(k, t.length - 2), at))
		const k = x.findIndex((a, i) => i + 1 < x.length && a <= 0 && (x[i + 1] as number) >= 0)
		if (k >= 0) {
			const [t0, t1] = [t[k] as number, t[k + 1] as number]
			const root = brent((q) => run.across(k, q), t0, t1, { tolerance: 1e-9 })
			const nearest = Math.abs(x[k] as number) < Math.abs(x[k + 1] as number) ? t0 : t1
			return before + run.lengthTo(k, root.ok ? root.x : nearest)
		}
		before += run.lengths[run.lengths.length - 1] as number
	}
	const [first, last] = [runs[0], runs[runs.length - 1]] as [Measured, Measured]
	const start = Math.abs(first.across(0, 0))
	const end = Math.abs(last.across(last.piece.t.length - 2, last.piece.t[last.piece.t.length - 1] as number))
	return start < end ? 0 : before
}
