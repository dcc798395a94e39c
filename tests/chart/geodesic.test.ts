import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { crossStation } from '../../src/chart/cross.ts'
import { cornersOf, frame, mirrored, part, reversed } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { shoot } from '../../src/chart/geodesic.ts'
import { beyond } from '../../src/chart/limits.ts'
import { measure } from '../../src/chart/measure.ts'
import { nearest } from '../../src/chart/nearest.ts'
import type { ChartPoint, Curve, SpacePoint } from '../../src/chart/point.ts'
import { polyline } from '../../src/chart/region.ts'
import { apart, corners, curve, inBox, KINDS, lengthInSpace, onCubic, sample, sphere, straight } from './panels.ts'

const share = () => fc.double({ min: 0, max: 1, noNaN: true })
const angle = () => fc.double({ min: -Math.PI, max: Math.PI, noNaN: true })

describe.each(KINDS)('$name', (kind) => {
	const chart = kind.chart()
	const embed = chart.embed as (p: ChartPoint) => SpacePoint
	const place = (a: number, b: number) => inBox(kind, a, b)
	const far = (p: ChartPoint, q: ChartPoint) => distance(chart, p, q)?.length ?? Number.NaN

	// Nothing outside to look up: the surface in space is the measure, by differences and chords of its own points.
	test('J is the length in space of 1 mm of station, girth is true length, and the two are square to each other', () => {
		fc.assert(
			fc.property(share(), share(), (a, b) => {
				const p = place(a, b)
				const h = 1e-3
				const d = (ds: number, dg: number) => {
					const [u, v] = [embed({ s: p.s + ds * h, g: p.g + dg * h }), embed({ s: p.s - ds * h, g: p.g - dg * h })]
					return { x: (u.x - v.x) / (2 * h), y: (u.y - v.y) / (2 * h), z: (u.z - v.z) / (2 * h) }
				}
				const [xs, xg] = [d(1, 0), d(0, 1)]
				const zero = { x: 0, y: 0, z: 0 }
				const { j } = chart.metric(p.s, p.g)
				expect(Math.abs(apart(xs, zero) - j)).toBeLessThan(1e-6)
				expect(Math.abs(apart(xg, zero) - 1)).toBeLessThan(1e-6)
				expect(Math.abs(xs.x * xg.x + xs.y * xg.y + xs.z * xg.z)).toBeLessThan(1e-6)
			}),
		)
	})

	test('the derivatives of J, its integral, K and the bend of the baseline agree with J itself', () => {
		fc.assert(
			fc.property(share(), share(), (a, b) => {
				const p = place(a, b)
				const h = 0.01
				const j = (ds: number, dg: number) => chart.metric(p.s + ds, p.g + dg).j
				const m = chart.metric(p.s, p.g)
				expect(Math.abs((j(0, h) - j(0, -h)) / (2 * h) - m.jg)).toBeLessThan(1e-6)
				expect(Math.abs((j(h, 0) - j(-h, 0)) / (2 * h) - m.js)).toBeLessThan(1e-9)
				expect(Math.abs((chart.girthIntegral(p.s, p.g + h) - chart.girthIntegral(p.s, p.g - h)) / (2 * h) - m.j)).toBeLessThan(
					1e-6,
				)
				expect(Math.abs(chart.girthIntegral(p.s, 0))).toBeLessThan(1e-12)
				// Jacobi's equation J_gg = -K J, where the profile's third derivative is bounded by 0.01 / mm^2.
				expect(Math.abs((chart.metric(p.s, p.g + h).jg - chart.metric(p.s, p.g - h).jg) / (2 * h) + m.k * m.j)).toBeLessThan(1e-4)
				expect(chart.metric(p.s, 0).j).toBeCloseTo(1, 12)
				expect(chart.metric(p.s, 0).jg).toBeCloseTo(-chart.baselineCurvature(p.s), 12)
			}),
		)
	})

	test('lengths along lines are their lengths in space', () => {
		fc.assert(
			fc.property(fc.array(fc.tuple(share(), share()), { minLength: 4, maxLength: 4 }), (at) => {
				const [p, q, r, s] = at.map(([a, b]) => place(a, b)) as [ChartPoint, ChartPoint, ChartPoint, ChartPoint]
				const line = curve([[p, q, r, s]])
				const m = measure(chart, line)
				// A cusp inside takes the smoothness from both ways of measuring.
				fc.pre(m.length > 20 && Math.min(...Array.from({ length: 401 }, (_, i) => frame(chart, line, i / 400).speed)) > 10)
				expect(Math.abs(m.length - lengthInSpace(chart, line, 1500))).toBeLessThan(1e-6 + 10 * kind.tableMm)
				for (const f of [0, 0.1, 0.5, 0.77, 1]) expect(m.lengthAt(m.at(f * m.length))).toBeCloseTo(f * m.length, 8)
				const half = m.at(m.length / 2)
				expect(measure(chart, part(line, 0, half)).length).toBeCloseTo(m.length / 2, 7)
				expect(measure(chart, reversed(line)).length).toBeCloseTo(m.length, 9)
			}),
			{ numRuns: 25 },
		)
	})

	test('a tape: the same from both ends, no longer than by way of a third place, no shorter than the chord', () => {
		fc.assert(
			fc.property(share(), share(), share(), share(), share(), share(), (a, b, c, d, e, f) => {
				const [p, q, r] = [place(a, b), place(c, d), place(e, f)]
				const pq = far(p, q)
				// Every tape ends within 1e-7 mm of its goal, and there are three.
				expect(Math.abs(pq - far(q, p))).toBeLessThan(2e-7)
				expect(pq).toBeLessThanOrEqual(far(p, r) + far(r, q) + 3e-7)
				expect(pq).toBeGreaterThanOrEqual(apart(embed(p), embed(q)) - kind.tableMm - 1e-7)
				expect(far(p, p)).toBe(0)
			}),
			{ numRuns: 60 },
		)
	})

	test('a tape is shorter than any line beside it, and bends to neither side', () => {
		fc.assert(
			fc.property(share(), share(), share(), share(), (a, b, c, d) => {
				const [p, q] = [place(a, b), place(c, d)]
				const path = distance(chart, p, q)
				fc.pre(path !== undefined && path.length > 5)
				const { startAngle, length } = path as { startAngle: number; length: number }
				const on = Array.from({ length: 201 }, (_, i) => shoot(chart, p, startAngle, (length * i) / 200).at)
				expect(Math.hypot((on[200] as ChartPoint).s - q.s, (on[200] as ChartPoint).g - q.g)).toBeLessThan(1e-6)
				const walk = (bulge: number) => {
					const points = on.map((x, i) => embed({ s: x.s, g: x.g + bulge * Math.sin((Math.PI * i) / 200) }))
					return points.slice(1).reduce((sum, x, i) => sum + apart(x, points[i] as SpacePoint), 0)
				}
				// Chords fall short of an arc of 300 mm at R 40 by 3e-4 mm here, all three alike.
				expect(Math.abs(walk(0) - length)).toBeLessThan(1e-3)
				const bent = Math.abs(Math.cos(startAngle)) > 0.3
				if (bent) {
					expect(walk(1)).toBeGreaterThan(walk(0))
					expect(walk(-1)).toBeGreaterThan(walk(0))
				}
			}),
			{ numRuns: 25 },
		)
	})

	test('out along a straightest path and back again', () => {
		fc.assert(
			fc.property(share(), share(), angle(), fc.double({ min: 1, max: 60, noNaN: true }), (a, b, direction, length) => {
				const p = place(0.3 + 0.4 * a, 0.3 + 0.4 * b)
				const out = shoot(chart, p, direction, length)
				fc.pre(beyond(chart, out.at) === 0)
				expect(out.reached).toBe(true)
				const home = shoot(chart, out.at, out.angle + Math.PI, length)
				expect(Math.hypot(home.at.s - p.s, home.at.g - p.g)).toBeLessThan(1e-7)
				expect(Math.abs(home.angle - direction - Math.PI)).toBeLessThan(1e-8)
				const back = shoot(chart, out.at, out.angle, -length)
				expect(Math.hypot(back.at.s - p.s, back.at.g - p.g)).toBeLessThan(1e-7)
			}),
			{ numRuns: 60 },
		)
	})

	test('the spread of neighbouring paths is how far apart two of them come', () => {
		fc.assert(
			fc.property(share(), share(), angle(), (a, b, direction) => {
				const p = place(a, b)
				const one = shoot(chart, p, direction, 40, { spread: 0, spreadRate: 1 })
				fc.pre(beyond(chart, one.at) === 0)
				const e = 1e-4
				const gap = apart(embed(shoot(chart, p, direction + e, 40).at), embed(shoot(chart, p, direction - e, 40).at))
				expect(Math.abs(gap / (2 * e) - one.spread)).toBeLessThan(1e-3)
			}),
			{ numRuns: 30 },
		)
	})

	test('the nearest place of a line: found by brute force too, and on the right side', () => {
		const [p, q, r, s] = [place(0.05, 0.2), place(0.3, 1), place(0.6, 0), place(0.95, 0.6)] as const
		const line = curve([[p, q, r, s], straight(s, place(0.9, 0.2))])
		const dense = sample(line, 300)
		fc.assert(
			fc.property(share(), share(), (a, b) => {
				const x = place(a, b)
				const found = nearest(chart, line, x)
				const rough = dense.map((d) => apart(embed(d), embed(x)))
				const best = Math.min(...dense.filter((_, i) => (rough[i] as number) < Math.min(...rough) + 15).map((d) => far(d, x)))
				expect(found).toBeDefined()
				// The dense places lie 0.8 mm apart.
				const off = Math.abs(found?.offsetMm as number)
				expect(off).toBeLessThanOrEqual(best + 1e-7)
				expect(off).toBeGreaterThan(Math.sqrt(Math.max(0, best * best - 0.5)) - 0.5)
				const f = frame(chart, line, found?.u as number)
				const foot = distance(chart, f.at, x)
				const inside = (found?.u as number) > 0.01 && Math.abs((found?.u as number) - 1) > 0.01 && (found?.u as number) < 1.99
				if (inside && foot && foot.length > 0.1) {
					expect(Math.abs(Math.cos(foot.startAngle - f.angle)) * foot.length).toBeLessThan(1e-5)
					expect(Math.sign(Math.sin(foot.startAngle - f.angle))).toBe(Math.sign(found?.offsetMm as number))
				}
			}),
			{ numRuns: 40 },
		)
	})

	test('mirroring is an involution, and keeps lengths where the panel is the same on both sides', () => {
		const line = curve([[place(0, 0.1), place(0.4, 0.9), place(0.5, 0.2), place(1, 0.7)]])
		expect(mirrored(mirrored(line))).toEqual(line)
		const even = [5, 20, 33].every((g) => Math.abs(chart.metric(50, g).j - chart.metric(50, -g).j) < 1e-12)
		const [a, b] = [measure(chart, line).length, measure(chart, mirrored(line)).length]
		if (even) {
			expect(b).toBeCloseTo(a, 9)
			for (const u of [0.1, 0.5, 0.9]) {
				expect(frame(chart, mirrored(line), u).curvature).toBeCloseTo(-frame(chart, line, u).curvature, 12)
			}
		} else expect(Math.abs(a - b)).toBeGreaterThan(1e-3)
	})
})

