import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { endOf, frame, startOf } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { measure } from '../../src/chart/measure.ts'
import { nearestOn } from '../../src/chart/nearest.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import { polyline } from '../../src/chart/region.ts'
import { widthOf } from '../../src/scheme/width.ts'
import { band, bow, circle, flat, guard, holds, lineThrough, pulled, SPHERE_MM, sphere, surfaces } from './bench.ts'

/** Chords of a region and the fit of its edges, mm. */
const EDGE_MM = 0.003

describe('a band', () => {
	test.each(surfaces)('is what lies between its two distances off the line: %s', (_, chart) => {
		const base = bow(chart)
		const { region, trims } = band(chart, base, 4, 17)
		expect(trims).toEqual([])
		const foot = nearestOn(chart, base)
		const n = base.cubics.length
		fc.assert(
			fc.property(fc.double({ min: 5, max: 395, noNaN: true }), fc.double({ min: 0, max: 85, noNaN: true }), (s, g) => {
				const found = foot({ s, g })
				// Beyond the ends of the line the distance is to its end.
				if (!found || found.u < 1e-6 || found.u > n - 1e-6) return
				const d = found.offsetMm
				if (Math.min(Math.abs(d - 4), Math.abs(d - 17)) < EDGE_MM) return
				expect(holds(region, { s, g })).toBe(d > 4 && d < 17)
			}),
			{ numRuns: 150 },
		)
	})

	test('on a flat panel, straight: length by width', () => {
		const { region } = band(flat, pulled(flat, [10, 5], [310, 85]), -6, 6)
		expect(area(flat, region)).toBeCloseTo(12 * Math.hypot(300, 80), 1)
	})

	test('along a great circle of a sphere: 2 R^2 sin(w / R) for each radian of it', () => {
		// Archimedes: a zone of height h has area 2 pi R h.
		const { region } = band(sphere, pulled(sphere, [0, 0], [300, 0]), -30, 30)
		expect(area(sphere, region)).toBeCloseTo(2 * SPHERE_MM ** 2 * Math.sin(30 / SPHERE_MM) * (300 / SPHERE_MM), 0)
	})

	test('between two parallels of a sphere, off the lower one', () => {
		const R = SPHERE_MM
		const [s0, s1, g0, w] = [0, 300, 20, 25]
		const parallel: Curve = {
			id: 'parallel',
			cubics: [
				[
					{ s: s0, g: g0 },
					{ s: 100, g: g0 },
					{ s: 200, g: g0 },
					{ s: s1, g: g0 },
				],
			],
			closed: false,
			maxErrorMm: 0,
		}
		const { region, far } = band(sphere, parallel, 0, w)
		const zone = R * R * ((s1 - s0) / R) * (Math.sin((g0 + w) / R) - Math.sin(g0 / R))
		expect(Math.abs(area(sphere, region) - zone)).toBeLessThan(0.3)
		for (const p of far.flatMap((c) => polyline(sphere, c, 0.01))) expect(p.g).toBeCloseTo(g0 + w, 3)
	})

	test('round a closed line on a flat panel: a ring', () => {
		const r = 40
		const { region } = band(flat, circle(100, 0, r), -3, 5)
		// pi (R^2 - r^2): anticlockwise, so that +3 is inside.
		expect(area(flat, region)).toBeCloseTo(Math.PI * ((r + 3) ** 2 - (r - 5) ** 2), 0)
	})

	test('tapers straight from width to width by length along the line', () => {
		const taper = [
			{ along: 0, width: 4 },
			{ along: 100, width: 20 },
			{ along: 300, width: 8 },
		]
		const { region } = band(flat, pulled(flat, [0, 0], [300, 0]), 0, 0, { far: widthOf(taper), breaks: [0, 100, 300] })
		expect(area(flat, region)).toBeCloseTo((100 * (4 + 20)) / 2 + (200 * (20 + 8)) / 2, 1)
		expect(holds(region, { s: 50, g: 11.98 })).toBe(true)
		expect(holds(region, { s: 50, g: 12.02 })).toBe(false)
	})

	test.each(surfaces)('mirrored is the mirror image to the last digits: %s', (_, chart) => {
		if (chart.baselineCurvature(0) !== 0) return
		for (const shape of ['square', 'raked', 'pointed', 'rounded'] as const) {
			const end = { shape, angleDeg: 55, length: 40 } as never
			const right = bow(chart)
			const left: Curve = { ...right, cubics: right.cubics.map((c) => c.map((p) => ({ s: p.s, g: -p.g })) as never) }
			for (const [near, far] of [
				[2, 12],
				[-5, 5],
			] as const) {
				const a = band(chart, right, near, far, { front: end, rear: end })
				const b = band(chart, left, -near, -far, { front: end, rear: end })
				const lines = (x: typeof a) => [...x.near, ...x.far, ...x.caps].flatMap((c) => c.cubics.flat())
				const [pa, pb] = [lines(a), lines(b)]
				expect(pa.length).toBe(pb.length)
				pa.forEach((p, i) => {
					expect(p.s).toBeCloseTo(pb[i]?.s as number, 9)
					expect(p.g).toBeCloseTo(-(pb[i]?.g as number), 9)
				})
				expect(area(chart, a.region)).toBeCloseTo(area(chart, b.region), 3)
			}
		}
	})
})

