import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { evaluate, frame, mirrored, reversed, toChartCubic } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { beyond } from '../../src/chart/limits.ts'
import { measure } from '../../src/chart/measure.ts'
import { nearest } from '../../src/chart/nearest.ts'
import { type OffsetLine, offset } from '../../src/chart/offset.ts'
import { parallelPoint } from '../../src/chart/parallel.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import { constantWidth, type Width } from '../../src/chart/width.ts'
import { flatChart } from '../../src/panel/flat.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { corners, curve, inBox, KINDS, sample, sphere } from './panels.ts'

const TOLERANCE = 0.0005
const flat = flatChart(panelFrame('p', 'centre'), { front: 0, bend: 0 })
const off = (chart: Chart, base: Curve, w: number | Width, style: 'mitred' | 'rounded' = 'mitred', toleranceMm = TOLERANCE) =>
	offset(chart, base, typeof w === 'number' ? constantWidth(w) : w, { id: 'o', toleranceMm, corners: style })

const ellipse = (a: number, b: number): Curve =>
	curve(
		fitCubics((t) => ({ x: a * Math.cos(t), y: b * Math.sin(t), dx: -a * Math.sin(t), dy: b * Math.cos(t) }), 0, 2 * Math.PI, {
			toleranceMm: 1e-6,
		}).cubics.map(toChartCubic),
		true,
	)
const sCurve = curve([
	[
		{ s: 0, g: 0 },
		{ s: 60, g: 0 },
		{ s: 40, g: 50 },
		{ s: 100, g: 50 },
	],
])
/** A U on its side: two arms 20 mm apart, bent at 1.6 mm at its tightest. */
const uTurn = curve(
	fitCubics(
		(t) => ({ x: 64 * Math.cos(t), y: 10 * Math.sin(t), dx: -64 * Math.sin(t), dy: 10 * Math.cos(t) }),
		-Math.PI / 2,
		Math.PI / 2,
		{
			toleranceMm: 1e-6,
		},
	).cubics.map(toChartCubic),
)

/** Distance to the base as a dense polyline; runs of it that lie wholly farther than the best so far are passed over. */
function walker(base: Curve, each = 400) {
	const line = sample(base, each)
	const RUN = 32
	const runs: { first: number; reach: number }[] = []
	for (let first = 0; first < line.length - 1; first += RUN) {
		const a = line[first] as ChartPoint
		const reach = Math.max(...line.slice(first, first + RUN + 1).map((p) => Math.hypot(p.s - a.s, p.g - a.g)))
		runs.push({ first, reach })
	}
	return (p: ChartPoint) => {
		let best = Number.POSITIVE_INFINITY
		for (const { first, reach } of runs) {
			const start = line[first] as ChartPoint
			if (Math.hypot(start.s - p.s, start.g - p.g) - reach > best) continue
			for (let i = first + 1; i < Math.min(line.length, first + RUN + 1); i++) {
				const [a, b] = [line[i - 1] as ChartPoint, line[i] as ChartPoint]
				const [dx, dy] = [b.s - a.s, b.g - a.g]
				const t = Math.min(1, Math.max(0, ((p.s - a.s) * dx + (p.g - a.g) * dy) / (dx * dx + dy * dy || 1)))
				best = Math.min(best, Math.hypot(a.s + t * dx - p.s, a.g + t * dy - p.g))
			}
		}
		return best
	}
}

/**
 * On a flat panel, by brute force alone: nothing of the result is nearer than the distance, nor farther (unless mitred), and
 * every place square off the line that has nothing nearer is in the result (a mitre may cut off some).
 */