test('a point far outside a tight bend is measured to its nearest place (first on a sphere, by spherical trigonometry)', () => {
	// On a small circle of radius 12 mm about the origin: from anywhere, distance to the centre less 12 mm.
	const R = 150
	const chart = sphere(R)
	const n = 64
	const at = (t: number): ChartPoint => {
		const c = 12 / R
		return {
			s: R * Math.atan2(Math.sin(c) * Math.cos(t), Math.cos(c)),
			g: R * Math.asin(Math.sin(c) * Math.sin(t)),
		}
	}
	const h = (2 * Math.PI) / n
	const slope = (t: number) => ({ s: (at(t + 1e-5).s - at(t - 1e-5).s) / 2e-5, g: (at(t + 1e-5).g - at(t - 1e-5).g) / 2e-5 })
	const ring: Curve = curve(
		Array.from({ length: n }, (_, i) => {
			const [a, b] = [at(i * h), at((i + 1) * h)]
			const [da, db] = [slope(i * h), slope((i + 1) * h)]
			return [
				a,
				{ s: a.s + (da.s * h) / 3, g: a.g + (da.g * h) / 3 },
				{ s: b.s - (db.s * h) / 3, g: b.g - (db.g * h) / 3 },
				b,
			] as const
		}),
		true,
	)
	for (const [s, g] of [
		[100, 60],
		[-150, 90],
		[3, 130],
		[0, -100],
		[1, 2],
	] as const) {
		const centre = R * Math.acos(Math.cos(s / R) * Math.cos(g / R))
		expect(Math.abs(nearest(chart, ring, { s, g })?.offsetMm as number)).toBeCloseTo(Math.abs(centre - 12), 5)
	}
	// The plus side of an anticlockwise ring is its inside.
	expect(nearest(chart, ring, { s: 1, g: 2 })?.offsetMm).toBeGreaterThan(0)
	expect(nearest(chart, ring, { s: 0, g: -100 })?.offsetMm).toBeLessThan(0)
})

