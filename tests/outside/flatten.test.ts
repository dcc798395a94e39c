// Areas laid flat against closed forms: panels that lie flat without stretch, and discs of a sphere.
import { describe, expect, test } from 'vitest'
import { distance } from '../../src/chart/distance.ts'
import { triangulate } from '../../src/plane/triangulate.ts'
import { layFlat } from '../../src/template/arap.ts'
import { areaOutline } from '../../src/template/areaOutline.ts'
import { conformalStart } from '../../src/template/conformalStart.ts'
import { flattenArea } from '../../src/template/flatten.ts'
import { panelMesh, shortLength } from '../../src/template/flattenMesh.ts'
import { stretchOf } from '../../src/template/stretch.ts'
import { inBox, KINDS, sphere } from '../chart/panels.ts'
import { box, discOf, onSphere, placeOf } from '../template/areas.ts'

const R = 150

describe('a panel without double curvature', () => {
	const kinds = KINDS.filter((k) => k.chart().developable)

	test.each(kinds.map((k) => [k.name, k] as const))('lies flat with less than a millionth of stretch: %s', (_, kind) => {
		const chart = kind.chart()
		const { s0, s1, g0, g1 } = kind.box
		const flat = flattenArea(chart, areaOutline(chart, [box(s0, s1, g0, g1)], [], 8), [], 1e-7)
		if (!flat) throw new Error('not laid flat')
		expect(flat.stretch.worst).toBeLessThan(1e-6)
		expect(flat.layingMm).toBeLessThan(1e-4)
		// Across the whole piece, paper's distance is the panel's (sheets without K are convex here in both).
		const n = flat.mesh.vertices
		for (let k = 0; k < 40; k++) {
			const [p, q] = [placeOf(flat, (k * 97) % n), placeOf(flat, (k * 389 + 11) % n)]
			const path = distance(chart, p.at, q.at)
			expect(Math.hypot(p.paper.x - q.paper.x, p.paper.y - q.paper.y)).toBeCloseTo(path?.length ?? Number.NaN, 4)
		}
	})

	test('comes flat from a poor start as well: a bent baseline, from station and girth as they are', () => {
		const chart = KINDS.find((k) => k.name === 'flat, bent baseline')?.chart()
		const plane = triangulate({
			loops: [
				[
					{ x: 20, y: -60 },
					{ x: 220, y: -60 },
					{ x: 220, y: 60 },
					{ x: 20, y: 60 },
				],
			],
			edgeMm: 10,
		})
		if (!chart || !plane) throw new Error('no mesh')
		const mesh = panelMesh(chart, plane, 1)
		const before = stretchOf(mesh, mesh.s, mesh.g)
		expect(before.worst).toBeGreaterThan(0.2)
		const laid = layFlat(mesh, { x: mesh.s, y: mesh.g }, 1e-6)
		if (!laid) throw new Error('not laid flat')
		expect(stretchOf(mesh, laid.x, laid.y).worst).toBeLessThan(1e-6)
	})
})

test('edges are as long as the straightest paths on the panel', () => {
	for (const kind of KINDS) {
		const chart = kind.chart()
		for (let k = 0; k < 12; k++) {
			const p = inBox(kind, 0.1 + 0.06 * k, (0.37 * k) % 1)
			const q = { s: p.s + 5 * Math.cos(k), g: p.g + 5 * Math.sin(k) }
			const path = distance(chart, p, q)
			expect(Math.abs(shortLength(chart, p, q) - (path?.length ?? Number.NaN))).toBeLessThan(1e-6)
		}
	}
})

