import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { arcCubics, circleCubics } from '../../src/plane/arc.ts'
import { lineCubic, reverseCubics } from '../../src/plane/cubic.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { type Offset, offsetCubics } from '../../src/plane/offset.ts'
import type { Cubic, PlanePoint } from '../../src/plane/point.ts'
import { bernstein, distanceToCubics, distanceToPolyline, ellipseJet, sampleCubics, sCurve, smallestRadius } from './curves.ts'

const TOLERANCE = 0.0005

/** Place and left normal of a cubic, written out from its control points. */
function normalAt(c: Cubic, u: number): { p: PlanePoint; n: PlanePoint } {
	const v = 1 - u
	const d = (k: 'x' | 'y') => 3 * v * v * (c[1][k] - c[0][k]) + 6 * v * u * (c[2][k] - c[1][k]) + 3 * u * u * (c[3][k] - c[2][k])
	const speed = Math.hypot(d('x'), d('y'))
	return { p: bernstein(c, u), n: { x: -d('y') / speed, y: d('x') / speed } }
}

const line = (cubics: readonly Cubic[]) => sampleCubics(cubics, 80)

/** Every place of the result is |d| from the edge, measured by brute force; `mitred` allows farther. */
function expectDistance(edge: readonly Cubic[], d: number, offset: Offset, mitred = false): void {
	for (const path of offset.paths) {
		for (const p of sampleCubics(path.cubics, 4)) {
			const off = distanceToCubics(p, edge) - Math.abs(d)
			expect(off).toBeGreaterThan(-TOLERANCE)
			if (!mitred) expect(off).toBeLessThan(TOLERANCE)
		}
	}
}

/** Every place that the offset should have is in the result: brute force over the edge. */
function expectComplete(edge: readonly Cubic[], d: number, offset: Offset, each = 30): void {
	const lines = offset.paths.map((path) => line(path.cubics))
	for (const c of edge) {
		for (let k = 0; k <= each; k++) {
			const { p, n } = normalAt(c, k / each)
			const q = { x: p.x + d * n.x, y: p.y + d * n.y }
			if (distanceToCubics(q, edge) < Math.abs(d) - 1e-5) continue
			// 0.002: the chords of 80 samples a cubic, on top of the tolerance
			expect(Math.min(...lines.map((l) => distanceToPolyline(q, l)))).toBeLessThan(0.002)
		}
	}
}

function expectJoined(offset: Offset): void {
	for (const { cubics, closed } of offset.paths) {
		cubics.forEach((c, i) => {
			const next = cubics[i + 1] ?? (closed ? cubics[0] : undefined)
			if (next) expect([c[3].x, c[3].y]).toEqual([next[0].x, next[0].y])
		})
	}
}

