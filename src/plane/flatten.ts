import type { Cubic, PlanePoint } from './point.ts'
import type { LocalScale } from './vector.ts'

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
	// In numbers, not points: this is asked for a hundred thousand chords of one drawing.
	const walk = (
		x0: number,
		y0: number,
		x1: number,
		y1: number,
		x2: number,
		y2: number,
		x3: number,
		y3: number,
		u0: number,
		u1: number,
		depth: number,
	): void => {
		if (depth >= MAX_DEPTH || isFlat(x0, y0, x1, y1, x2, y2, x3, y3, toleranceMm, scale)) {
			points.push({ x: x3, y: y3 })
			params.push(u1)
			return
		}
		// De Casteljau at the middle.
		const [ax, ay] = [x0 + (x1 - x0) / 2, y0 + (y1 - y0) / 2]
		const [bx, by] = [x1 + (x2 - x1) / 2, y1 + (y2 - y1) / 2]
		const [dx, dy] = [x2 + (x3 - x2) / 2, y2 + (y3 - y2) / 2]
		const [abx, aby] = [ax + (bx - ax) / 2, ay + (by - ay) / 2]
		const [bdx, bdy] = [bx + (dx - bx) / 2, by + (dy - by) / 2]
		const [mx, my] = [abx + (bdx - abx) / 2, aby + (bdy - aby) / 2]
		const m = (u0 + u1) / 2
		walk(x0, y0, ax, ay, abx, aby, mx, my, u0, m, depth + 1)
		walk(mx, my, bdx, bdy, dx, dy, x3, y3, m, u1, depth + 1)
	}
	cubics.forEach((c, i) => {
		if (i === 0) {
			points.push(c[0])
			params.push(0)
		}
		walk(c[0].x, c[0].y, c[1].x, c[1].y, c[2].x, c[2].y, c[3].x, c[3].y, i, i + 1, 0)
	})
	return { points, params }
}

/**
 * A cubic lies within 3/4 of its handles' largest distance from the chord (4/9 where they lie on both sides), once the
 * handles project into the chord (Sederberg, Computer Aided Geometric Design, course notes, BYU, 2.7 on fat lines).
 */
function isFlat(
	x0: number,
	y0: number,
	x1: number,
	y1: number,
	x2: number,
	y2: number,
	x3: number,
	y3: number,
	toleranceMm: number,
	scale?: LocalScale,
): boolean {
	let sx = 1
	let sy = 1
	if (scale) {
		const local = scale((x0 + x3) / 2, (y0 + y3) / 2)
		sx = local.sx
		sy = local.sy
	}
	const [cx, cy] = [sx * (x3 - x0), sy * (y3 - y0)]
	const [ax, ay] = [sx * (x1 - x0), sy * (y1 - y0)]
	const [bx, by] = [sx * (x2 - x0), sy * (y2 - y0)]
	const length = Math.sqrt(cx * cx + cy * cy)
	// the hull is inside the tolerance whatever its shape
	if (length <= toleranceMm && Math.sqrt(ax * ax + ay * ay) <= toleranceMm && Math.sqrt(bx * bx + by * by) <= toleranceMm)
		return true
	const ta = ax * cx + ay * cy
	const tb = bx * cx + by * cy
	if (!(length > 0) || ta < 0 || tb < 0 || ta > length * length || tb > length * length) return false
	const da = (cx * ay - cy * ax) / length
	const db = (cx * by - cy * bx) / length
	const factor = da * db > 0 ? 3 / 4 : 4 / 9
	return factor * Math.max(Math.abs(da), Math.abs(db)) <= toleranceMm
}
