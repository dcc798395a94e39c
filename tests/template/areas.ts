import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import type { FlatArea } from '../../src/template/flatten.ts'
import { curve, straight } from '../chart/panels.ts'

/** Areas and their edges that tests lay flat. */

export const box = (s0: number, s1: number, g0: number, g1: number): ChartPoint[] => [
	{ s: s0, g: g0 },
	{ s: s1, g: g0 },
	{ s: s1, g: g1 },
	{ s: s0, g: g1 },
]

export const edge = (p: ChartPoint, q: ChartPoint): Curve => curve([straight(p, q)])

/** A geodesic disc of a sphere about a place of its baseline (spherical trigonometry: Todhunter, art. 62). */
export const discOf = (radius: number, r: number, n: number): ChartPoint[] =>
	Array.from({ length: n }, (_, i) => {
		const a = (2 * Math.PI * i) / n
		const d = r / radius
		const lat = Math.asin(Math.sin(d) * Math.sin(a))
		const lon = Math.atan2(Math.sin(d) * Math.cos(a), Math.cos(d))
		return { s: radius * lon, g: radius * lat }
	})

/** Shortest way between two places of a sphere whose baseline is its equator (haversine). */
export function onSphere(radius: number, p: ChartPoint, q: ChartPoint): number {
	const [a, b] = [p.g / radius, q.g / radius]
	const h = Math.sin((a - b) / 2) ** 2 + Math.cos(a) * Math.cos(b) * Math.sin((p.s - q.s) / radius / 2) ** 2
	return 2 * radius * Math.asin(Math.sqrt(h))
}

export const placeOf = ({ mesh, x, y }: FlatArea, v: number) => ({
	at: { s: mesh.s[v] as number, g: mesh.g[v] as number },
	paper: { x: x[v] as number, y: y[v] as number },
})