describe('smooth edges', () => {
	test('a line is moved to its left for d > 0', () => {
		const { paths } = offsetCubics([lineCubic({ x: 0, y: 0 }, { x: 30, y: 40 })], 5, { toleranceMm: TOLERANCE })
		expect(paths.length).toBe(1)
		const c = paths[0]?.cubics[0] as Cubic
		expect(c[0].x).toBeCloseTo(-4, 12)
		expect(c[0].y).toBeCloseTo(3, 12)
		expect(c[3].x).toBeCloseTo(26, 12)
		expect(c[3].y).toBeCloseTo(43, 12)
	})

	test('a circle gives a circle, in or out; inside out is nothing, and is named', () => {
		const circle = circleCubics({ x: 10, y: -20 }, 50, 1e-7).cubics
		for (const d of [-10, -200, 10, 49, 49.99]) {
			const offset = offsetCubics(circle, d, { toleranceMm: TOLERANCE, closed: true })
			expect(offset.met).toBe(true)
			expect(offset.trimmed).toEqual([])
			expect(offset.paths.map((p) => p.closed)).toEqual([true])
			const worst = Math.max(...line(offset.paths[0]?.cubics ?? []).map((p) => Math.abs(Math.hypot(p.x - 10, p.y + 20) - 50 + d)))
			expect(worst).toBeLessThan(TOLERANCE)
			expectJoined(offset)
		}
		for (const d of [50.01, 60, 120]) {
			const offset = offsetCubics(circle, d, { toleranceMm: TOLERANCE, closed: true })
			expect(offset.paths).toEqual([])
			expect(offset.trimmed).toMatchObject([{ why: 'inverted', from: 0, to: circle.length }])
		}
	})

	test('an open arc bent tighter than the distance is wholly inverted, though it nowhere crosses itself', () => {
		const arc = arcCubics({ x: 0, y: 0 }, 5, 0, Math.PI / 2, 1e-6).cubics
		const offset = offsetCubics(arc, 10, { toleranceMm: TOLERANCE })
		expect(offset.paths).toEqual([])
		expect(offset.trimmed.map((t) => t.why)).toEqual(['inverted'])
	})

	test('an S-curve by 6 mm, both sides', () => {
		for (const d of [6, -6]) {
			const offset = offsetCubics(sCurve, d, { toleranceMm: TOLERANCE })
			expect(offset.met).toBe(true)
			expect(offset.paths.length).toBe(1)
			expect(offset.trimmed).toEqual([])
			expectDistance(sCurve, d, offset)
			expectComplete(sCurve, d, offset)
		}
	})

	test('a tolerance that is asked for is kept, whatever it is', () => {
		for (const toleranceMm of [0.1, 0.01, 1e-4, 1e-6]) {
			const offset = offsetCubics(sCurve, 6, { toleranceMm })
			const worst = Math.max(
				...sampleCubics(offset.paths[0]?.cubics ?? [], 9).map((p) => Math.abs(distanceToCubics(p, sCurve, 200) - 6)),
			)
			expect(worst).toBeLessThan(toleranceMm)
			expect(offset.maxErrorMm).toBeLessThanOrEqual(toleranceMm)
		}
	})

	test('handles of length 0 at the ends make no spike', () => {
		const c: Cubic[] = [
			[
				{ x: 0, y: 0 },
				{ x: 0, y: 0 },
				{ x: 60, y: 0 },
				{ x: 90, y: 40 },
			],
		]
		for (const d of [8, -8]) {
			const offset = offsetCubics(c, d, { toleranceMm: TOLERANCE })
			expect(offset.met).toBe(true)
			expectDistance(c, d, offset)
		}
	})

	test('random edges: the distance holds everywhere, nothing that belongs is missing, ends meet', () => {
		const coordinate = fc.integer({ min: -600, max: 600 }).map((n) => n / 10)
		const point = fc.record({ x: coordinate, y: coordinate })
		const edge = fc
			.tuple(point, fc.array(fc.tuple(point, point), { minLength: 2, maxLength: 4 }))
			.map(([start, steps]) => smoothChain(start, steps))
		fc.assert(
			fc.property(edge, fc.integer({ min: -250, max: 250 }), (cubics, tenths) => {
				fc.pre(tenths !== 0 && smallestRadius(cubics) > 2)
				const d = tenths / 10
				const offset = offsetCubics(cubics, d, { toleranceMm: TOLERANCE })
				expectJoined(offset)
				expectDistance(cubics, d, offset)
				expectComplete(cubics, d, offset, 20)
			}),
			{ numRuns: 25 },
		)
	})

	test('edges that once went wrong', () => {
		const cases: [Cubic[], number][] = [
			// a bend of radius 0.09 mm, just tighter than the distance: a tail of 0.001 mm, two feet within 1 % of a cubic
			[smoothCubics([0, 0, 30, 0, 7.55, -16.5, 40, 0], [72.45, 16.5, 18.4, 34.766, 44.4, 27.2]), -0.1],
			// a hairpin of radius 0.01 mm, between two samples of the fit
			[smoothCubics([0, 0, 30, 0, -36, 12.633, -16, 8.9], [4, 5.167, 4, -36.1, 24, -36.1]), 0.1],
		]
		for (const [edge, d] of cases) {
			const offset = offsetCubics(edge, d, { toleranceMm: TOLERANCE })
			expect(offset.met).toBe(true)
			expectJoined(offset)
			const dense = sampleCubics(edge, 20_000)
			const from = offset.paths.flatMap((path) => sampleCubics(path.cubics, 5))
			for (const p of from) expect(Math.abs(distanceToPolyline(p, dense) - Math.abs(d))).toBeLessThan(TOLERANCE)
		}
	})

	test('reversed, the left is the right; larger, it is as much larger', () => {
		for (const d of [6, 30, 60, -30]) {
			const forward = offsetCubics(sCurve, d, { toleranceMm: TOLERANCE })
			const backward = offsetCubics(reverseCubics(sCurve), -d, { toleranceMm: TOLERANCE })
			expect(backward.paths.length).toBe(forward.paths.length)
			forward.paths.forEach((path, i) => {
				const other = line(backward.paths[i]?.cubics ?? [])
				for (const p of sampleCubics(path.cubics, 3)) expect(distanceToPolyline(p, other)).toBeLessThan(0.005)
			})
			const grown = offsetCubics(
				sCurve.map((c) => c.map((p) => ({ x: 8 * p.x, y: 8 * p.y })) as unknown as Cubic),
				8 * d,
				{ toleranceMm: 8 * TOLERANCE },
			)
			expect(grown.paths.map((p) => p.cubics.length)).toEqual(forward.paths.map((p) => p.cubics.length))
			const [a, b] = [forward.paths[0]?.cubics[0]?.[0] as PlanePoint, grown.paths[0]?.cubics[0]?.[0] as PlanePoint]
			expect(b.x).toBeCloseTo(8 * a.x, 7)
		}
	})
})

