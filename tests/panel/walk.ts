import type { SpacePoint } from '../../src/chart/point.ts'
import type { Surface } from '../../src/panel/surface.ts'

/**
 * A line laid on a surface by its in-surface curvature alone, with nothing of the chart or of the tool's own walks: from place
 * to place in space, each short step a piece of circle in the tangent plane, and back onto the surface along the normal.
 */
export function layOn(
	surface: Surface,
	start: { readonly u: number; readonly v: number },
	direction: SpacePoint,
	curvature: (length: number) => number,
	length: number,
	steps: number,
): SpacePoint[] {
	const dot = (a: SpacePoint, b: SpacePoint) => a.x * b.x + a.y * b.y + a.z * b.z
	const add = (a: SpacePoint, b: SpacePoint, w: number) => ({ x: a.x + w * b.x, y: a.y + w * b.y, z: a.z + w * b.z })
	const cross = (a: SpacePoint, b: SpacePoint) => ({
		x: a.y * b.z - a.z * b.y,
		y: a.z * b.x - a.x * b.z,
		z: a.x * b.y - a.y * b.x,
	})
	const unit = (a: SpacePoint) => add({ x: 0, y: 0, z: 0 }, a, 1 / Math.sqrt(dot(a, a)))
	let { u, v } = start
	/** moves (u, v) so that the surface's place is the one nearest to p */
	const foot = (p: SpacePoint) => {
		for (let i = 0; i < 8; i++) {
			const { x, xu, xv } = surface.jet(u, v)
			const d = add(p, x, -1)
			const [e, f, g, a, b] = [dot(xu, xu), dot(xu, xv), dot(xv, xv), dot(d, xu), dot(d, xv)]
			u += (g * a - f * b) / (e * g - f * f)
			v += (e * b - f * a) / (e * g - f * f)
		}
		const jet = surface.jet(u, v)
		return { x: jet.x, n: unit(cross(jet.xu, jet.xv)) }
	}
	let at = foot(surface.jet(u, v).x)
	const flat = (t: SpacePoint, n: SpacePoint) => unit(add(t, n, -dot(t, n)))
	let t = flat(direction, at.n)
	const points = [at.x]
	const h = length / steps
	for (let i = 0; i < steps; i++) {
		const k = curvature((i + 0.5) * h)
		// Half the turn, the step along the middle direction, half the turn again (second order).
		const turn = (dir: SpacePoint, n: SpacePoint) => unit(add(dir, cross(n, dir), Math.tan((k * h) / 2)))
		const ahead = turn(t, at.n)
		const middle = foot(add(at.x, ahead, h / 2))
		const along = flat(ahead, middle.n)
		const end = foot(add(at.x, along, h))
		// The chord of a bent step is shorter than the step: put right along the direction.
		const chord = Math.sqrt(dot(add(end.x, at.x, -1), add(end.x, at.x, -1)))
		at = foot(add(end.x, along, h - chord))
		t = turn(flat(along, at.n), at.n)
		points.push(at.x)
	}
	return points
}
