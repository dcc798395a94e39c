import geodesic from 'geographiclib-geodesic'
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import type { Chart } from '../../src/chart/chart.ts'
import { frame } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { shoot } from '../../src/chart/geodesic.ts'
import { measure } from '../../src/chart/measure.ts'
import { offset } from '../../src/chart/offset.ts'
import { parallelPoint } from '../../src/chart/parallel.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import { polyline } from '../../src/chart/region.ts'
import { constantWidth } from '../../src/chart/width.ts'
import { straightOn } from '../../src/line/run.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import { corners, curve, ellipseProfile, lengthInSpace, sphere, straight, torus } from '../chart/panels.ts'

const DEG = Math.PI / 180

describe('a small circle of a sphere, R 150 mm, colatitude 60 degrees', () => {
	// Closed forms: a small circle at colatitude t has k_g = cot(t)/R and develops to a circle of R tan(t), as the standard
	// parallel of a conic projection does (Snyder, Map Projections - A Working Manual, USGS PP 1395, 1987, ch. 15).
	const R = 150
	const theta = 60 * DEG
	const chart = sphere(R)

	test('as a parallel of the chart: bend, radius of its development, distance to where its offset shrinks to a point', () => {
		const parallel = corners([
			[-150, R * 30 * DEG],
			[150, R * 30 * DEG],
		])
		for (const u of [0, 0.3, 1]) {
			const { curvature } = frame(chart, parallel, u)
			expect(curvature).toBeCloseTo(0.0038490017946, 12)
			expect(1 / curvature).toBeCloseTo(259.807621135, 8)
		}
	})

	test('as a circle round a place of the baseline: the same, though the chart knows nothing of that centre', () => {
		for (const alpha of [0.1, 1, 2.2, 4, 5.5]) {
			// Spherical trigonometry: latitude and longitude of the place at distance theta in direction alpha.
			const lat = Math.asin(Math.sin(theta) * Math.sin(alpha))
			const lon = Math.atan2(Math.sin(theta) * Math.cos(alpha), Math.cos(theta))
			const dLat = (Math.sin(theta) * Math.cos(alpha)) / Math.cos(lat)
			const dLon =
				(-Math.cos(theta) * Math.sin(theta) * Math.sin(alpha)) / (Math.cos(theta) ** 2 + (Math.sin(theta) * Math.cos(alpha)) ** 2)
			const at = { s: R * lon, g: R * lat }
			const angle = Math.atan2(dLat, Math.cos(lat) * dLon)
			const f = { at, angle, speed: 1, curvature: 0.0038490017946 }
			const inward = parallelPoint(chart, f, 25)
			expect(inward.spread).toBeCloseTo(0.890363054695, 9)
			expect(inward.spread * 2 * R * Math.sin(theta)).toBeCloseTo(231.323107187, 6)
			expect(distance(chart, inward.at, { s: 0, g: 0 })?.length).toBeCloseTo(R * theta - 25, 7)
			const focus = parallelPoint(chart, f, 157.079632679)
			expect(Math.abs(focus.spread)).toBeLessThan(1e-9)
			expect(Math.hypot(focus.at.s, focus.at.g)).toBeLessThan(1e-6)
			// The whole offset, not only one place of it: k_g of a circle at colatitude theta - 25/R.
			expect(inward.curvature).toBeCloseTo(1 / (R * Math.tan(theta - 25 / R)), 9)
		}
	})

	test('25 mm inward, 2 radians of it: 231.3231 mm, where a plane offset would say 234.8 mm', () => {
		const half = R // 1 rad of the equator each way
		const parallel = corners([
			[-half, R * 30 * DEG],
			[half, R * 30 * DEG],
		])
		const { curves, trims } = offset(chart, parallel, constantWidth(25), { id: 'o', toleranceMm: 1e-7, corners: 'mitred' })
		expect(trims).toEqual([])
		expect(curves.length).toBe(1)
		expect(measure(chart, curves[0] as Curve).length).toBeCloseTo(231.323107187, 6)
	})
})

test('outer equator of a torus 100/40, 25 mm off it, 1.5 radians: length and bend', () => {
	// Closed form: r = 100 + 40 cos(25/40), k_g = sin(25/40)/r (do Carmo, Differential Geometry, 4-4, surfaces of revolution).
	const chart = torus()
	const equator = corners([
		[-105, 0],
		[105, 0],
	])
	for (const w of [25, -25]) {
		const { curves } = offset(chart, equator, constantWidth(w), { id: 'o', toleranceMm: 1e-7, corners: 'mitred' })
		const line = curves[0] as Curve
		expect(measure(chart, line).length).toBeCloseTo(198.65778717, 7)
		expect(frame(chart, line, 0.4).curvature * Math.sign(w)).toBeCloseTo(0.00441787821113, 10)
	}
})

