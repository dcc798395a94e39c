import { spawnSync } from 'node:child_process'
import { describe, expect, test } from 'vitest'
import { frame } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { shoot } from '../../src/chart/geodesic.ts'
import { measure } from '../../src/chart/measure.ts'
import { offset } from '../../src/chart/offset.ts'
import type { ChartPoint, Curve, SpacePoint } from '../../src/chart/point.ts'
import { constantWidth } from '../../src/chart/width.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { chartFromSurface } from '../../src/panel/fromSurface.ts'
import type { Surface } from '../../src/panel/surface.ts'
import { type SurfacePoint, surfaceDistance, turned, unitRay, walk } from '../../src/panel/surfaceGeodesic.ts'
import { dot, forms } from '../../src/panel/surfaceStep.ts'
import { corners } from '../chart/panels.ts'
import { alongMeridians, coneSurface, cylinderSurface, ellipsoid, geographic, torusSurface } from '../panel/surfaces.ts'

const DEG = Math.PI / 180
const centre = panelFrame('e', 'centre')

/** The chart of a surface about the geodesic between two of its places, and the way from parameters to the chart. */
function charted(surface: Surface, from: SurfacePoint, to: SurfacePoint) {
	const made = chartFromSurface({ frame: centre, surface, from, to, front: 0, errorMm: 0, curvatureSd: 0 })
	if (!made.ok) throw new Error(made.why)
	const { chart } = made
	const embed = chart.embed as (p: ChartPoint) => SpacePoint
	const minus = (p: SpacePoint, q: SpacePoint) => ({ x: p.x - q.x, y: p.y - q.y, z: p.z - q.z })
	/** the place of the chart that lies at this place of the surface in space: Gauss-Newton from the nearest of a coarse net */
	const at = (p: SurfacePoint): ChartPoint => {
		const goal = surface.jet(p.u, p.v).x
		let best = { s: 0, g: 0, miss: Number.POSITIVE_INFINITY }
		for (let s = chart.sMin; s <= chart.sMax; s += 10) {
			for (let g = chart.gMin(s); g <= chart.gMax(s); g += 10) {
				const d = minus(goal, embed({ s, g }))
				if (dot(d, d) < best.miss) best = { s, g, miss: dot(d, d) }
			}
		}
		let { s, g } = best
		for (let i = 0; i < 20; i++) {
			const h = 1e-3
			const d = minus(goal, embed({ s, g }))
			const [a, b] = [
				minus(embed({ s: s + h, g }), embed({ s: s - h, g })),
				minus(embed({ s, g: g + h }), embed({ s, g: g - h })),
			]
			const [aa, ab, bb, ad, bd] = [dot(a, a), dot(a, b), dot(b, b), dot(a, d), dot(b, d)]
			s += (2 * h * (bb * ad - ab * bd)) / (aa * bb - ab * ab)
			g += (2 * h * (aa * bd - ab * ad)) / (aa * bb - ab * ab)
		}
		return { s, g }
	}
	return { ...made, at }
}

// GeographicLib's GeodSolve -E (exact elliptic integrals), version 2.1.2: lengths in mm, angles in degrees.
const INVERSE = [
	[150, 220, 10, 0, 35, 60, 172.521156415, 40.810200727, 65.090651171],
	[150, 220, -20, 0, 40, 100, 370.004079191, 38.096356586, undefined],
	[150, 220, 0, 0, 50, 30, 220.42790203, 12.696658365, 26.269878785],
	[220, 150, 10, 0, 35, 60, 223.844082516, 65.18954116, undefined],
	[220, 150, 5, 0, 5, 120, 455.357576237, 64.223989293, undefined],
] as const
const DIRECT = [
	[150, 220, 30, 40, 120, 50.200001436, 63.678359804, 83.281494645, 106.809340113],
	[150, 220, -10, 75, 300, 7.750918076, 109.235628213, 72.479940677, 214.326927441],
	[220, 150, 30, 40, 120, 57.667082294, 29.504422312, 61.534029936, 113.445167667],
] as const

