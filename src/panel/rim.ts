import type { ChartPoint, SpacePoint } from '../chart/point.ts'
import type { Surface } from './surface.ts'

/** Places along each side of the captured surface: its rim is as smooth as its sections. */
const ALONG = 48
const STEPS = 20
const NEARLY_ALL = 0.97
/** A place of the rim is found when it is this near, mm; one farther off lies where the chart does not reach. */
const FOUND_MM = 0.05
const GOOD_MM = 1e-6

/** Step of the central differences, mm: their error goes with its square, that of rounding with its inverse. */
const STEP_MM = 0.01

type Embed = (p: ChartPoint) => SpacePoint

/**
 * The rim of the captured surface in (s, g): all round its parameters, each place found by Gauss-Newton from the one before or
 * the nearest of `starts`. Undefined where the chart does not reach all of it: its own limits then say more.
 */
export function rimOf(
	surface: Surface,
	inSpace: (x: SpacePoint) => SpacePoint,
	embed: Embed,
	starts: readonly ChartPoint[],
): ChartPoint[] | undefined {
	const { uMin, uMax, vMin, vMax } = surface
	const sides = [
		[uMin, vMin, uMax, vMin],
		[uMax, vMin, uMax, vMax],
		[uMax, vMax, uMin, vMax],
		[uMin, vMax, uMin, vMin],
	] as const
	let nodes: { readonly on: ChartPoint; readonly at: SpacePoint }[] | undefined
	const anywhere = (x: SpacePoint) => {
		nodes ??= starts.map((on) => ({ on, at: embed(on) }))
		return nearest(nodes, x)
	}
	let last: ChartPoint | undefined
	const rim = sides.flatMap(([u0, v0, u1, v1]) =>
		Array.from({ length: ALONG }, (_, i) => {
			const t = i / ALONG
			const x = inSpace(surface.jet(u0 + (u1 - u0) * t, v0 + (v1 - v0) * t).x)
			last = (last && placeOf(embed, last, x)) ?? placeOf(embed, anywhere(x), x)
			return last
		}).flatMap((p) => (p ? [p] : [])),
	)
	// With gaps it would cut across the panel.
	return rim.length > NEARLY_ALL * 4 * ALONG ? rim : undefined
}

function nearest(starts: readonly { readonly on: ChartPoint; readonly at: SpacePoint }[], x: SpacePoint): ChartPoint {
	let best = starts[0] as (typeof starts)[number]
	for (const one of starts) if (apart(one.at, x) < apart(best.at, x)) best = one
	return best.on
}

const apart = (a: SpacePoint, b: SpacePoint) => (a.x - b.x) ** 2 + (a.y - b.y) ** 2 + (a.z - b.z) ** 2

function placeOf(embed: Embed, start: ChartPoint, x: SpacePoint): ChartPoint | undefined {
	let p = start
	for (let i = 0; i < STEPS; i++) {
		const at = embed(p)
		const xs = rate(embed({ s: p.s + STEP_MM, g: p.g }), embed({ s: p.s - STEP_MM, g: p.g }))
		const xg = rate(embed({ s: p.s, g: p.g + STEP_MM }), embed({ s: p.s, g: p.g - STEP_MM }))
		const d = { x: x.x - at.x, y: x.y - at.y, z: x.z - at.z }
		const [a, b, c] = [dot(xs, xs), dot(xs, xg), dot(xg, xg)]
		const [u, v] = [dot(xs, d), dot(xg, d)]
		const det = a * c - b * b
		if (!(det > 0)) return undefined
		const [ds, dg] = [(u * c - v * b) / det, (v * a - u * b) / det]
		p = { s: p.s + ds, g: p.g + dg }
		if (Math.hypot(ds, dg) < GOOD_MM) return Math.sqrt(apart(embed(p), x)) < FOUND_MM ? p : undefined
	}
	return undefined
}

const rate = (a: SpacePoint, b: SpacePoint): SpacePoint => ({
	x: (a.x - b.x) / (2 * STEP_MM),
	y: (a.y - b.y) / (2 * STEP_MM),
	z: (a.z - b.z) / (2 * STEP_MM),
})
const dot = (a: SpacePoint, b: SpacePoint) => a.x * b.x + a.y * b.y + a.z * b.z