test('a sphere R 250 mm in 12 gores: quarter arc and widths', () => {
	// Arithmetic: the twelfth part of a parallel, 2 pi R cos(latitude) / 12.
	const chart = sphere(250)
	expect((250 * Math.PI) / 2).toBeCloseTo(392.7, 2)
	const gore = (2 * Math.PI * 250) / 12
	for (const [lat, width] of [
		[0, 130.9],
		[30, 113.36],
		[60, 65.45],
		[75, 33.88],
	] as const) {
		const g = 250 * lat * DEG
		const line = corners([
			[-gore / 2, g],
			[gore / 2, g],
		])
		expect(measure(chart, line).length).toBeCloseTo(width, 2)
	}
})

/** Area and angle excess of the triangle that taut tapes make between three places. */
function triangle(chart: Chart, [a, b, c]: readonly [ChartPoint, ChartPoint, ChartPoint]) {
	const sides = [
		[a, b],
		[b, c],
		[c, a],
	].map(([p, q]) => {
		const path = distance(chart, p as ChartPoint, q as ChartPoint)
		if (!path) throw new Error('no path')
		const run = straightOn(chart, p as ChartPoint, path.startAngle, path.length, 1e-6)
		return { path, points: polyline(chart, curve(run.cubics), 1e-5).slice(0, -1) }
	})
	const wrap = (x: number) => Math.atan2(Math.sin(x), Math.cos(x))
	let excess = 2 * Math.PI
	sides.forEach(({ path }, i) => {
		// The turn at the corner: outer angles of a plane triangle add up to a full turn.
		excess -= wrap((sides[(i + 1) % 3] as (typeof sides)[number]).path.startAngle - path.endAngle)
	})
	const loop = sides.flatMap((s) => s.points)
	return { area: area(chart, [loop]), excess, loop }
}

describe('area and angles of a triangle of taut tapes (Gauss-Bonnet)', () => {
	test('on a sphere: 0.676824918374 by L Huilier from the sides, and by area', () => {
		const R = 100
		const at = (lon: number, lat: number) => ({ s: lon * DEG * R, g: lat * DEG * R })
		const t = triangle(sphere(R), [at(0, 0), at(80, 0), at(30, 50)])
		expect(t.excess).toBeCloseTo(0.676824918374, 9)
		// Chords 1e-5 mm off their arcs over 420 mm.
		expect(Math.abs(t.area / (R * R) - 0.676824918374)).toBeLessThan(1e-6)
	})

	test('on a torus and a prolate ellipsoid: angle excess is the integral of K over the inside', () => {
		const { profile, crown } = ellipseProfile(150, 220, 0.2)
		for (const chart of [torus(), revolvedChart(panelFrame('e', 'centre'), crown, profile, -300, 600)]) {
			const t = triangle(chart, [
				{ s: -60, g: -25 },
				{ s: 80, g: -10 },
				{ s: 10, g: 40 },
			])
			// Plain midpoint sum of K J over a grid of the triangle's box: rows 0.01 mm high, exact in s (K and J do not change with it).
			let integral = 0
			const h = 0.01
			for (let g = -30 + h / 2; g < 50; g += h) {
				const cut: number[] = []
				t.loop.forEach((p, i) => {
					const q = t.loop[(i + 1) % t.loop.length] as ChartPoint
					if (p.g > g !== q.g > g) cut.push(p.s + ((g - p.g) / (q.g - p.g)) * (q.s - p.s))
				})
				cut.sort((x, y) => x - y)
				const { j, k } = chart.metric(0, g)
				for (let i = 0; i + 1 < cut.length; i += 2) integral += k * j * h * ((cut[i + 1] as number) - (cut[i] as number))
			}
			expect(Math.abs(t.excess - integral)).toBeLessThan(1e-6)
		}
	})
})