/** Azimuth from north of a direction on an ellipsoid whose u runs east and v north. */
function azimuth(surface: Surface, { u, v, du, dv }: SurfacePoint & { du: number; dv: number }): number {
	const { e, g } = forms(surface.jet(u, v))
	return Math.atan2(du * Math.sqrt(e), dv * Math.sqrt(g)) / DEG
}

describe('straightest paths on closed surfaces', () => {
	test.each(INVERSE)('a%d b%d: (%d, %d) to (%d, %d) is %d mm', (a, b, lat1, lon1, lat2, lon2, length, az1, az2) => {
		const s = ellipsoid(a, b)
		const path = surfaceDistance(s, geographic(a, b, lat1, lon1), geographic(a, b, lat2, lon2), { stepMm: 1 })
		if (!path) throw new Error('no path')
		expect(Math.abs(path.length - length)).toBeLessThan(1e-6)
		expect(azimuth(s, path.start)).toBeCloseTo(az1, 6)
		if (az2 !== undefined) expect(azimuth(s, path.end)).toBeCloseTo(az2, 6)
	})

	test.each(DIRECT)('a%d b%d: from latitude %d at azimuth %d for %d mm', (a, b, lat, az, length, lat2, lon2, az2, m12) => {
		const s = ellipsoid(a, b)
		const start = turned(s, unitRay(s, { ...geographic(a, b, lat, 0), du: 1, dv: 0 }), (90 - az) * DEG)
		const end = walk(s, start, length, { spread: 0, spreadRate: 1, stepMm: 1 })
		const goal = geographic(a, b, lat2, lon2)
		const [p, q] = [s.jet(end.u, end.v).x, s.jet(goal.u, goal.v).x]
		expect(Math.hypot(p.x - q.x, p.y - q.y, p.z - q.z)).toBeLessThan(1e-6)
		expect(Math.abs(end.spread - m12)).toBeLessThan(1e-6)
		expect(azimuth(s, end)).toBeCloseTo(az2, 6)
	})

	test('a prolate meridian quadrant, 150 and 220 mm: 293.203494950 mm (complete elliptic integral)', () => {
		const s = ellipsoid(150, 220)
		const end = walk(s, unitRay(s, { u: 0, v: 0, du: 0, dv: 1 }), 293.20349495, { stepMm: 1 })
		expect(Math.abs(s.jet(end.u, end.v).x.z - 220)).toBeLessThan(1e-8)
		expect(end.v).toBeCloseTo(50 * Math.PI, 7)
	})

	test('a prolate triangle pole, (0, 0), (50, 30): its angles exceed two right ones by the integral of K', () => {
		// Closed form and quadrature of K dA: 0.286701389178. The pole's angle is the difference of longitude.
		const s = ellipsoid(150, 220)
		const path = surfaceDistance(s, geographic(150, 220, 0, 0), geographic(150, 220, 50, 30), { stepMm: 1 })
		if (!path) throw new Error('no path')
		const [az1, az2] = [azimuth(s, path.start), azimuth(s, path.end)]
		expect((30 + az1 + (180 - az2) - 180) * DEG).toBeCloseTo(0.286701389178, 8)
	})

	test('a cylinder R 60: 120 degrees round and 90 mm along is 154.568324833 mm', () => {
		// Pythagoras on the unrolled sheet.
		const path = surfaceDistance(cylinderSurface(60, 100), { u: 0, v: -45 }, { u: 120 * DEG * 100, v: 45 })
		expect(path?.length).toBeCloseTo(154.568324833, 8)
	})

	test('a cone of radius 60 at slant 100: slants 80 and 100 a right angle apart are 83.63872287 mm', () => {
		// The sector of 216 degrees: 90 degrees about the axis are 54 on the flat; law of cosines.
		const path = surfaceDistance(coneSurface(60, 100), { u: -80, v: 0 }, { u: -100, v: 50 * Math.PI }, { stepMm: 0.5 })
		expect(path?.length).toBeCloseTo(83.63872287, 7)
	})
})