function expectTrue(base: Curve, w: number, result: OffsetLine, mitred = false): void {
	const each = Math.max(12, Math.ceil(3000 / base.cubics.length))
	const away = walker(base, each)
	for (const c of result.curves) {
		for (const p of sample(c, 7)) {
			expect(Number.isFinite(p.s + p.g)).toBe(true)
			const d = away(p) - Math.abs(w)
			expect(d).toBeGreaterThan(-TOLERANCE - 1e-4)
			if (!mitred) expect(d).toBeLessThan(TOLERANCE + 1e-4)
		}
		expectJoined(c)
	}
	if (mitred) return
	const lines = result.curves.map((c) => walker(c, 40))
	for (let k = 0; k <= 240; k++) {
		const f = frame(flat, base, (k / 240) * base.cubics.length)
		const p = { s: f.at.s - w * Math.sin(f.angle), g: f.at.g + w * Math.cos(f.angle) }
		if (away(p) < Math.abs(w) - 1e-3) continue
		// Chords of 40 a cubic.
		expect(Math.min(...lines.map((d) => d(p)))).toBeLessThan(0.02)
	}
}

function expectJoined(c: Curve): void {
	c.cubics.forEach((cubic, i) => {
		const next = c.cubics[i + 1] ?? (c.closed ? c.cubics[0] : undefined)
		if (next) expect(Math.hypot(cubic[3].s - next[0].s, cubic[3].g - next[0].g)).toBeLessThan(c.cubics[i + 1] ? 1e-9 : 1e-3)
	})
}

describe('smooth lines on a flat panel', () => {
	test('a circle gives a circle, in and out; inward beyond its radius it is gone, and named', () => {
		const circle = ellipse(50, 50)
		for (const w of [10, 49.9, -30, -200]) {
			const { curves, trims, maxErrorMm } = off(flat, circle, w)
			expect(trims).toEqual([])
			expect(curves.map((c) => c.closed)).toEqual([true])
			for (const p of sample(curves[0] as Curve, 9))
				expect(Math.abs(Math.hypot(p.s, p.g) - 50 + w)).toBeLessThan(maxErrorMm + 1e-6)
			expect(maxErrorMm).toBeLessThan(TOLERANCE)
		}
		for (const w of [50.1, 60, 120]) {
			const { curves, trims } = off(flat, circle, w)
			expect(curves).toEqual([])
			expect(trims.map((t) => t.why)).toEqual(['bend'])
		}
	})

	test('an arc of a circle, open, inward beyond its radius', () => {
		const arc = curve(ellipse(50, 50).cubics.slice(0, 9))
		const { curves, trims } = off(flat, arc, 55)
		expect(curves).toEqual([])
		expect(trims.map((t) => t.why)).toEqual(['bend'])
		expectTrue(arc, 20, off(flat, arc, 20))
	})

	// Semi-axes 120 and 70: the tightest bend is 70^2/120 = 40.83 mm, and the inside is gone at 70.
	test.each([-10, 10, 40, 41, 42, 45, 60, 69, 71])('an ellipse of 120 x 70 mm by %d mm', (w) => {
		const base = ellipse(120, 70)
		const result = off(flat, base, w)
		expectTrue(base, w, result)
		expect(result.trims.map((t) => t.why)).toEqual(w < 40.83 ? [] : w < 70 ? ['bend', 'bend'] : ['bend'])
		expect(result.curves.map((c) => c.closed)).toEqual(w < 70 ? [true] : [])
	})

	// 120 x 70 mm over all: semi-axes 60 and 35, the tightest bend 20.4 mm.
	test.each([-10, 10, 20, 21, 30, 34.9, 40])('an ellipse of 60 x 35 mm by %d mm', (w) => {
		const base = ellipse(60, 35)
		expectTrue(base, w, off(flat, base, w))
	})

	test.each([6, -6, 20, -20, 40, 80, -80])('an S by %d mm', (w) => {
		const result = off(flat, sCurve, w)
		expectTrue(sCurve, w, result)
		expect(result.trims.length).toBe(Math.abs(w) > 50 ? 1 : 0)
	})

	test.each([4, 8, 12, 30, -12])('a U whose arms come within the distance, by %d mm', (w) => {
		const result = off(flat, uTurn, w)
		expectTrue(uTurn, w, result)
		expect(result.trims.map((t) => t.why)).toEqual(w > 1.6 ? ['bend'] : [])
		expect(result.curves.length).toBe(w > 10 ? 0 : 1)
	})

	test('an hour-glass falls apart in two at its waist', () => {
		const glass = curve(
			fitCubics(
				(t) => {
					const r = 60 + 40 * Math.cos(2 * t)
					const dr = -80 * Math.sin(2 * t)
					return {
						x: r * Math.cos(t),
						y: r * Math.sin(t),
						dx: dr * Math.cos(t) - r * Math.sin(t),
						dy: dr * Math.sin(t) + r * Math.cos(t),
					}
				},
				0,
				2 * Math.PI,
				{ toleranceMm: 1e-6 },
			).cubics.map(toChartCubic),
			true,
		)
		const result = off(flat, glass, 24)
		expectTrue(glass, 24, result)
		expect(result.curves.map((c) => c.closed)).toEqual([true, true])
		expect(new Set(result.curves.map((c) => c.id)).size).toBe(2)
		expectTrue(glass, -24, off(flat, glass, -24))
	})

	test('an open line that curls back on itself is cut where its own end is nearer', () => {
		const hook = curve(
			fitCubics(
				(t) => ({
					x: (60 - 6 * t) * Math.cos(t),
					y: (60 - 6 * t) * Math.sin(t),
					dx: -6 * Math.cos(t) - (60 - 6 * t) * Math.sin(t),
					dy: -6 * Math.sin(t) + (60 - 6 * t) * Math.cos(t),
				}),
				0,
				7,
				{ toleranceMm: 1e-6 },
			).cubics.map(toChartCubic),
		)
		for (const w of [12, 25, -25]) expectTrue(hook, w, off(flat, hook, w))
	})
})