describe('ends', () => {
	/** Angle at the corner `at` between the way back along the band's edge and the end. */
	const turn = (base: Curve, cap: Curve | undefined, front: boolean) => {
		if (!cap) throw new Error('no end')
		const along = frame(guard, base, front ? 0 : base.cubics.length).angle
		const across = frame(guard, cap, 0).angle
		return ((across - along) * 180) / Math.PI
	}

	test('square: a straight path at right angles to the line, as long as the band is wide', () => {
		const base = pulled(guard, [30, 30], [330, 45])
		const { caps } = band(guard, base, 0, 20)
		expect(caps).toHaveLength(2)
		for (const [i, front] of [true, false].entries()) {
			expect(Math.abs(turn(base, caps[i], front))).toBeCloseTo(90, 4)
			expect(measure(guard, caps[i] as Curve).length).toBeCloseTo(20, 4)
		}
	})

	test.each([30, 60, 90, 120, 150])('raked at %d degrees: that angle, the far edge longer where it is under 90', (angleDeg) => {
		for (const sign of [1, -1]) {
			const base = pulled(flat, [50, 0], [350, 0])
			const end = { shape: 'raked' as const, angleDeg }
			const { near, far, region } = band(flat, base, 0, sign * 20, { front: end, rear: end })
			const over = 20 / Math.tan((angleDeg * Math.PI) / 180)
			expect(startOf(near[0] as Curve).s).toBeCloseTo(50, 3)
			expect(startOf(far[0] as Curve).s).toBeCloseTo(50 - over, 3)
			expect(endOf(near[0] as Curve).s).toBeCloseTo(350, 3)
			expect(endOf(far[0] as Curve).s).toBeCloseTo(350 + over, 3)
			expect(area(flat, region)).toBeCloseTo(20 * (300 + over), 1)
		}
	})

	test('raked, a stack of bands half to each side of the line ends on one straight line', () => {
		const base = pulled(guard, [50, 40], [350, 40])
		const rear = { shape: 'raked' as const, angleDeg: 60 }
		const bands = [
			[-15, -12],
			[-9, 9],
			[12, 15],
		].map(([near, far]) => band(guard, base, near as number, far as number, { rear }))
		const corners = bands.flatMap((b) => [endOf(b.near[0] as Curve), endOf(b.far[0] as Curve)])
		const [first, last] = [corners[0] as ChartPoint, corners[5] as ChartPoint]
		const whole = distance(guard, first, last)?.length as number
		for (const p of corners) {
			const parts = (distance(guard, first, p)?.length ?? 0) + (distance(guard, p, last)?.length ?? 0)
			expect(parts).toBeCloseTo(whole, 4)
		}
		// Under 90 degrees the far side reaches on.
		expect(last.s).toBeGreaterThan(first.s)
	})

	test('raked does not cut what the line brings back near its end', () => {
		const hook = lineThrough(flat, [
			[0, 0],
			[120, 0],
			[200, 40],
			[200, 110],
			[140, 140],
			[80, 140],
		])
		const square = band(flat, hook, 0, 8)
		const raked = band(flat, hook, 0, 8, { front: { shape: 'raked', angleDeg: 120 } })
		expect(area(flat, square.region) - area(flat, raked.region)).toBeCloseTo((8 * 8) / Math.tan(Math.PI / 3) / 2, 1)
	})

	test('pointed: the sides come together on the middle of the band at the end of the line', () => {
		for (const [, chart] of surfaces) {
			const base = bow(chart)
			const { near, far } = band(chart, base, 3, 15, { rear: { shape: 'pointed', length: 60 } })
			const [p, q] = [endOf(near[0] as Curve), endOf(far[0] as Curve)]
			expect(Math.hypot(p.s - q.s, p.g - q.g)).toBeLessThan(1e-6)
			const found = nearestOn(chart, base)(p)
			expect(found?.offsetMm).toBeCloseTo(9, 4)
			expect(found?.u).toBeCloseTo(base.cubics.length, 4)
			const whole = measure(chart, base)
			const half = nearestOn(chart, near[0] as Curve)
			const middle = frame(chart, base, whole.at(whole.length - 30)).at
			// Half-way along the point the near side has come half of the way.
			expect(Math.abs(half(middle)?.offsetMm as number)).toBeCloseTo(6, 0)
		}
	})

	test('rounded: half a circle about the middle, reaching to the end of the line', () => {
		for (const [, chart] of surfaces) {
			const base = bow(chart)
			const { caps, region } = band(chart, base, 2, 18, { rear: { shape: 'rounded' } })
			const cap = caps.find((c) => c.cubics.length > 3) as Curve
			const length = measure(chart, base)
			const at = frame(chart, base, length.at(length.length - 8))
			const middle = nearestOn(chart, base)
			for (const p of polyline(chart, cap, 0.01)) {
				const d = middle(p)?.offsetMm as number
				expect(d).toBeGreaterThan(2 - EDGE_MM)
				expect(d).toBeLessThan(18 + EDGE_MM)
			}
			const centre = pointOff(chart, at.at, at.angle + Math.PI / 2, 10)
			for (const p of polyline(chart, cap, 0.01)) {
				expect(Math.abs((distance(chart, centre, p)?.length as number) - 8)).toBeLessThan(0.001)
			}
			expect(holds(region, centre)).toBe(true)
		}
	})
})

