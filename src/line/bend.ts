/** A line bent near a place on it: it passes beside where it was, in another direction, and is itself again farther on. */
import type { Chart } from '../chart/chart.ts'
import { frame, toChartCubic } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartCubic, Curve } from '../chart/point.ts'
import { fitCubics } from '../plane/fit.ts'

export interface Bend {
	/** length along the line of the place */
	readonly l: number
	/** so far to its plus side there, mm */
	readonly moveMm: number
	/** how much more of that a millimetre farther along the line: the tangent of its turn */
	readonly slope: number
	/** lengths over which it dies away, before the place and after it, mm */
	readonly overMm: readonly [number, number]
}

/** How far to its plus side a line is moved, with first and second derivative by its length. */
export interface Moved {
	readonly mm: number
	readonly slope: number
	readonly bend: number
}

/** Quintic Hermite polynomials (Farin, Curves and Surfaces for CAGD, 7.6): value or slope 1 at 0, all else to the second derivative 0 at 0 and 1. */
const VALUE = [1, 0, 0, -10, 15, -6] as const
const SLOPE = [0, 1, 0, -6, 8, -3] as const

function jet(c: readonly number[], t: number): readonly [number, number, number] {
	let [f, d, dd] = [0, 0, 0]
	for (let k = c.length - 1; k >= 0; k--) {
		dd = dd * t + 2 * d
		d = d * t + f
		f = f * t + (c[k] as number)
	}
	return [f, d, dd]
}

/** What a bend moves the line by at length x after its place (before it where negative). Continuous to the second derivative. */
export function movedBy({ moveMm, slope, overMm }: Omit<Bend, 'l'>, x: number): Moved {
	const way = x < 0 ? -1 : 1
	const over = overMm[x < 0 ? 0 : 1]
	const t = (way * x) / over
	if (!(t < 1)) return { mm: 0, slope: 0, bend: 0 }
	const [p, dp, ddp] = jet(VALUE, t)
	const [q, dq, ddq] = jet(SLOPE, t)
	return {
		mm: moveMm * p + way * slope * over * q,
		slope: (way * moveMm * dp) / over + slope * dq,
		bend: (moveMm * ddp) / (over * over) + (way * slope * ddq) / over,
	}
}

/** Stretches of a cubic shorter than this part of it are rounding. */
const LEAST_PART = 1e-9
/** The error of a fit is sampled: a tenth is kept for what lies between. */
const SAMPLED_SHARE = 0.9

/**
 * The line with all bends, each square off it along the panel (`parallelPoint`, whose derivative is exact for a changing
 * distance). Cubics that no bend reaches stay the very same; the others are fitted to the tolerance between the places where
 * bends begin and end.
 */
export function bent(chart: Chart, curve: Curve, bends: readonly Bend[], toleranceMm: number): Curve {
	const { length, lengthAt, at } = measure(chart, curve)
	const from = (l: number, place: number) => {
		const x = l - place
		return curve.closed ? x - length * Math.round(x / length) : x
	}
	const moved = (l: number) => {
		const all = bends.map((bend) => movedBy(bend, from(l, bend.l)))
		return { mm: all.reduce((sum, { mm }) => sum + mm, 0), slope: all.reduce((sum, { slope }) => sum + slope, 0) }
	}
	const ends = bends.flatMap(({ l, overMm }) => [l - overMm[0], l, l + overMm[1]])
	const breaks = (curve.closed ? ends.map((l) => l - length * Math.floor(l / length)) : ends)
		.filter((l) => l > 0 && l < length)
		.map(at)
		.sort((a, b) => a - b)
	let maxErrorMm = curve.maxErrorMm
	const cubics = curve.cubics.flatMap((cubic, i): readonly ChartCubic[] => {
		const us = [i, ...breaks.filter((u) => u > i + LEAST_PART && u < i + 1 - LEAST_PART), i + 1]
		const untouched = us.slice(1).every((u, k) => {
			const l = lengthAt(((us[k] as number) + u) / 2)
			return bends.every((bend) => {
				const x = from(l, bend.l)
				return x <= -bend.overMm[0] || x >= bend.overMm[1]
			})
		})
		if (untouched) return [cubic]
		return us.slice(1).flatMap((to, k) => {
			const fit = fitCubics(
				(u) => {
					const { mm, slope } = moved(lengthAt(u))
					const p = parallelPoint(chart, onCubic(chart, curve, i, u), mm, slope)
					return { x: p.at.s, y: p.at.g, dx: p.ds, dy: p.dg }
				},
				us[k] as number,
				to,
				{ toleranceMm: SAMPLED_SHARE * toleranceMm, scale: (s, g) => ({ sx: chart.metric(s, g).j, sy: 1 }) },
			)
			maxErrorMm = Math.max(maxErrorMm, curve.maxErrorMm + fit.maxErrorMm)
			return fit.cubics.map(toChartCubic)
		})
	})
	return { ...curve, cubics, maxErrorMm }
}

/** The frame at the end of a cubic is its own and not that of the next one, which may bend otherwise. */
const onCubic = (chart: Chart, curve: Curve, i: number, u: number) =>
	frame(chart, { ...curve, cubics: [curve.cubics[i] as ChartCubic] }, u - i)

/** Stations apart over which a line is looked along, mm, the farthest within a hand's reach (common practice, no source). */
const APART_MM = [15, 30, 60, 120]
const LOOKS = 24

/**
 * How much of a bend the eye sees, in radians: the largest angle between the chords of three places of the move that are equally
 * far apart (as `sides/eye.ts` judges a taped edge), from the place of the bend on; before it the line goes on straight.
 */
export function turnSeen({ moveMm, slope }: Pick<Bend, 'moveMm' | 'slope'>, overMm: number): number {
	const move = (x: number) => (x < 0 ? moveMm + slope * x : movedBy({ moveMm, slope, overMm: [overMm, overMm] }, x).mm)
	const turns = APART_MM.flatMap((h) =>
		Array.from({ length: LOOKS + 1 }, (_, i) => {
			const x = (i / LOOKS) * overMm
			return Math.abs(Math.atan((move(x + h) - move(x)) / h) - Math.atan((move(x) - move(x - h)) / h))
		}),
	)
	return Math.max(...turns)
}