describe('corners on a flat panel', () => {
	const SHAPES: readonly (readonly [string, readonly (readonly [number, number])[], boolean])[] = [
		[
			'an L',
			[
				[0, 0],
				[60, 0],
				[60, 40],
			],
			false,
		],
		[
			'a V',
			[
				[0, 0],
				[60, 10],
				[0, 50],
			],
			false,
		],
		[
			'a sharp V',
			[
				[0, 0],
				[60, 0],
				[0, 8],
			],
			false,
		],
		[
			'a box',
			[
				[0, 0],
				[60, 0],
				[60, 40],
				[0, 40],
			],
			true,
		],
		[
			'a box with a small chamfer',
			[
				[0, 0],
				[60, 0],
				[64, 4],
				[64, 50],
				[0, 50],
			],
			true,
		],
		[
			'a line with a small chamfer',
			[
				[0, 0],
				[60, 0],
				[64, 4],
				[64, 50],
			],
			false,
		],
		[
			'a notch',
			[
				[0, 0],
				[40, 0],
				[40, -5],
				[46, -5],
				[46, 0],
				[90, 0],
			],
			false,
		],
		[
			'a step',
			[
				[0, 0],
				[40, 0],
				[40, 4],
				[90, 4],
			],
			false,
		],
		[
			'a comb',
			[
				[0, 0],
				[20, 0],
				[20, 30],
				[29, 30],
				[29, 0],
				[38, 0],
				[38, 30],
				[60, 30],
			],
			false,
		],
		[
			'a star',
			[
				[0, -50],
				[12, -16],
				[48, -15],
				[19, 6],
				[29, 40],
				[0, 20],
				[-29, 40],
				[-19, 6],
				[-48, -15],
				[-12, -16],
			],
			true,
		],
	]
	const CASES = SHAPES.flatMap(([name, points, closed]) =>
		[5, -5, 12, -12, 21].flatMap((w) => (['mitred', 'rounded'] as const).map((style) => ({ name, points, closed, w, style }))),
	)
	test.each(CASES)('$name by $w, $style', ({ points, closed, w, style }) => {
		const base = corners(points, closed)
		const result = off(flat, base, w, style)
		expectTrue(base, w, result, style === 'mitred')
	})

	test('an inner corner is cut and an outer one mitred or rounded without a word; nothing is trimmed', () => {
		const box = corners(
			[
				[0, 0],
				[60, 0],
				[60, 40],
				[0, 40],
			],
			true,
		)
		const square = (p: ChartPoint) => [p.s, p.g].map((x) => Math.round(x * 1e9) / 1e9)
		const inner = off(flat, box, 5)
		expect(inner.trims).toEqual([])
		expect(inner.curves.map((c) => c.closed)).toEqual([true])
		expect(inner.curves[0]?.cubics.map((c) => square(c[0])).toSorted()).toEqual(
			[
				[5, 35],
				[5, 5],
				[55, 35],
				[55, 5],
			].toSorted(),
		)
		const outer = off(flat, box, -5)
		expect(outer.trims).toEqual([])
		const tips = outer.curves[0]?.cubics.map((c) => square(c[0]).join()) ?? []
		for (const tip of ['-5,-5', '65,-5', '65,45', '-5,45']) expect(tips).toContain(tip)
		// Rounded: perimeter and a circle (Steiner's formula).
		const rounded = off(flat, box, -5, 'rounded', 1e-6)
		expect(measure(flat, rounded.curves[0] as Curve).length).toBeCloseTo(200 + 10 * Math.PI, 4)
	})

	test('a spike longer than four widths is rounded, as the mitre limit says', () => {
		const vee = corners([
			[0, 0],
			[60, 0],
			[0, 8],
		])
		const reach = Math.max(...sample(off(flat, vee, -5).curves[0] as Curve, 20).map((p) => p.s))
		expect(reach).toBeLessThan(65.01)
	})

	test('a closed line with one corner: a drop, inward and outward', () => {
		const drop = curve(
			[
				[
					{ s: 0, g: 0 },
					{ s: 60, g: 0 },
					{ s: 60, g: 60 },
					{ s: 0, g: 0 },
				].map((p, i) => (i === 2 ? { s: 0, g: 60 } : p)) as never,
			],
			true,
		)
		for (const style of ['mitred', 'rounded'] as const) {
			for (const w of [3, 20, -5]) {
				const result = off(flat, drop, w, style)
				expectTrue(drop, w, result, style === 'mitred')
				expect(result.curves.map((c) => c.closed)).toEqual(w === 20 ? [] : [true])
			}
		}
	})
})

