import type { SpacePoint } from '../chart/point.ts'
import type { Surface, SurfaceJet } from './surface.ts'

/** First and second fundamental form at a place (do Carmo, Differential Geometry of Curves and Surfaces, 2-5, 3-3). */
export interface Forms {
	readonly e: number
	readonly f: number
	readonly g: number
	/** e g - f^2 */
	readonly det: number
	/** Gaussian curvature, 1/mm^2 */
	readonly k: number
}

export const dot = (a: SpacePoint, b: SpacePoint): number => a.x * b.x + a.y * b.y + a.z * b.z
export const cross = (a: SpacePoint, b: SpacePoint): SpacePoint => ({
	x: a.y * b.z - a.z * b.y,
	y: a.z * b.x - a.x * b.z,
	z: a.x * b.y - a.y * b.x,
})

export function forms(jet: SurfaceJet): Forms {
	const { xu, xv, xuu, xuv, xvv } = jet
	const e = dot(xu, xu)
	const f = dot(xu, xv)
	const g = dot(xv, xv)
	const det = e * g - f * f
	const nx = xu.y * xv.z - xu.z * xv.y
	const ny = xu.z * xv.x - xu.x * xv.z
	const nz = xu.x * xv.y - xu.y * xv.x
	const l = xuu.x * nx + xuu.y * ny + xuu.z * nz
	const m = xuv.x * nx + xuv.y * ny + xuv.z * nz
	const n = xvv.x * nx + xvv.y * ny + xvv.z * nz
	return { e, f, g, det, k: (l * n - m * m) / (det * det) }
}

/** State of a walk: u, v, u', v', and a Jacobi field j, j'. */
export const STATE = 6

/**
 * Derivative of the state by length: u'' = -Gamma (do Carmo 4-4; the tangential part of X_uu u'^2 + 2 X_uv u'v' + X_vv v'^2
 * taken off), j'' = -K j.
 */
export function derivative(surface: Surface, y: Float64Array, out: Float64Array, side?: number): void {
	const du = y[2] as number
	const dv = y[3] as number
	const u = y[0] as number
	const v = y[1] as number
	if (surface.write) surface.write(u, v, side ?? v, J)
	else writeJet(surface.jet(u, v, side))
	const [ux, vx, uux, uvx, vvx] = [J[1] as number, J[2] as number, J[3] as number, J[4] as number, J[5] as number]
	const [uy, vy, uuy, uvy, vvy] = [J[7] as number, J[8] as number, J[9] as number, J[10] as number, J[11] as number]
	const [uz, vz, uuz, uvz, vvz] = [J[13] as number, J[14] as number, J[15] as number, J[16] as number, J[17] as number]
	const e = ux * ux + uy * uy + uz * uz
	const f = ux * vx + uy * vy + uz * vz
	const g = vx * vx + vy * vy + vz * vz
	const det = e * g - f * f
	const p = du * du
	const q = 2 * du * dv
	const r = dv * dv
	const ax = uux * p + uvx * q + vvx * r
	const ay = uuy * p + uvy * q + vvy * r
	const az = uuz * p + uvz * q + vvz * r
	const au = ax * ux + ay * uy + az * uz
	const av = ax * vx + ay * vy + az * vz
	const nx = uy * vz - uz * vy
	const ny = uz * vx - ux * vz
	const nz = ux * vy - uy * vx
	const l = uux * nx + uuy * ny + uuz * nz
	const m = uvx * nx + uvy * ny + uvz * nz
	const n = vvx * nx + vvy * ny + vvz * nz
	out[0] = du
	out[1] = dv
	out[2] = -(g * au - f * av) / det
	out[3] = -(e * av - f * au) / det
	out[4] = y[5] as number
	out[5] = (-(l * n - m * m) / (det * det)) * (y[4] as number)
}

const J = new Float64Array(18)
function writeJet({ x, xu, xv, xuu, xuv, xvv }: SurfaceJet): void {
	for (const [d, p] of [x, xu, xv, xuu, xuv, xvv].entries()) {
		J[d] = p.x
		J[6 + d] = p.y
		J[12 + d] = p.z
	}
}

const K = [0, 1, 2, 3].map(() => new Float64Array(STATE))
const Z = new Float64Array(STATE)

/**
 * One step of the classical Runge-Kutta method (Hairer, Norsett & Wanner, Solving ODE I, II.1), in place. Of fixed length:
 * step control stalls on the knots of a spline surface. `side` as `Surface.jet` has it.
 */
export function rungeKutta(surface: Surface, y: Float64Array, h: number, side?: number): void {
	const [k1, k2, k3, k4] = K as [Float64Array, Float64Array, Float64Array, Float64Array]
	derivative(surface, y, k1, side)
	for (let i = 0; i < STATE; i++) Z[i] = (y[i] as number) + (h / 2) * (k1[i] as number)
	derivative(surface, Z, k2, side)
	for (let i = 0; i < STATE; i++) Z[i] = (y[i] as number) + (h / 2) * (k2[i] as number)
	derivative(surface, Z, k3, side)
	for (let i = 0; i < STATE; i++) Z[i] = (y[i] as number) + h * (k3[i] as number)
	derivative(surface, Z, k4, side)
	for (let i = 0; i < STATE; i++) {
		y[i] = (y[i] as number) + (h / 6) * ((k1[i] as number) + 2 * (k2[i] as number) + 2 * (k3[i] as number) + (k4[i] as number))
	}
}
