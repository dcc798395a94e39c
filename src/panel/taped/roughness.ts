import type { Series } from './series.ts'

/**
 * How freely the bend of J is taken to change along and across, as log10 of what the slowest wave may change J by (1 sd) at the
 * outermost girth: -1.5 is 3 %.
 */
export interface Roughness {
	readonly along: number
	readonly across: number
}

/** The bend of a ball of 50 mm radius, 1/mm^2: the mean bend may be anything up to some times this. */
const MEAN_SD = 1 / 50 ** 2

/**
 * What is believed of panels before reading them, where the readings tell little: J changes by 3 % more or less than a constant
 * bend, within a factor of 3 (1 sd). Chosen so that stated uncertainties are met on an ellipsoid, a torus and a tank (rms of
 * error / stated 0.8 to 1.15); without it a few readings that happen to agree claim far too much (1.5 to 2).
 */
export const USUAL: Roughness = { along: -1.5, across: -1.5 }
const USUAL_SD = 0.5
/** Rougher than factor 2 in J no panel is, smoother than 0.1 % no reading tells. */
const LEAST = -3
const MOST = -0.3

/** Variances of the terms: a penalty on (a^2 / along + b^2 / across)^2, second differences of the bend, seen as belief (Wahba 1983). */
export function priorOf({ along, across, girth, widths }: Series, roughness: Roughness): Float64Array {
	const bend = 2 / (girth * girth)
	const tauAlong = bend * 10 ** roughness.along
	const tauAcross = bend * 10 ** roughness.across
	const variances = new Float64Array(along * across)
	for (let a = 0, at = 0; a < along; a++) {
		for (let b = 0; b < across; b++, at++) {
			const waves = (a * a) / tauAlong + (b / widths) ** 2 / tauAcross
			const share = (a > 0 ? 2 : 1) * (b > 0 ? 2 : 1)
			variances[at] = at === 0 ? MEAN_SD ** 2 : share / 2 / waves ** 2
		}
	}
	return variances
}

/** -2 log of the belief in a roughness. */
const unusual = (r: Roughness) => ((r.along - USUAL.along) ** 2 + (r.across - USUAL.across) ** 2) / USUAL_SD ** 2

/** The search starts from every second place of a grid this wide, and ends with steps a quarter of it. */
const GRID = [-2.5, -1.5, -0.5] as const
const STEPS = [0.5, 0.25] as const
/** A grid of quarters within the limits has 12 x 12 places. */
const MOST_MOVES = 144

/**
 * The roughness that the readings make likeliest together with what is usual: `unlikely` is -2 log of the likelihood of the readings
 * (Wahba, Annals of Statistics 13, 1985: maximum likelihood against cross-validation), undefined where it cannot be had.
 */
export function likeliest(unlikely: (r: Roughness) => number | undefined): { roughness: Roughness; score: number } | undefined {
	const known = new Map<string, number>()
	const scoreAt = (r: Roughness): number => {
		const key = `${r.along} ${r.across}`
		const score = known.get(key) ?? (unlikely(r) ?? Number.POSITIVE_INFINITY) + unusual(r)
		known.set(key, score)
		return score
	}
	let best: Roughness = USUAL
	for (const along of GRID) for (const across of GRID) if (scoreAt({ along, across }) < scoreAt(best)) best = { along, across }
	for (const step of STEPS) {
		for (let moves = 0; moves < MOST_MOVES; moves++) {
			const here = best
			for (const [da, dc] of [
				[1, 0],
				[-1, 0],
				[0, 1],
				[0, -1],
				[1, -1],
				[-1, 1],
			] as const) {
				const next = { along: here.along + da * step, across: here.across + dc * step }
				const inside = Math.min(next.along, next.across) >= LEAST && Math.max(next.along, next.across) <= MOST
				if (inside && scoreAt(next) < scoreAt(best)) best = next
			}
			if (best === here) break
		}
	}
	return Number.isFinite(scoreAt(best)) ? { roughness: best, score: scoreAt(best) } : undefined
}