/** Cubics from flat coordinates: all four points of the first, three of each that follows. */
function smoothCubics(first: readonly number[], ...rest: readonly (readonly number[])[]): Cubic[] {
	const points = (list: readonly number[]) => list.flatMap((x, i) => (i % 2 === 0 ? [{ x, y: list[i + 1] as number }] : []))
	const cubics = [points(first) as unknown as Cubic]
	for (const list of rest) cubics.push([cubics[cubics.length - 1]?.[3], ...points(list)] as unknown as Cubic)
	return cubics
}

/** Cubics that join smoothly: each step gives the far handle and the end. */
function smoothChain(start: PlanePoint, steps: readonly (readonly [PlanePoint, PlanePoint])[]): Cubic[] {
	const cubics: Cubic[] = []
	let from = start
	let handle = { x: start.x + 30, y: start.y }
	for (const [far, by] of steps) {
		const end = { x: from.x + 40 + by.x, y: from.y + by.y }
		const before = { x: end.x - 20 - Math.abs(far.x) / 4, y: end.y + far.y / 3 }
		cubics.push([from, handle, before, end])
		handle = { x: 2 * end.x - before.x, y: 2 * end.y - before.y }
		from = end
	}
	return cubics
}

describe('trimming', () => {
	const ellipse = (a: number, b: number) => fitCubics(ellipseJet(a, b), 0, 2 * Math.PI, { toleranceMm: 1e-4 }).cubics

	test('swallow-tails at both ends of an ellipse, at any distance beyond its smallest radius', () => {
		const edge = ellipse(60, 35)
		// smallest radius of curvature b^2/a = 20.417, last distance with an inside b = 35
		for (const d of [20.42, 25, 30.1, 34.9]) {
			const offset = offsetCubics(edge, d, { toleranceMm: TOLERANCE, closed: true })
			expect(offset.met).toBe(true)
			expect(offset.paths.map((p) => p.closed)).toEqual([true])
			expect(offset.trimmed.map((t) => t.why)).toEqual(['swallow-tail', 'swallow-tail'])
			// the tail's corner lies on the long axis
			const onAxis = offset.trimmed.map((t) => Math.abs(t.start.x))
			expect(onAxis[0]).toBeCloseTo(onAxis[1] as number, 3)
			expectDistance(edge, d, offset)
			expectComplete(edge, d, offset, 8)
			expectJoined(offset)
		}
		const gone = offsetCubics(edge, 35.1, { toleranceMm: TOLERANCE, closed: true })
		expect(gone.paths).toEqual([])
	})

	test('a waist narrower than twice the distance leaves two loops', () => {
		// Cassini-like outline: r = 60 + 40 cos 2t, waist 20 from the centre
		const r = (t: number) => 60 + 40 * Math.cos(2 * t)
		const edge = fitCubics(
			(t) => ({
				x: r(t) * Math.cos(t),
				y: r(t) * Math.sin(t),
				dx: -80 * Math.sin(2 * t) * Math.cos(t) - r(t) * Math.sin(t),
				dy: -80 * Math.sin(2 * t) * Math.sin(t) + r(t) * Math.cos(t),
			}),
			0,
			2 * Math.PI,
			{ toleranceMm: 1e-4 },
		).cubics
		const offset = offsetCubics(edge, 22, { toleranceMm: TOLERANCE, closed: true })
		expect(offset.met).toBe(true)
		expect(offset.paths.map((p) => p.closed)).toEqual([true, true])
		expect(offset.trimmed.length).toBeGreaterThanOrEqual(2)
		expect(offset.trimmed.map((t) => t.why)).toContain('overlap')
		expectDistance(edge, 22, offset)
		expectComplete(edge, 22, offset, 6)
		expectJoined(offset)
	})

	test("an edge that comes back past its own end stops where the end's reach begins", () => {
		// a spiral of pitch 15 mm a turn, offset outward by 20: only its last stretch has room
		const r = (t: number) => 20 + (15 * t) / (2 * Math.PI)
		const dr = 15 / (2 * Math.PI)
		const edge = fitCubics(
			(t) => ({
				x: r(t) * Math.cos(t),
				y: r(t) * Math.sin(t),
				dx: dr * Math.cos(t) - r(t) * Math.sin(t),
				dy: dr * Math.sin(t) + r(t) * Math.cos(t),
			}),
			0,
			14,
			{ toleranceMm: 1e-4 },
		).cubics
		const offset = offsetCubics(edge, -20, { toleranceMm: TOLERANCE })
		expect(offset.paths.length).toBe(1)
		expect(offset.trimmed.map((t) => t.why)).toEqual(['overlap'])
		expectDistance(edge, -20, offset)
		expectComplete(edge, -20, offset, 12)
	})
})

