import type { Cubic, PlanePoint } from './point.ts'
import type { LocalScale } from './vector.ts'

export interface Flattened {
	readonly points: PlanePoint[]
	/** of each point: index of its cubic plus u in it; the last point has the number of cubics */
	readonly params: number[]
}

/** Chords of one cubic: only a tolerance below the rounding of the coordinates asks for more. */
const MOST_CHORDS = 2 ** 20

/**
 * Polyline along the cubics, every chord within `toleranceMm` of its arc (in the local scale where one is given).
 * A closed run of cubics gives its first point again at the end.
 */
export function flatten(cubics: readonly Cubic[], toleranceMm: number, scale?: LocalScale): PlanePoint[] {
	return flattenWithParams(cubics, toleranceMm, scale).points
}

/** As `flatten`, with the parameter of every point. Throws a RangeError for a tolerance that is not positive. */
export function flattenWithParams(cubics: readonly Cubic[], toleranceMm: number, scale?: LocalScale): Flattened {
	if (!(toleranceMm > 0)) throw new RangeError(`toleranceMm is ${toleranceMm}, not above 0`)
	const points: PlanePoint[] = []
	const params: number[] = []
	cubics.forEach(([a, b, c, d], i) => {
		if (i === 0) {
			points.push(a)
			params.push(0)
		}
		const n = chordsOf(a, b, c, d, toleranceMm, scale)
		for (let k = 1; k < n; k++) {
			const u = k / n
			const v = 1 - u
			const [w0, w1, w2, w3] = [v * v * v, 3 * v * v * u, 3 * v * u * u, u * u * u]
			points.push({ x: w0 * a.x + w1 * b.x + w2 * c.x + w3 * d.x, y: w0 * a.y + w1 * b.y + w2 * c.y + w3 * d.y })
			params.push(i + u)
		}
		points.push(d)
		params.push(i + 1)
	})
	return { points, params }
}

/**
 * How many chords at even steps stay within the tolerance of a cubic: each leaves it by at most an eighth of its step squared
 * times the largest second derivative, which is six times the larger second difference of its points (Wang 1984; Sederberg,
 * Computer Aided Geometric Design, course notes, BYU, 10.6). Of a local scale the largest of three looks counts.
 */
function chordsOf(a: PlanePoint, b: PlanePoint, c: PlanePoint, d: PlanePoint, toleranceMm: number, scale?: LocalScale): number {
	let sx = 1
	let sy = 1
	if (scale) {
		const looks = [scale(a.x, a.y), scale((a.x + d.x) / 2, (a.y + d.y) / 2), scale(d.x, d.y)]
		sx = Math.max(...looks.map((look) => look.sx))
		sy = Math.max(...looks.map((look) => look.sy))
	}
	const first = Math.hypot(sx * (a.x - 2 * b.x + c.x), sy * (a.y - 2 * b.y + c.y))
	const second = Math.hypot(sx * (b.x - 2 * c.x + d.x), sy * (b.y - 2 * c.y + d.y))
	const n = Math.ceil(Math.sqrt((6 * Math.max(first, second)) / (8 * toleranceMm)))
	// A NaN is one chord, and shows.
	return n > 1 ? Math.min(n, MOST_CHORDS) : 1
}