test('outside a corner the nearest place is the corner, on its outer side however sharp it is', () => {
	const chart = KINDS[0]?.chart() as ReturnType<typeof sphere>
	const vee = corners([
		[0, 0],
		[60, 0],
		[0, 8],
	])
	for (const [s, g] of [
		[70, 0],
		[75, 10],
		[64, -9],
	] as const) {
		const found = nearest(chart, vee, { s, g })
		expect(found?.at).toEqual({ s: 60, g: 0 })
		expect(found?.offsetMm).toBeCloseTo(-Math.hypot(s - 60, g), 12)
	}
	expect(cornersOf(chart, vee)).toEqual([{ u: 1, turn: expect.closeTo(Math.PI - Math.atan2(8, 60), 12) }])
})

describe('areas', () => {
	test('bands of a sphere are those of its cylinder (Archimedes), and a hole takes its own away', () => {
		const R = 150
		const chart = sphere(R)
		const box = (s0: number, s1: number, g0: number, g1: number) => [
			{ s: s0, g: g0 },
			{ s: s1, g: g0 },
			{ s: s1, g: g1 },
			{ s: s0, g: g1 },
		]
		const band = (s0: number, s1: number, g0: number, g1: number) =>
			((s1 - s0) / R) * R * R * (Math.sin(g1 / R) - Math.sin(g0 / R))
		const whole = box(-100, 140, -60, 90)
		expect(area(chart, [whole])).toBeCloseTo(band(-100, 140, -60, 90), 8)
		const hole = box(0, 20, 10, 30)
		expect(area(chart, [whole, hole.toReversed()])).toBeCloseTo(band(-100, 140, -60, 90) - band(0, 20, 10, 30), 8)
	})

	test('a disc on a sphere has area 2 pi R^2 (1 - cos(r/R)) (Archimedes)', () => {
		const R = 150
		const chart = sphere(R)
		const r = 50
		const n = 2000
		const loop = Array.from({ length: n }, (_, i) => shoot(chart, { s: 20, g: 35 }, (2 * Math.PI * i) / n, r).at)
		// Chords leave out 1.6e-6 of a disc.
		expect(Math.abs(area(chart, [loop]) / (2 * Math.PI * R * R * (1 - Math.cos(r / R))) - 1)).toBeLessThan(2e-6)
	})

	test('on any panel a fine region has the area of its triangles in space', () => {
		for (const kind of KINDS) {
			const chart = kind.chart()
			const embed = chart.embed as (p: ChartPoint) => SpacePoint
			const [p, q, r] = [inBox(kind, 0.1, 0.15), inBox(kind, 0.9, 0.3), inBox(kind, 0.4, 0.9)]
			// The triangle in 160 x 160 parts, each flat in space.
			const n = 160
			const at = (i: number, k: number) =>
				embed({ s: p.s + ((q.s - p.s) * i + (r.s - p.s) * k) / n, g: p.g + ((q.g - p.g) * i + (r.g - p.g) * k) / n })
			const flat = (a: SpacePoint, b: SpacePoint, c: SpacePoint) => {
				const [u, v, w] = [apart(a, b), apart(b, c), apart(c, a)].sort((x, y) => y - x) as [number, number, number]
				// Heron's formula in Kahan's stable order.
				return Math.sqrt(Math.max(0, (u + (v + w)) * (w - (u - v)) * (w + (u - v)) * (u + (v - w)))) / 4
			}
			let sum = 0
			for (let i = 0; i < n; i++) {
				for (let k = 0; i + k < n; k++) {
					sum += flat(at(i, k), at(i + 1, k), at(i, k + 1))
					if (i + k + 1 < n) sum += flat(at(i + 1, k), at(i + 1, k + 1), at(i, k + 1))
				}
			}
			const fine = polyline(chart, curve([straight(p, q), straight(q, r), straight(r, p)]), 0.001).slice(0, -1)
			const loop = fine.flatMap((a, i) => {
				const b = fine[(i + 1) % fine.length] as ChartPoint
				return Array.from({ length: 100 }, (_, k) => ({ s: a.s + ((b.s - a.s) * k) / 100, g: a.g + ((b.g - a.g) * k) / 100 }))
			})
			expect(Math.abs(area(chart, [loop]) / sum - 1)).toBeLessThan(3e-4)
		}
	})
})