describe('corners', () => {
	const polyline = (points: readonly PlanePoint[]) => points.slice(1).map((p, i) => lineCubic(points[i] as PlanePoint, p))
	const ell = polyline([
		{ x: 0, y: 0 },
		{ x: 50, y: 0 },
		{ x: 50, y: 50 },
	])
	const square = polyline([
		{ x: 0, y: 0 },
		{ x: 40, y: 0 },
		{ x: 40, y: 40 },
		{ x: 0, y: 40 },
		{ x: 0, y: 0 },
	])
	const corners = (offset: Offset) => offset.paths.flatMap((p) => p.cubics.map((c) => [round(c[0].x), round(c[0].y)]))
	const round = (v: number) => Math.round(v * 1e9) / 1e9 + 0

	test('an inner corner is cut where the sides meet, and is named', () => {
		const offset = offsetCubics(ell, 10, { toleranceMm: TOLERANCE })
		expect(corners(offset)).toEqual([
			[0, 10],
			[40, 10],
		])
		expect(offset.trimmed).toMatchObject([{ why: 'corner' }])
		expect(offset.trimmed[0]?.start.x).toBeCloseTo(40, 9)
		expect(offset.trimmed[0]?.end.y).toBeCloseTo(10, 9)
		expect(offset.trimmed[0]?.from).toBeCloseTo(0.8, 9)
		expect(offset.trimmed[0]?.to).toBeCloseTo(1.2, 9)
	})

	test('an outer corner is mitred, or cut square at the limit, or rounded', () => {
		expect(corners(offsetCubics(ell, -10, { toleranceMm: TOLERANCE }))).toEqual([
			[0, -10],
			[50, -10],
			[60, -10],
			[60, 0],
		])
		const cut = offsetCubics(ell, -10, { toleranceMm: TOLERANCE, mitreLimit: 1.2 })
		// square to the bisector at 12 mm from the corner (50, 0)
		const tips = corners(cut).slice(2, 4) as [number, number][]
		for (const [x, y] of tips) expect((x - 50 - y) / Math.SQRT2).toBeCloseTo(12, 9)
		expectDistance(ell, -10, cut, true)
		const rounded = offsetCubics(ell, -10, { toleranceMm: TOLERANCE, join: 'round' })
		expectDistance(ell, -10, rounded)
		expect(rounded.met).toBe(true)
	})

	test('a square, in and out, closed', () => {
		const inside = offsetCubics(square, 10, { toleranceMm: TOLERANCE, closed: true })
		expect(inside.paths.map((p) => p.closed)).toEqual([true])
		expect(corners(inside).sort()).toEqual([
			[10, 10],
			[10, 30],
			[30, 10],
			[30, 30],
		])
		const outside = offsetCubics(square, -10, { toleranceMm: TOLERANCE, closed: true })
		expect(outside.paths.map((p) => p.closed)).toEqual([true])
		for (const p of sampleCubics(outside.paths[0]?.cubics ?? [], 4)) {
			expect(Math.max(Math.abs(p.x - 20), Math.abs(p.y - 20))).toBeCloseTo(30, 9)
		}
		expect(offsetCubics(square, 20.5, { toleranceMm: TOLERANCE, closed: true }).paths).toEqual([])
	})

	test('a bend of a few seconds of arc between cubics is not a corner', () => {
		const bent = polyline([
			{ x: 0, y: 0 },
			{ x: 50, y: 0 },
			{ x: 100, y: 0.0002 },
		])
		for (const d of [10, -10]) {
			const offset = offsetCubics(bent, d, { toleranceMm: TOLERANCE })
			expect(offset.trimmed).toEqual([])
			expect(offset.paths.map((p) => p.cubics.length)).toEqual([2])
			expectJoined(offset)
		}
	})

	test('a corner of any angle keeps its distance on both sides', () => {
		fc.assert(
			fc.property(
				fc.integer({ min: -179, max: 179 }),
				fc.integer({ min: 1, max: 200 }),
				fc.boolean(),
				(degrees, tenths, left) => {
					fc.pre(degrees !== 0)
					const turn = (degrees * Math.PI) / 180
					const edge = polyline([
						{ x: -60, y: 0 },
						{ x: 0, y: 0 },
						{ x: 60 * Math.cos(turn), y: 60 * Math.sin(turn) },
					])
					const d = left ? tenths / 10 : -tenths / 10
					const rounded = offsetCubics(edge, d, { toleranceMm: TOLERANCE, join: 'round' })
					expectDistance(edge, d, rounded)
					expectComplete(edge, d, rounded)
					const mitred = offsetCubics(edge, d, { toleranceMm: TOLERANCE })
					expectDistance(edge, d, mitred, true)
					expectComplete(edge, d, mitred)
					expectJoined(mitred)
				},
			),
		)
	})
})

describe('what is refused', () => {
	test('input that is not finite, cubics that do not meet, a mitre below 1', () => {
		const options = { toleranceMm: TOLERANCE }
		expect(() => offsetCubics([lineCubic({ x: 0, y: 0 }, { x: Number.NaN, y: 0 })], 1, options)).toThrow(/cubic 0: point 1/)
		expect(() => offsetCubics(sCurve, Number.POSITIVE_INFINITY, options)).toThrow(RangeError)
		expect(() => offsetCubics([...sCurve, lineCubic({ x: 0, y: 0 }, { x: 1, y: 0 })], 1, options)).toThrow(/cubic 0 ends/)
		expect(() => offsetCubics(sCurve, 1, { ...options, mitreLimit: 0.5 })).toThrow(RangeError)
		expect(() => offsetCubics(sCurve, 1, { toleranceMm: 0 })).toThrow(RangeError)
	})

	test('nothing by anything is nothing; anything by 0 is itself', () => {
		expect(offsetCubics([], 5, { toleranceMm: TOLERANCE }).paths).toEqual([])
		expect(offsetCubics(sCurve, 0, { toleranceMm: TOLERANCE }).paths[0]?.cubics).toEqual(sCurve)
	})
})
