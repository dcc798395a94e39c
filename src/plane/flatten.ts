import { splitCubic } from './cubic.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { cross, dot, type LocalScale, minus, norm } from './vector.ts'

export interface Flattened {
	readonly points: PlanePoint[]
	/** of each point: index of its cubic plus u in it; the last point has the number of cubics */
	readonly params: number[]
}

/** 2^20 chords of one cubic: only a tolerance below the rounding of the coordinates asks for more. */
const MAX_DEPTH = 20

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
	const walk = (c: Cubic, u0: number, u1: number, depth: number): void => {
		if (depth >= MAX_DEPTH || isFlat(c, toleranceMm, scale)) {
			points.push(c[3])
			params.push(u1)
			return
		}
		const [a, b] = splitCubic(c, 0.5)
		const m = (u0 + u1) / 2
		walk(a, u0, m, depth + 1)
		walk(b, m, u1, depth + 1)
	}
	cubics.forEach((c, i) => {
		if (i === 0) {
			points.push(c[0])
			params.push(0)
		}
		walk(c, i, i + 1, 0)
	})
	return { points, params }
}

/**
 * A cubic lies within 3/4 of its handles' largest distance from the chord (4/9 where they lie on both sides), once the
 * handles project into the chord (Sederberg, Computer Aided Geometric Design, course notes, BYU, 2.7 on fat lines).
 */
function isFlat(c: Cubic, toleranceMm: number, scale?: LocalScale): boolean {
	let chord = minus(c[3], c[0])
	let a = minus(c[1], c[0])
	let b = minus(c[2], c[0])
	if (scale) {
		const { sx, sy } = scale((c[0].x + c[3].x) / 2, (c[0].y + c[3].y) / 2)
		chord = { x: sx * chord.x, y: sy * chord.y }
		a = { x: sx * a.x, y: sy * a.y }
		b = { x: sx * b.x, y: sy * b.y }
	}
	const length = norm(chord)
	// the hull is inside the tolerance whatever its shape
	if (norm(a) <= toleranceMm && norm(b) <= toleranceMm && length <= toleranceMm) return true
	const ta = dot(a, chord)
	const tb = dot(b, chord)
	if (!(length > 0) || ta < 0 || tb < 0 || ta > length * length || tb > length * length) return false
	const da = cross(chord, a) / length
	const db = cross(chord, b) / length
	const factor = da * db > 0 ? 3 / 4 : 4 / 9
	return factor * Math.max(Math.abs(da), Math.abs(db)) <= toleranceMm
}