describe('tapers', () => {
	const taper = (from: number, to: number, length: number): Width => ({
		at: (l) => from + ((to - from) * l) / length,
		rate: () => (to - from) / length,
	})

	test.each([
		[3, 12],
		[12, 0],
		[-2, -20],
		[5, -5],
	])('on an S from %d to %d mm: every place square off the line at its own width', (from, to) => {
		const { length } = measure(flat, sCurve)
		const result = off(flat, sCurve, taper(from, to, length))
		expect(result.trims).toEqual([])
		expect(result.curves.length).toBe(1)
		const m = measure(flat, sCurve)
		for (const p of sample(result.curves[0] as Curve, 9)) {
			const foot = nearest(flat, sCurve, p)
			expect(foot).toBeDefined()
			const want = from + ((to - from) * m.lengthAt(foot?.u as number)) / length
			expect(Math.abs((foot?.offsetMm as number) - want)).toBeLessThan(2 * TOLERANCE)
		}
	})

	test('on every kind of panel a steep taper is not taken for a fault', () => {
		for (const kind of KINDS) {
			const chart = kind.chart()
			const line = curve([[inBox(kind, 0.2, 0.4), inBox(kind, 0.4, 0.55), inBox(kind, 0.6, 0.3), inBox(kind, 0.8, 0.45)]])
			const { length } = measure(chart, line)
			const { curves, trims } = off(chart, line, taper(2, 2 + 0.25 * Math.min(length, 60), length))
			expect([kind.name, trims, curves.length]).toEqual([kind.name, [], 1])
		}
	})
})

const share = () => fc.double({ min: 0, max: 1, noNaN: true })

