import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { frame, toChartCubic } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import type { ChartPoint, Curve, SpacePoint } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { coneChart } from '../../src/panel/rolled.ts'
import { chartOf } from '../../src/panel/shape.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { developLine } from '../../src/template/developLine.ts'
import { unroll } from '../../src/template/unroll.ts'
import { corners, curve, KINDS, sphere, straight } from '../chart/panels.ts'

const DEG = Math.PI / 180
const IN = 25.4

/** The sector of a cone's plane between two slant lengths and from -half to half, in (s, g); `apex` is its apex's station. */
function sector(apex: number, way: number, inner: number, outer: number, half: number): ChartPoint[] {
	const n = 4000
	const arc = (r: number, from: number, to: number) =>
		Array.from({ length: n + 1 }, (_, i) => {
			const a = from + ((to - from) * i) / n
			return { s: apex + way * r * Math.cos(a), g: r * Math.sin(a) }
		})
	return inner === 0 ? [{ s: apex, g: 0 }, ...arc(outer, -half, half)] : [...arc(outer, -half, half), ...arc(inner, half, -half)]
}

describe('cones of the sheet-metal shop', () => {
	// Diameters and heights of worked problems in a public-domain 1921 drafting text on sheet-metal work; results re-calculated.
	test.each([
		['dia 5, slant 12', 0, 5, 12, 75.0, 94.248, [0, 12]],
		['dia 4, altitude 7', 0, 4, Math.hypot(7, 2), 98.9, 45.742, [0, 7.2801]],
		['frustum 6/3, altitude 3', 3, 6, Math.hypot(3, 1.5), 160.997, 47.417, [3.3541, 6.7082]],
	] as const)('%s in: sector, radii and area', (_, front, rear, slant, angleDeg, squareInches, [inner, outer]) => {
		const chart = coneChart(
			panelFrame('c', 'centre'),
			{ frontDiameter: front * IN, rearDiameter: rear * IN, slant: slant * IN },
			0,
		)
		// The panel goes half-way round to either side: twice the angle of its limit is the sector.
		const apex = (-slant * IN * front) / (rear - front)
		const near = apex + 0.5 * IN
		const half = Math.atan2(chart.gMax(near), near - apex)
		expect((2 * half) / DEG).toBeCloseTo(angleDeg, angleDeg === 160.997 ? 3 : 2)
		// In space that limit is the opposite side: straight below, on the centre plane.
		const back = chart.embed?.({ s: apex + 100 * Math.cos(half), g: 100 * Math.sin(half) }) as SpacePoint
		expect(Math.abs(back.y)).toBeLessThan(1e-9)
		expect(back.z).toBeLessThan(-front * IN - 1)
		// Radii of the development, from the diameters there.
		for (const [r, diameter] of [
			[inner, front],
			[outer, rear],
		]) {
			const p = chart.embed?.({ s: apex + (r as number) * IN, g: 0 }) as SpacePoint
			const axis = (-front * IN) / 2
			expect((2 * (p.z - axis)) / IN).toBeCloseTo(diameter as number, 3)
		}
		const loop = sector(
			-slant * IN * (front / (rear - front)),
			1,
			(slant * IN * front) / (rear - front),
			(slant * IN * rear) / (rear - front),
			half,
		)
		// 4000 chords leave out 1e-7 of it.
		expect(area(chart, [loop]) / (IN * IN)).toBeCloseTo(squareInches, 3)
	})

	test('r 60, slant 100: sector of 216 degrees, rim bent at 1/100, and a tape over a quarter turn', () => {
		// Closed forms: sector 360 r / slant, rim k_g 1 / slant, law of cosines in the plane of the development.
		for (const way of [1, -1]) {
			const ends = way === 1 ? { frontDiameter: 0, rearDiameter: 120 } : { frontDiameter: 120, rearDiameter: 0 }
			const chart = coneChart(panelFrame('c', 'centre'), { ...ends, slant: 100 }, 0)
			const apex = way === 1 ? 0 : 100
			const place = (slant: number, turn: number) => ({
				s: apex + way * slant * Math.cos((turn * 216) / 360),
				g: slant * Math.sin((turn * 216) / 360),
			})
			// 90 degrees round the axis in space are 54 degrees of the sector.
			const [a, b] = [chart.embed?.(place(100, -Math.PI / 4)), chart.embed?.(place(100, Math.PI / 4))] as [SpacePoint, SpacePoint]
			expect(a.x).toBeCloseTo(b.x, 9)
			expect(Math.hypot(a.y - b.y, a.z - b.z)).toBeCloseTo(60 * Math.SQRT2, 9)
			expect(distance(chart, place(80, -Math.PI / 4), place(100, Math.PI / 4))?.length).toBeCloseTo(83.63872287, 8)
			const rim = fitCubics(
				(t) => ({ x: apex + way * 100 * Math.cos(t), y: 100 * Math.sin(t), dx: -way * 100 * Math.sin(t), dy: 100 * Math.cos(t) }),
				-0.8,
				0.8,
				{ toleranceMm: 1e-9 },
			)
			const line = curve(rim.cubics.map(toChartCubic))
			for (const u of [0.2, 1.5, 3.3]) expect(Math.abs(frame(chart, line, u).curvature)).toBeCloseTo(0.01, 6)
		}
	})
})

