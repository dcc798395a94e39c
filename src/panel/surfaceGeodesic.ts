import { type CreasePassed, stepOverCreases } from './crossCrease.ts'
import type { Surface } from './surface.ts'
import { forms, rungeKutta } from './surfaceStep.ts'

/** A place of a surface by its parameters. */
export interface SurfacePoint {
	readonly u: number
	readonly v: number
}

/** A direction at a place of a surface: parameters per mm of length. */
export interface SurfaceRay extends SurfacePoint {
	readonly du: number
	readonly dv: number
}

/** One step of a walk, in place, over the creases in its way; each one passed is told. */
export function stepOn(surface: Surface, y: Float64Array, h: number, onCrease?: (passed: CreasePassed) => void): void {
	if (surface.creases) stepOverCreases(surface, y, h, onCrease)
	else rungeKutta(surface, y, h)
}

/** Where a straightest path on a surface has come to. */
export interface SurfaceShot extends SurfaceRay {
	/** a Jacobi field at the end, and its derivative by length */
	readonly spread: number
	readonly spreadRate: number
}

/**
 * Follows the straightest path from a ray (of unit speed) for `length` mm (negative: backwards) in equal steps of at most
 * `stepMm`, with the Jacobi field that starts as (`spread`, `spreadRate`). On surfaces bent at 100 mm steps of 2 mm are good
 * to 1e-8 mm over 400 mm.
 */
export function walk(
	surface: Surface,
	ray: SurfaceRay,
	length: number,
	{ spread = 1, spreadRate = 0, stepMm = 2 }: { spread?: number; spreadRate?: number; stepMm?: number } = {},
): SurfaceShot {
	const steps = Math.max(1, Math.ceil(Math.abs(length) / stepMm))
	const y = Float64Array.of(ray.u, ray.v, ray.du, ray.dv, spread, spreadRate)
	for (let i = 0; i < steps; i++) stepOn(surface, y, length / steps)
	const [u, v, du, dv, j, dj] = y as unknown as [number, number, number, number, number, number]
	return { u, v, du, dv, spread: j, spreadRate: dj }
}

/** The ray of unit speed at a place whose direction is that of (du, dv). */
export function unitRay(surface: Surface, { u, v, du, dv }: SurfaceRay): SurfaceRay {
	const { e, f, g } = forms(surface.jet(u, v))
	const speed = Math.sqrt(e * du * du + 2 * f * du * dv + g * dv * dv)
	return { u, v, du: du / speed, dv: dv / speed }
}

/** The same ray turned by an angle, from u towards v. */
export function turned(surface: Surface, ray: SurfaceRay, angle: number): SurfaceRay {
	const { e, f, g, det } = forms(surface.jet(ray.u, ray.v))
	const root = Math.sqrt(det)
	// A quarter turn: perpendicular, of the same length, (u, v, outward) right-handed.
	const pu = -(f * ray.du + g * ray.dv) / root
	const pv = (e * ray.du + f * ray.dv) / root
	const c = Math.cos(angle)
	const s = Math.sin(angle)
	return { u: ray.u, v: ray.v, du: c * ray.du + s * pu, dv: c * ray.dv + s * pv }
}

export interface SurfacePath {
	readonly start: SurfaceRay
	readonly end: SurfaceRay
	readonly length: number
	/** how far it ends from its goal, mm */
	readonly errorMm: number
}

/** Newton doubles its digits; a path that needs more steps than this does not converge. */
const MAX_NEWTON = 40

/**
 * The straightest path between two places, or undefined where none was found. Shooting by direction and length with the Jacobi
 * field as the derivative across; the start is the straight line of the parameters.
 */
export function surfaceDistance(
	surface: Surface,
	p: SurfacePoint,
	q: SurfacePoint,
	{ toleranceMm = 1e-8, stepMm = 2 }: { toleranceMm?: number; stepMm?: number } = {},
): SurfacePath | undefined {
	const goal = surface.jet(q.u, q.v)
	let ray = unitRay(surface, { ...p, du: q.u - p.u, dv: q.v - p.v })
	let length = chord(surface, p, q)
	if (!(length > toleranceMm)) return undefined
	let before = Number.POSITIVE_INFINITY
	for (let i = 0; i < MAX_NEWTON; i++) {
		const end = walk(surface, ray, length, { spread: 0, spreadRate: 1, stepMm })
		const at = surface.jet(end.u, end.v)
		const { e, f, g, det } = forms(at)
		// What is missing, along the path and across it, from the parameters: near the goal they are as good as space.
		const du = q.u - end.u
		const dv = q.v - end.v
		const along = e * du * end.du + f * (du * end.dv + dv * end.du) + g * dv * end.dv
		const across = Math.sqrt(det) * (end.du * dv - end.dv * du)
		const miss = Math.hypot(goal.x.x - at.x.x, goal.x.y - at.x.y, goal.x.z - at.x.z)
		if (!Number.isFinite(miss)) return undefined
		// Newton has come to rest at rounding.
		if (miss <= toleranceMm || (miss < 100 * toleranceMm && miss >= before)) return { start: ray, end, length, errorMm: miss }
		before = miss
		const lever = Math.abs(end.spread) > 1e-3 * length ? end.spread : length
		ray = unitRay(surface, turned(surface, ray, Math.max(-0.5, Math.min(0.5, across / lever))))
		length = Math.max(length / 2, Math.min(length * 2, length + along))
	}
	return undefined
}

/** Length of the straight line of the parameters, by 16 chords: a start for Newton. */
function chord(surface: Surface, p: SurfacePoint, q: SurfacePoint): number {
	let sum = 0
	let last = surface.jet(p.u, p.v).x
	for (let i = 1; i <= 16; i++) {
		const next = surface.jet(p.u + ((q.u - p.u) * i) / 16, p.v + ((q.v - p.v) * i) / 16).x
		sum += Math.hypot(next.x - last.x, next.y - last.y, next.z - last.z)
		last = next
	}
	return sum
}
