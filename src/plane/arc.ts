import type { Cubic, PlanePoint } from './point.ts'

export interface ArcCubics {
	readonly cubics: Cubic[]
	/** largest radial distance between arc and cubics, mm */
	readonly maxErrorMm: number
}

/** Beyond this the tolerance is below the rounding of the coordinates. */
const MAX_CUBICS = 4096

/**
 * Circular arc from angle `from` to angle `to` (radians, anticlockwise where to > from; more than a turn is allowed) as the
 * fewest equal cubics within `toleranceMm`. Handles 4/3 tan(theta/4): ends, middle and tangents exact (Goldapp, CAGD 8, 1991).
 * Throws a RangeError for a radius or tolerance that is not positive.
 */
export function arcCubics(centre: PlanePoint, radius: number, from: number, to: number, toleranceMm: number): ArcCubics {
	if (!(radius > 0) || !Number.isFinite(radius)) throw new RangeError(`radius is ${radius}, not above 0`)
	if (!(toleranceMm > 0)) throw new RangeError(`toleranceMm is ${toleranceMm}, not above 0`)
	if (!Number.isFinite(to - from)) throw new RangeError(`arc from ${from} to ${to}: not finite`)
	const sweep = to - from
	// no more than a quarter turn each
	let count = Math.max(1, Math.ceil(Math.abs(sweep) / (Math.PI / 2) - 1e-12))
	while (count < MAX_CUBICS && radius * radialError(sweep / count) > toleranceMm) count++
	const step = sweep / count
	const handle = (4 / 3) * Math.tan(step / 4) * radius
	const cubics: Cubic[] = []
	for (let i = 0; i < count; i++) {
		const a = from + step * i
		const b = i === count - 1 ? to : from + step * (i + 1)
		const p = { x: centre.x + radius * Math.cos(a), y: centre.y + radius * Math.sin(a) }
		const q = { x: centre.x + radius * Math.cos(b), y: centre.y + radius * Math.sin(b) }
		cubics.push([
			p,
			{ x: p.x - handle * Math.sin(a), y: p.y + handle * Math.cos(a) },
			{ x: q.x + handle * Math.sin(b), y: q.y - handle * Math.cos(b) },
			q,
		])
	}
	return { cubics, maxErrorMm: radius * radialError(step) }
}

/** A whole circle, anticlockwise from angle 0. */
export function circleCubics(centre: PlanePoint, radius: number, toleranceMm: number): ArcCubics {
	const circle = arcCubics(centre, radius, 0, 2 * Math.PI, toleranceMm)
	const first = circle.cubics[0] as Cubic
	const last = circle.cubics[circle.cubics.length - 1] as Cubic
	circle.cubics[circle.cubics.length - 1] = [last[0], last[1], last[2], first[0]]
	return circle
}

/**
 * Largest radial error of one cubic over an angle, for radius 1. |B(u)|^2 - 1 has double roots at 0, 1/2 and 1,
 * so it is a multiple of (u (1-u) (1-2u))^2 and peaks at u = 1/2 -+ sqrt(3)/6.
 */
function radialError(angle: number): number {
	const k = (4 / 3) * Math.tan(angle / 4)
	const u = 0.5 - Math.sqrt(3) / 6
	const v = 1 - u
	const c = Math.cos(angle)
	const s = Math.sin(angle)
	const x = v * v * v + 3 * v * v * u + 3 * v * u * u * (c + k * s) + u * u * u * c
	const y = 3 * v * v * u * k + 3 * v * u * u * (s - k * c) + u * u * u * s
	return Math.abs(Math.hypot(x, y) - 1)
}