test('a small circle of a sphere laid flat lies on a circle of radius R tan(colatitude)', () => {
	// Snyder, Map Projections - A Working Manual, USGS PP 1395, ch. 15: the standard parallel of a conic projection.
	const chart = sphere(150)
	const line: Curve = corners([
		[-150, 150 * 30 * DEG],
		[150, 150 * 30 * DEG],
	])
	const flat = developLine(chart, line, 1e-8)
	expect(flat.length).toBeCloseTo(300 * Math.cos(30 * DEG), 9)
	const R = 259.807621135
	// It leaves the origin heading along +x and bends to its plus side: the centre lies R above.
	for (const l of [0, 40, 130, 259]) {
		const p = flat.at(l)
		expect(Math.hypot(p.x, p.y - R)).toBeCloseTo(R, 7)
		expect(Math.atan2(p.x, R - p.y)).toBeCloseTo(l / R, 9)
	}
})

test('a panel that lies flat keeps every length, measured as chords on paper and along the tape', () => {
	// Euclid on paper against the tape on the panel: an isometry has the same distances (do Carmo 4-2).
	for (const kind of KINDS) {
		const chart = kind.chart()
		if (!chart.developable) continue
		const flat = unroll(chart, 1e-9)
		const { s0, s1, g0, g1 } = kind.box
		for (const [p, q] of [
			[
				{ s: s0, g: g0 },
				{ s: s1, g: g1 },
			],
			[
				{ s: s0, g: g1 },
				{ s: s0 + 30, g: g0 },
			],
			[
				{ s: s1, g: 0 },
				{ s: s0, g: 7 },
			],
		] as const) {
			const [a, b] = [flat(p), flat(q)]
			expect(distance(chart, p, q)?.length).toBeCloseTo(Math.hypot(a.x - b.x, a.y - b.y), 7)
		}
	}
})

test('a bent baseline on a flat panel unrolls to the circle it was measured as', () => {
	const outcome = chartOf('p', 'centre', { kind: 'flat', front: 0, bend: { radius: 200, towards: 'right' } }, '')
	const chart = outcome.value
	if (!chart) throw new Error('the capture is good')
	const flat = unroll(chart, 1e-9)
	for (const s of [0, 50, 200]) {
		// Towards the right is towards +g: the centre lies 200 mm above the start.
		const p = flat({ s, g: 0 })
		expect(p.x).toBeCloseTo(200 * Math.sin(s / 200), 8)
		expect(p.y).toBeCloseTo(200 - 200 * Math.cos(s / 200), 8)
		const q = flat({ s, g: 200 * (1 - 0.25) })
		expect(Math.hypot(q.x, q.y - 200)).toBeCloseTo(50, 8)
	}
	expect(frame(chart, curve([straight({ s: 0, g: 0 }, { s: 90, g: 0 })]), 0.5).curvature).toBeCloseTo(1 / 200, 12)
})