describe('corners', () => {
	const base = pulled(flat, [0, 0], [100, 0], [100, 100])
	test('mitred outside: the two edges meet', () => {
		const { region } = band(flat, base, 0, -10)
		expect(area(flat, region)).toBeCloseTo(10 * 200 + 100, 1)
	})
	test('rounded outside: a quarter of a circle', () => {
		const { region } = band(flat, base, 0, -10, { corners: 'rounded' })
		expect(area(flat, region)).toBeCloseTo(10 * 200 + (Math.PI * 100) / 4, 1)
	})
	test('inside the two edges are cut where they meet', () => {
		const { region } = band(flat, base, 0, 10)
		expect(area(flat, region)).toBeCloseTo(10 * 200 - 100, 1)
	})
})

test('a band farther off than the line bends is trimmed and says where', () => {
	const tight = lineThrough(flat, [
		[0, 0],
		[60, 0],
		[85, 12],
		[85, 40],
		[60, 52],
		[0, 52],
	])
	const { trims } = band(flat, tight, 20, 40)
	expect(trims.length).toBeGreaterThan(0)
	expect(trims[0]?.why).toMatch(/bend|crossing/)
})

function pointOff(chart: Parameters<typeof frame>[0], p: ChartPoint, angle: number, length: number): ChartPoint {
	// By the tool's own shooting: the closed form differs from surface to surface, the distances checked above do not.
	let q = { s: p.s + (length * Math.cos(angle)) / chart.metric(p.s, p.g).j, g: p.g + length * Math.sin(angle) }
	for (let i = 0; i < 20; i++) {
		const path = distance(chart, p, q)
		if (!path) throw new Error('no path')
		const [el, ea] = [length - path.length, angle - path.startAngle]
		const j = chart.metric(q.s, q.g).j
		const a = path.endAngle
		q = {
			s: q.s + (el * Math.cos(a) - length * ea * Math.sin(a)) / j,
			g: q.g + el * Math.sin(a) + length * ea * Math.cos(a),
		}
	}
	return q
}