describe.each(KINDS)('$name', (kind) => {
	const chart = kind.chart()
	/** A gentle line in the middle of the panel, from six shares. */
	const gentle = ([a, b, c, d]: readonly number[]) =>
		curve([
			[
				inBox(kind, 0.15, 0.35 + 0.3 * (a as number)),
				inBox(kind, 0.4, 0.35 + 0.3 * (b as number)),
				inBox(kind, 0.6, 0.35 + 0.3 * (c as number)),
				inBox(kind, 0.85, 0.35 + 0.3 * (d as number)),
			],
		])
	const shares = () => fc.array(share(), { minLength: 4, maxLength: 4 })
	const width = () => fc.oneof(fc.double({ min: 1, max: 12, noNaN: true }), fc.double({ min: -12, max: -1, noNaN: true }))
	/** Largest distance from places of one line to another line. */
	const gap = (a: Curve, b: Curve) => Math.max(...sample(a, 4).map((p) => Math.abs(nearest(chart, b, p)?.offsetMm ?? Number.NaN)))
	const one = (result: OffsetLine): Curve => {
		expect(result.trims).toEqual([])
		expect(result.curves.length).toBe(1)
		return result.curves[0] as Curve
	}

	test('an offset is at its distance everywhere, on its side', () => {
		fc.assert(
			fc.property(shares(), width(), (at, w) => {
				const line = gentle(at)
				const result = off(chart, line, w)
				for (const p of sample(one(result), 5)) {
					const d = nearest(chart, line, p)?.offsetMm as number
					expect(Math.abs(d - w)).toBeLessThan(TOLERANCE + 1e-6)
				}
				expect(result.maxErrorMm).toBeLessThanOrEqual(TOLERANCE)
			}),
			{ numRuns: 15 },
		)
	})

	test('back again by the same distance is where it was', () => {
		fc.assert(
			fc.property(shares(), width(), (at, w) => {
				const line = gentle(at)
				const there = one(off(chart, line, w, 'mitred', 1e-5))
				const back = one(off(chart, there, -w, 'mitred', 1e-5))
				expect(gap(back, line)).toBeLessThan(1e-4)
			}),
			{ numRuns: 6 },
		)
	})

	test('the line turned round and the distance negated: the same line, turned round', () => {
		fc.assert(
			fc.property(shares(), width(), (at, w) => {
				const line = gentle(at)
				const a = one(off(chart, line, w))
				const b = one(off(chart, reversed(line), -w))
				expect(gap(reversed(b), a)).toBeLessThan(2 * TOLERANCE)
				const [p, q] = [evaluate(a, 0).at, evaluate(b, b.cubics.length).at]
				expect(Math.hypot(p.s - q.s, p.g - q.g)).toBeLessThan(1e-7)
			}),
			{ numRuns: 6 },
		)
	})

	test('spread and bend of the offset agree with its own length and bend', () => {
		fc.assert(
			fc.property(shares(), width(), (at, w) => {
				const line = gentle(at)
				const to = one(off(chart, line, w, 'mitred', 1e-6))
				// Length of the offset by integrating the spread along the line (Simpson), against its own measured length.
				const n = 200
				let sum = 0
				for (let i = 0; i <= n; i++) {
					const f = frame(chart, line, (i / n) * line.cubics.length)
					const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2
					sum += (weight * f.speed * parallelPoint(chart, f, w).spread * line.cubics.length) / (3 * n)
				}
				expect(Math.abs(sum - measure(chart, to).length)).toBeLessThan(1e-4)
				const middle = frame(chart, line, 0.5 * line.cubics.length)
				const p = parallelPoint(chart, middle, w)
				const foot = nearest(chart, to, p.at)
				expect(Math.abs(frame(chart, to, foot?.u as number).curvature - p.curvature)).toBeLessThan(1e-3)
				expect(Math.abs(distance(chart, middle.at, p.at)?.length as number) - Math.abs(w)).toBeLessThan(1e-7)
			}),
			{ numRuns: 6 },
		)
	})

	test('corners: nothing is nearer than the distance, and outside an outer corner it is rounded or mitred', () => {
		for (const style of ['mitred', 'rounded'] as const) {
			for (const w of [6, -6]) {
				const p = [inBox(kind, 0.2, 0.3), inBox(kind, 0.5, 0.7), inBox(kind, 0.8, 0.35)] as const
				const line = corners(p.map((q) => [q.s, q.g] as const))
				const result = off(chart, line, w, style)
				const to = one(result)
				for (const q of sample(to, 7)) {
					const d = (nearest(chart, line, q)?.offsetMm as number) * Math.sign(w)
					expect(d).toBeGreaterThan(6 - TOLERANCE - 1e-6)
					if (style === 'rounded') expect(d).toBeLessThan(6 + TOLERANCE + 1e-6)
				}
				expectJoined(to)
			}
		}
	})

	test('the mirrored line has the mirrored offset, where the panel is the same on both sides', () => {
		const even = [5, 20, 33].every((g) => Math.abs(chart.metric(50, g).j - chart.metric(50, -g).j) < 1e-12)
		const line = gentle([0.2, 0.9, 0.1, 0.6])
		if (!even) return expect(kind.name).toMatch(/bent|falling/)
		const a = one(off(chart, line, 7))
		const b = one(off(chart, mirrored(line), -7))
		expect(gap(mirrored(b), a)).toBeLessThan(1e-7)
	})
})