describe('through the chart made from a closed surface', () => {
	// About the equator: its lines run up the meridians to 60 degrees of reduced latitude, where J has fallen to a half.
	const ellipsoids = new Map(
		(
			[
				[150, 220],
				[220, 150],
			] as const
		).map(([a, b]) => [a, charted(ellipsoid(a, b, 1.1), { u: 0, v: 0 }, { u: 210, v: 0 })]),
	)

	test.each(INVERSE.slice(0, 4))('a%d b%d: (%d, %d) to (%d, %d) is %d mm', (a, b, lat1, lon1, lat2, lon2, length) => {
		const { chart, at } = ellipsoids.get(a) as ReturnType<typeof charted>
		const path = distance(chart, at(geographic(a, b, lat1, lon1)), at(geographic(a, b, lat2, lon2)))
		expect(Math.abs((path?.length ?? Number.NaN) - length)).toBeLessThan(1e-3)
	})

	test.each(DIRECT)('a%d b%d: from latitude %d at azimuth %d for %d mm', (a, b, lat, az, length, lat2, lon2, _, m12) => {
		const { chart, at } = ellipsoids.get(a) as ReturnType<typeof charted>
		const start = geographic(a, b, lat, 0)
		const p = at(start)
		// Direction on the chart of a direction on the surface: a step along it.
		const s = ellipsoid(a, b)
		const ray = turned(s, unitRay(s, { ...start, du: 1, dv: 0 }), (90 - az) * DEG)
		const h = 0.05
		const [q, r] = [
			at({ u: start.u + h * ray.du, v: start.v + h * ray.dv }),
			at({ u: start.u - h * ray.du, v: start.v - h * ray.dv }),
		]
		const angle = Math.atan2(q.g - r.g, (q.s - r.s) * chart.metric(p.s, p.g).j)
		const shot = shoot(chart, p, angle, length, { spread: 0, spreadRate: 1 })
		const goal = at(geographic(a, b, lat2, lon2))
		expect(Math.hypot((shot.at.s - goal.s) * chart.metric(goal.s, goal.g).j, shot.at.g - goal.g)).toBeLessThan(1e-3)
		expect(Math.abs(shot.spread - m12)).toBeLessThan(1e-3)
	})

	test('J about a meridian is the geodesic scale of the lines square off it', () => {
		// GeographicLib: M12 of Direct(latitude at s, 0, azimuth 90, g), a 150 mm, b 220 mm.
		const { chart, fromS } = charted(alongMeridians(ellipsoid(150, 220)), { u: 0, v: 0 }, { u: 100, v: 0 })
		for (const [s, g, j] of [
			[0, 50, 0.97428453],
			[0, 100, 0.898460691],
			[100, 50, 0.967873317],
			[100, 100, 0.874346115],
			[150, 120, 0.76783729],
		] as const) {
			for (const side of [1, -1]) expect(Math.abs(chart.metric(fromS + s, side * g).j - j)).toBeLessThan(1e-7)
		}
	})

	test('a small circle of a sphere R 150: bend, and its length 25 mm inward', () => {
		// k_g = cot(60 deg) / R; a circle 25 mm further in is shorter by 0.890363054695 (closed form; Snyder, USGS PP 1395, ch. 15).
		const { chart, fromS } = charted(ellipsoid(150, 150), { u: -120, v: 0 }, { u: 120, v: 0 })
		const pole = { s: fromS + 180, g: 0 }
		const direction = 0.7
		const rim = shoot(chart, pole, direction, 150 * 60 * DEG, { spread: 0, spreadRate: 1 })
		expect(rim.spread).toBeCloseTo(150 * Math.sin(60 * DEG), 3)
		expect(rim.spreadRate / rim.spread).toBeCloseTo(0.0038490017946, 6)
		const inner = shoot(chart, pole, direction, 150 * 60 * DEG - 25, { spread: 0, spreadRate: 1 })
		expect((inner.spread / rim.spread) * 2 * 150 * Math.sin(60 * DEG)).toBeCloseTo(231.323107187, 3)
	})

	test('the outer equator of a torus 100/40, 25 mm off it, 1.5 radians: 198.65778717 mm, bent by 0.00441787821', () => {
		// Closed form: r = 100 + 40 cos(25/40), k_g = sin(25/40) / r (do Carmo 4-4).
		const { chart, fromS } = charted(torusSurface(100, 40), { u: -100, v: 0 }, { u: 100, v: 0 })
		const middle = fromS + 140
		const equator = corners([
			[middle - 105, 0],
			[middle + 105, 0],
		])
		for (const w of [25, -25]) {
			const line = offset(chart, equator, constantWidth(w), { id: 'o', toleranceMm: 1e-6, corners: 'mitred' }).curves[0] as Curve
			expect(Math.abs(measure(chart, line).length - 198.65778717)).toBeLessThan(1e-3)
			expect(frame(chart, line, 0.4).curvature * Math.sign(w)).toBeCloseTo(0.00441787821113, 6)
		}
	})

	test('a parallel of an ellipsoid a150 b220 at reduced latitude 30: bend and Gaussian curvature', () => {
		// k_g = tan(t) / v, K = b^2 / v^4 with v^2 = a^2 sin^2 t + b^2 cos^2 t (do Carmo 4-4, surfaces of revolution).
		const { chart, at } = charted(alongMeridians(ellipsoid(150, 220)), { u: 0, v: 0 }, { u: 100, v: 0 })
		const t = 100 * 30 * DEG
		const here = at({ u: t, v: -60 })
		expect(chart.metric(here.s, here.g).k).toBeCloseTo(2.75358964e-5, 8)
		const points = [-70, -60, -50].map((v) => at({ u: t, v }))
		const [p, q, r] = points as [ChartPoint, ChartPoint, ChartPoint]
		// Bend of three places close together, by the deviation of the middle from the taut line between the outer two.
		const path = distance(chart, p, r)
		const half = shoot(chart, p, path?.startAngle as number, (path?.length as number) / 2)
		const rise = distance(chart, half.at, q)?.length as number
		const k = 0.00281969956292
		// A circle's rise over its chord, L^2 k / 8, with K making a thousandth of it here.
		expect(rise / (((path?.length as number) ** 2 * k) / 8)).toBeCloseTo(1, 2)
	})
})

