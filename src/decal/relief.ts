/** Where a film is cut at its rim so that it lies down, when it takes less than the panel asks. */
import type { PlanePoint, Region } from '../plane/point.ts'
import { clipPolyline } from '../plane/region.ts'
import type { FilmLimits, Give } from './give.ts'
import type { LaidPoint } from './lay.ts'

/** A cut from the rim inwards, in the decal's frame. */
export interface ReliefCut {
	readonly from: PlanePoint
	readonly to: PlanePoint
	/** what it takes up: the film opens there by so much, or laps itself, mm */
	readonly opensMm: number
	readonly lapsMm: number
	/** mm of it that run through what is printed */
	readonly throughInkMm: number
}

/** A cut may open or lap by this much before the eye sees it, mm (common practice, no source). */
const TAKES_MM = 0.5
/** Of the way between two cuts, how far one is moved to keep off what is printed. */
const LOOKS = 9
const STRAY = 0.35
/** More cuts than this and the film is the wrong one. */
export const MOST_CUTS = 40

/**
 * Cuts evenly by what the film lacks or has too much of over its limits, each so deep that the film takes the rest, and moved a
 * little to where they cross least of what is printed. Empty where none are needed; undefined where it takes more than a film bears.
 */
export function reliefCuts(
	give: Give,
	limits: FilmLimits,
	ink: Region,
	place: (p: PlanePoint) => { readonly give: number },
): readonly ReliefCut[] | undefined {
	const rim = give.rim.flat()
	const excess = rim.map(({ give: g }) => Math.max(0, g - limits.stretch) + Math.max(0, -g - limits.pucker))
	const lengths = rim.map((a, i) => {
		const b = rim[(i + 1) % rim.length] as LaidPoint
		return Math.hypot(b.p.x - a.p.x, b.p.y - a.p.y)
	})
	const shares = rim.map(
		(_, i) => (((excess[i] as number) + (excess[(i + 1) % rim.length] as number)) / 2) * (lengths[i] as number),
	)
	const total = shares.reduce((a, b) => a + b, 0)
	if (total <= 0) return []
	const count = Math.ceil(total / TAKES_MM)
	if (count > MOST_CUTS) return undefined
	const each = total / count
	/** the place of the rim up to which a share of the excess lies */
	const rimAt = (want: number): LaidPoint => {
		let sum = 0
		for (let i = 0; i < rim.length; i++) {
			sum += shares[i] as number
			if (sum >= want && (shares[i] as number) > 0) return rim[i] as LaidPoint
		}
		return rim.at(-1) as LaidPoint
	}
	return Array.from({ length: count }, (_, k): ReliefCut => {
		const tries = Array.from({ length: LOOKS }, (_, n) => {
			const from = rimAt((k + 0.5 + STRAY * (n / (LOOKS - 1) - 0.5) * 2) * each)
			const to = inward(from, limits, place)
			const throughInkMm = clipPolyline([from.p, to], ink).reduce((sum, { points }) => sum + lengthOf(points), 0)
			const off = Math.abs(n - (LOOKS - 1) / 2)
			return { from, to, throughInkMm, off }
		})
		const best = tries.reduce((a, b) => (less(b, a) ? b : a))
		return {
			from: best.from.p,
			to: best.to,
			...(best.from.give > 0 ? { opensMm: each, lapsMm: 0 } : { opensMm: 0, lapsMm: each }),
			throughInkMm: best.throughInkMm,
		}
	})
}

type Try = { readonly throughInkMm: number; readonly off: number }
const less = (a: Try, b: Try) =>
	a.throughInkMm < b.throughInkMm - 0.05 || (Math.abs(a.throughInkMm - b.throughInkMm) <= 0.05 && a.off < b.off)

/** From the rim towards the middle, as far as the film gives more than it takes. */
function inward(from: LaidPoint, limits: FilmLimits, place: (p: PlanePoint) => { readonly give: number }): PlanePoint {
	const at = (t: number) => ({ x: from.p.x * (1 - t), y: from.p.y * (1 - t) })
	let [low, high] = [0, 1]
	for (let i = 0; i < 20; i++) {
		const t = (low + high) / 2
		const { give } = place(at(t))
		if (give > limits.stretch || -give > limits.pucker) low = t
		else high = t
	}
	return at(high)
}

const lengthOf = (points: readonly PlanePoint[]) =>
	points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - (points[i] as PlanePoint).x, p.y - (points[i] as PlanePoint).y), 0)