test('chords of a flattened line stay within their limit on the panel, where a mm of station is longer than one', () => {
	const chart = KINDS.find((k) => k.name === 'cone widening to the rear')?.chart() as ReturnType<typeof sphere>
	const wide = KINDS.find((k) => k.name === 'flat, bent baseline')?.chart() as ReturnType<typeof sphere>
	for (const c of [chart, wide]) {
		const line = curve([
			[
				{ s: 0, g: -50 },
				{ s: 60, g: -240 },
				{ s: 120, g: -240 },
				{ s: 200, g: -30 },
			],
		])
		const points = polyline(c, line, 0.01)
		const dense = Array.from({ length: 2001 }, (_, i) => onCubic(line.cubics[0] as never, i / 2000))
		let worst = 0
		for (const p of dense) {
			let best = Number.POSITIVE_INFINITY
			for (let i = 1; i < points.length; i++) {
				const [a, b] = [points[i - 1] as ChartPoint, points[i] as ChartPoint]
				const { j } = c.metric((a.s + b.s) / 2, (a.g + b.g) / 2)
				const [dx, dy, px, py] = [(b.s - a.s) * j, b.g - a.g, (p.s - a.s) * j, p.g - a.g]
				const t = Math.min(1, Math.max(0, (px * dx + py * dy) / (dx * dx + dy * dy)))
				best = Math.min(best, Math.hypot(px - t * dx, py - t * dy))
			}
			worst = Math.max(worst, best)
		}
		expect(worst).toBeLessThan(0.0105)
		expect(worst).toBeGreaterThan(0.001)
	}
})

test('crossings of a station are on the line, at that station, each once', () => {
	const chart = sphere(150)
	const line = curve([
		[
			{ s: 0, g: 0 },
			{ s: 160, g: 10 },
			{ s: -60, g: 40 },
			{ s: 100, g: 60 },
		],
		straight({ s: 100, g: 60 }, { s: 40, g: 80 }),
	])
	const found = crossStation(chart, line, 47)
	// Looked for by sign changes over a dense sample.
	const dense = sample(line, 2000)
	const changes = dense.slice(1).filter((p, i) => (p.s - 47) * ((dense[i] as ChartPoint).s - 47) < 0).length
	expect(found.length).toBe(changes)
	expect(found.map((x) => x.u)).toEqual(found.map((x) => x.u).toSorted((a, b) => a - b))
	for (const x of found) {
		expect(x.at.s).toBe(47)
		expect(Math.abs(nearest(chart, line, x.at)?.offsetMm as number)).toBeLessThan(1e-7)
	}
	expect(crossStation(chart, line, 100).length).toBe(1)
	expect(crossStation(chart, line, 500)).toEqual([])
})