test('ten times as large is ten times as large: units change nothing', () => {
	for (const factor of [25.4, 0.1]) {
		const small = sphere(150)
		const large = sphere(150 * factor)
		const scale = (c: Curve): Curve => ({
			...c,
			cubics: c.cubics.map((k) => k.map((p) => ({ s: p.s * factor, g: p.g * factor })) as never),
		})
		const line = curve([
			[
				{ s: -70, g: 30 },
				{ s: -20, g: 90 },
				{ s: 30, g: 10 },
				{ s: 80, g: 60 },
			],
		])
		const a = off(small, line, 9)
		const b = off(large, scale(line), 9 * factor, 'mitred', TOLERANCE * factor)
		expect(b.curves.length).toBe(1)
		for (const p of sample(scale(a.curves[0] as Curve), 6)) {
			const d = nearest(large, b.curves[0] as Curve, p)?.offsetMm as number
			expect(Math.abs(d)).toBeLessThan(TOLERANCE * factor)
		}
		const [p, q] = [
			{ s: 10, g: -40 },
			{ s: 90, g: 70 },
		]
		const short = distance(small, p, q)?.length as number
		const long = distance(large, { s: p.s * factor, g: p.g * factor }, { s: q.s * factor, g: q.g * factor })?.length as number
		expect(long / short).toBeCloseTo(factor, 7)
	}
})

test('on a sphere an offset towards the centre of a small circle is trimmed past its focus, and named', () => {
	// The focal distance of a small circle is its own radius, R times the colatitude (Snyder, USGS PP 1395, ch. 15).
	const R = 150
	const chart = sphere(R)
	const ring = (r: number): Curve =>
		curve(
			fitCubics(
				(t) => {
					const c = r / R
					const lat = Math.asin(Math.sin(c) * Math.sin(t))
					return {
						x: R * Math.atan2(Math.sin(c) * Math.cos(t), Math.cos(c)),
						y: R * lat,
						dx: (-R * Math.cos(c) * Math.sin(c) * Math.sin(t)) / (Math.cos(c) ** 2 + (Math.sin(c) * Math.cos(t)) ** 2),
						dy: (R * Math.sin(c) * Math.cos(t)) / Math.cos(lat),
					}
				},
				0,
				2 * Math.PI,
				{ toleranceMm: 1e-6 },
			).cubics.map(toChartCubic),
			true,
		)
	for (const [r, w] of [
		[60, 25],
		[60, -40],
		[60, 59],
	] as const) {
		const { curves, trims } = off(chart, ring(r), w, 'mitred', 1e-5)
		expect(trims).toEqual([])
		expect(curves.map((c) => c.closed)).toEqual([true])
		expect(measure(chart, curves[0] as Curve).length).toBeCloseTo(2 * Math.PI * R * Math.sin((r - w) / R), 3)
	}
	const gone = off(chart, ring(60), 61)
	expect(gone.curves).toEqual([])
	expect(gone.trims.map((t) => t.why)).toEqual(['bend'])
	expect(beyond(chart, gone.trims[0]?.at as ChartPoint)).toBe(0)
})