describe('GeodSolve -E of GeographicLib (Debian package geographiclib-tools), run now', () => {
	const SEED = Number(process.env.GEODSOLVE_SEED ?? 20240611)
	// Set-up installs it on Debian; elsewhere it may be missing.
	const missing = spawnSync('GeodSolve', ['--version']).error !== undefined
	test.skipIf(missing)(`200 random pairs on an ellipsoid a150 b220, seed ${SEED}`, () => {
		const random = mulberry(SEED)
		const [a, b] = [150, 220]
		const pairs = Array.from({ length: 200 }, () => [random() * 80 - 40, 0, random() * 80 - 40, random() * 110 - 55] as const)
		const run = spawnSync('GeodSolve', ['-E', '-i', '-f', '-p', '9', '-e', `${a}`, `${(a - b) / a}`], {
			input: pairs.map((p) => p.join(' ')).join('\n'),
			encoding: 'utf8',
		})
		expect(run.error).toBeUndefined()
		const lengths = run.stdout
			.trim()
			.split('\n')
			// lat1 lon1 azi1 lat2 lon2 azi2 s12 a12 m12 M12 M21 S12, lengths in the unit of the radius: mm
			.map((line) => Number(line.split(/\s+/)[6]))
		expect(lengths.length).toBe(200)
		const surface = ellipsoid(a, b)
		const { chart, at } = charted(surface, { u: -90, v: 0 }, { u: 90, v: 0 })
		let [worst, charts] = [0, 0]
		pairs.forEach(([lat1, lon1, lat2, lon2], i) => {
			const [p, q] = [geographic(a, b, lat1, lon1), geographic(a, b, lat2, lon2)]
			const exact = surfaceDistance(surface, p, q, { stepMm: 1 })?.length ?? Number.NaN
			const through = distance(chart, at(p), at(q))?.length ?? Number.NaN
			worst = Math.max(worst, Math.abs(exact - (lengths[i] as number)))
			charts = Math.max(charts, Math.abs(through - (lengths[i] as number)))
		})
		expect(worst).toBeLessThan(1e-6)
		expect(charts).toBeLessThan(1e-3)
	})
})

/** A small seeded generator (mulberry32, public domain). */
function mulberry(seed: number): () => number {
	let a = seed >>> 0
	return () => {
		a = (a + 0x6d2b79f5) >>> 0
		let t = Math.imul(a ^ (a >>> 15), 1 | a)
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296
	}
}