describe('ellipsoids of revolution', () => {
	const ellipsoid = (a: number, b: number, beta0 = 0) => {
		const { profile, crown, uOf } = ellipseProfile(a, b, beta0)
		const chart = revolvedChart(panelFrame('e', 'centre'), crown, profile, -600, 1200)
		/** from geographic latitude and longitude, degrees */
		const at = (lat: number, lon: number) => ({ s: crown * lon * DEG, g: uOf(Math.atan((b / a) * Math.tan(lat * DEG))) })
		return { chart, at }
	}

	test('a150 b220, parallel at reduced latitude 30: bend, radius, Gaussian curvature', () => {
		// Closed forms, t the reduced latitude: k_g = tan(t) / v and K = b^2 / v^4 with v^2 = a^2 sin^2(t) + b^2 cos^2(t).
		const { chart } = ellipsoid(150, 220, 30 * DEG)
		expect(chart.baselineCurvature(0)).toBeCloseTo(0.00281969956292, 12)
		expect(1 / chart.baselineCurvature(0)).toBeCloseTo(354.647712526, 7)
		expect(chart.metric(0, 0).k).toBeCloseTo(2.75358964e-5, 12)
	})

	// GeographicLib's GeodSolve -E (exact elliptic integrals), version 2.1.2.
	test.each([
		[150, 220, 10, 0, 35, 60, 172.521156415],
		[150, 220, -20, 0, 40, 100, 370.004079191],
		[150, 220, 0, 0, 50, 30, 220.42790203],
		[220, 150, 10, 0, 35, 60, 223.844082516],
		[220, 150, 5, 0, 5, 120, 455.357576237],
	])('a%d b%d: (%d, %d) to (%d, %d) is %d mm', (a, b, lat1, lon1, lat2, lon2, length) => {
		for (const beta0 of [0, 0.3]) {
			const { chart, at } = ellipsoid(a, b, beta0)
			const path = distance(chart, at(lat1, lon1), at(lat2, lon2))
			expect(path?.length).toBeDefined()
			expect(Math.abs((path?.length as number) - length)).toBeLessThan(1e-6)
		}
	})

	// Same program: start, azimuth from north, length -> place, azimuth, reduced length.
	test.each([
		[150, 220, 30, 40, 120, 50.200001436, 63.678359804, 83.281494645, 106.809340113],
		[150, 220, -10, 75, 300, 7.750918076, 109.235628213, 72.479940677, 214.326927441],
		[220, 150, 30, 40, 120, 57.667082294, 29.504422312, 61.534029936, 113.445167667],
	])('a%d b%d: from latitude %d at azimuth %d for %d mm', (a, b, lat, az, s, lat2, lon2, az2, m12) => {
		const { chart, at } = ellipsoid(a, b)
		const shot = shoot(chart, at(lat, 0), (90 - az) * DEG, s, { spread: 0, spreadRate: 1 })
		const goal = at(lat2, lon2)
		expect(Math.abs(shot.at.s - goal.s)).toBeLessThan(1e-6)
		expect(Math.abs(shot.at.g - goal.g)).toBeLessThan(1e-6)
		expect(90 - shot.angle / DEG).toBeCloseTo(az2, 7)
		expect(Math.abs(shot.spread - m12)).toBeLessThan(1e-6)
	})

	test('300 distances between places all over them, against the geographiclib-geodesic package', () => {
		// Its series are of the sixth order in the flattening: good to 7e-5 mm on this prolate ellipsoid.
		const [a, b] = [150, 220]
		const geod = new geodesic.Geodesic.Geodesic(a, (a - b) / a)
		const { chart, at } = ellipsoid(a, b)
		let worst = 0
		for (let i = 0; i < 300; i++) {
			// Places from the golden ratio and its square, evenly strewn.
			const f = (k: number) => (i * 0.6180339887 * k + 0.37 * k) % 1
			const [lat1, lat2, lon] = [f(1) * 80 - 40, f(2.3) * 80 - 40, f(3.7) * 100]
			const want = geod.Inverse(lat1, 0, lat2, lon).s12 as number
			const path = distance(chart, at(lat1, 0), at(lat2, lon))
			worst = Math.max(worst, Math.abs((path?.length ?? Number.NaN) - want))
		}
		expect(worst).toBeLessThan(1e-4)
	})
})

test('a cylinder R 60 mm: 120 degrees round and 90 mm along is 154.5683 mm of tape', () => {
	// Pythagoras on the unrolled sheet, and the helix itself walked in space.
	const chart = rolledAlong(panelFrame('c', 'centre'), circleProfile(60), 0, 300)
	const [p, q] = [
		{ s: 5, g: -62.83185307179586 },
		{ s: 95, g: 62.83185307179586 },
	]
	expect(distance(chart, p, q)?.length).toBeCloseTo(154.568324833, 8)
	expect(lengthInSpace(chart, curve([straight(p, q)]), 200)).toBeCloseTo(154.568324833, 7)
})