describe('a disc of a sphere', () => {
	// sin(x) / x, and 2 pi R^2 (1 - cos x) (closed form): at r/R = 1/3 and 2/3 the rim is short by 1.84 % and 7.24 %.
	test.each([
		[1 / 3, 1.84],
		[2 / 3, 7.24],
	])('of radius %f R has a rim that is short by %f per cent', (share, percent) => {
		const chart = sphere(R)
		const r = share * R
		const flat = flattenArea(chart, areaOutline(chart, [discOf(R, r, 400)], [], 2.5), [], 1e-6)
		if (!flat) throw new Error('not laid flat')
		const { mesh } = flat
		let rim = 0
		let panel = 0
		for (let e = 0; e < mesh.triangles.length; e++) if ((mesh.twin[e] as number) < 0) rim += mesh.lengths[e] as number
		for (let t = 0; t < mesh.triangles.length; t += 3) {
			const [a, b, c] = [0, 1, 2].map((k) => mesh.lengths[t + k] as number) as [number, number, number]
			const s = (a + b + c) / 2
			panel += Math.sqrt(s * (s - a) * (s - b) * (s - c))
		}
		expect(100 * (1 - rim / (2 * Math.PI * r))).toBeCloseTo(percent, 1)
		const area = 2 * Math.PI * R * R * (1 - Math.cos(share))
		expect(Math.abs(panel - area) / area).toBeLessThan(1e-3)
		// The flat disc of least energy is round: rho(r) makes the integral of [(rho' - 1)^2 + (rho/f - 1)^2] f least, f = R sin(r/R).
		// Euler's equation (f (rho' - 1))' = rho/f - 1 with rho(0) = 0 and rho' = 1 at the rim, by central differences.
		const wanted = radialOptimum(r, 4000)
		const middle = centre(flat.rim[0] ?? [])
		const radii = (flat.rim[0] ?? []).map((p) => Math.hypot(p.x - middle.x, p.y - middle.y))
		expect(Math.max(...radii) - Math.min(...radii)).toBeLessThan(0.01)
		expect(Math.abs(radii.reduce((s, v) => s + v, 0) / radii.length - wanted)).toBeLessThan(0.01)
	})

	test('a conformal start keeps the length of its rim and is round', () => {
		// Conformal with the rim kept: a disc of circumference 2 pi R sin(r/R) (closed form), so of radius R sin(r/R).
		const chart = sphere(R)
		const loop = discOf(R, 60, 160).map(({ s, g }) => ({ x: s, y: g }))
		const plane = triangulate({ loops: [loop], edgeMm: 2.4 })
		if (!plane) throw new Error('no mesh')
		const mesh = panelMesh(chart, plane, 1)
		const start = conformalStart(mesh)
		if (!start) throw new Error('no start')
		const rim = mesh.rim[0]?.vertices ?? []
		const places = rim.map((v) => ({ x: start.x[v] as number, y: start.y[v] as number }))
		const middle = centre(places)
		for (const p of places) expect(Math.abs(Math.hypot(p.x - middle.x, p.y - middle.y) - R * Math.sin(60 / R))).toBeLessThan(0.05)
	})

	test('what is said of its error holds for places all over it', () => {
		// Great circles (haversine), not the chart: half the difference between any two places that see each other on paper.
		const chart = sphere(R)
		for (const r of [12, 20, 30]) {
			const flat = flattenArea(chart, areaOutline(chart, [discOf(R, r, 240)], [], r / 16), [], 1e-6)
			if (!flat) throw new Error('not laid flat')
			const n = flat.mesh.vertices
			let worst = 0
			for (let k = 0; k < 4000; k++) {
				const [p, q] = [placeOf(flat, (k * 97) % n), placeOf(flat, (k * 389 + 11) % n)]
				const off = Math.hypot(p.paper.x - q.paper.x, p.paper.y - q.paper.y) - onSphere(R, p.at, q.at)
				worst = Math.max(worst, Math.abs(off) / 2)
			}
			expect(worst).toBeLessThan(flat.layingMm + 1e-3)
			expect(flat.layingMm).toBeGreaterThan(0)
		}
	})
})

const centre = (points: readonly { x: number; y: number }[]) => ({
	x: points.reduce((s, p) => s + p.x, 0) / points.length,
	y: points.reduce((s, p) => s + p.y, 0) / points.length,
})

/** rho at the rim, by the Thomas algorithm on cells of the radius. */
function radialOptimum(r: number, n: number): number {
	const h = r / n
	const f = (x: number) => R * Math.sin(x / R)
	const [upper, right] = [new Float64Array(n + 1), new Float64Array(n + 1)]
	// rho_0 = 0; row i: f+ (d+ - 1) - f- (d- - 1) = h (rho/f - 1); at the rim the flux f (rho' - 1) ends, over half a cell.
	for (let i = 1; i <= n; i++) {
		const low = f((i - 0.5) * h)
		const high = i < n ? f((i + 0.5) * h) : 0
		const cell = i < n ? h : h / 2
		const diagonal = -(low + high) / h - cell / f(i * h)
		const rhs = high - low - cell
		const lower = low / h
		const m = diagonal - lower * (i > 1 ? (upper[i - 1] as number) : 0)
		upper[i] = high / h / m
		right[i] = (rhs - lower * (i > 1 ? (right[i - 1] as number) : 0)) / m
	}
	return right[n] as number
}
