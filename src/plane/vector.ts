import type { PlanePoint } from './point.ts'

/** Vectors of the plane, mm. */

export const plus = (a: PlanePoint, b: PlanePoint): PlanePoint => ({ x: a.x + b.x, y: a.y + b.y })
export const minus = (a: PlanePoint, b: PlanePoint): PlanePoint => ({ x: a.x - b.x, y: a.y - b.y })
export const times = (a: PlanePoint, f: number): PlanePoint => ({ x: a.x * f, y: a.y * f })
/** a + f b */
export const along = (a: PlanePoint, b: PlanePoint, f: number): PlanePoint => ({ x: a.x + f * b.x, y: a.y + f * b.y })
export const mix = (a: PlanePoint, b: PlanePoint, f: number): PlanePoint => ({
	x: a.x + f * (b.x - a.x),
	y: a.y + f * (b.y - a.y),
})
export const dot = (a: PlanePoint, b: PlanePoint): number => a.x * b.x + a.y * b.y
/** positive where b lies to the left of a */
export const cross = (a: PlanePoint, b: PlanePoint): number => a.x * b.y - a.y * b.x
export const norm = (a: PlanePoint): number => Math.sqrt(a.x * a.x + a.y * a.y)
export const distance = (a: PlanePoint, b: PlanePoint): number => Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2)
/** quarter turn anticlockwise: the left of a direction */
export const left = (a: PlanePoint): PlanePoint => ({ x: -a.y, y: a.x })
/** unit vector; (0, 0) stays (0, 0) */
export function unit(a: PlanePoint): PlanePoint {
	const n = norm(a)
	return n > 0 ? { x: a.x / n, y: a.y / n } : { x: 0, y: 0 }
}

/** True lengths of 1 unit of x and of y at a place, for planes whose coordinates are not lengths (a chart: sx = J, sy = 1). */
export type LocalScale = (x: number, y: number) => { readonly sx: number; readonly sy: number }

/** Throws a RangeError that names the first point with a coordinate that is not a finite number. */
export function refuseNonFinite(points: readonly PlanePoint[], what: string): void {
	for (let i = 0; i < points.length; i++) {
		const p = points[i] as PlanePoint
		if (!Number.isFinite(p.x) || !Number.isFinite(p.y)) {
			throw new RangeError(`${what}: point ${i} is (${p.x}, ${p.y}), not a finite place`)
		}
	}
}
