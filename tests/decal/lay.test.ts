/** A flat film on curved panels, against closed forms. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { toChart, toPlane } from '../../src/chart/region.ts'
import { fitPlace } from '../../src/decal/fit.ts'
import { angleOn, type DecalFrame, riseOf } from '../../src/decal/frame.ts'
import { giveOf } from '../../src/decal/give.ts'
import { layAlong, layFollowing, layRegion, layRound } from '../../src/decal/lay.ts'
import { corners, inBox, KINDS, sphere } from '../chart/panels.ts'

const disc = (radius: number, n = 720) => [
	Array.from({ length: n }, (_, i) => ({
		x: radius * Math.cos((2 * Math.PI * i) / n),
		y: radius * Math.sin((2 * Math.PI * i) / n),
	})),
]
const box = (w: number, h: number) => [
	[
		{ x: -w / 2, y: -h / 2 },
		{ x: w / 2, y: -h / 2 },
		{ x: w / 2, y: h / 2 },
		{ x: -w / 2, y: h / 2 },
	],
]
const seed = 20261127

describe('a flat disc on a ball', () => {
	const R = 150
	const frame: DecalFrame = { at: { s: 10, g: -12 }, angle: 0.3, turn: 1 }

	// Rim shortfall 1 - sin(x)/x of a geodesic disc (do Carmo 4-6): 1.84 % at r/R = 1/3, 7.24 % at 2/3 [calculated].
	test.each([
		[1 / 3, 1.84],
		[2 / 3, 7.24],
	])('of radius %f R has a rim too long by %f %', (share, percent) => {
		const chart = sphere(R)
		const give = giveOf(chart, layRound(chart, frame), disc(share * R))
		expect(100 * give.pucker).toBeCloseTo(percent, 2)
		expect(100 * (give.puckerMm / give.rimMm)).toBeCloseTo(percent, 2)
		expect(give.stretch).toBeLessThan(1e-6)
		expect(give.stretchMm).toBeLessThan(1e-3)
	})

	test('covers a cap, whose area is known', () => {
		const chart = sphere(R)
		const r = 40
		const laid = layRegion(chart, layRound(chart, frame), disc(r, 2000))
		// Archimedes: 2 pi R h.
		const cap = 2 * Math.PI * R * R * (1 - Math.cos(r / R))
		expect(area(chart, laid ?? []) / cap).toBeCloseTo(1, 4)
	})

	test('along its baseline puckers by 1 - cos(h/R) at its top', () => {
		const chart = sphere(R)
		// Off a great circle a parallel of latitude is shorter by the cosine.
		const give = giveOf(chart, layAlong(chart, { at: { s: 0, g: 0 }, angle: 0, turn: 1 }, 0), box(120, 60))
		expect(give.pucker).toBeCloseTo(1 - Math.cos(30 / R), 6)
		expect(give.puckerMm).toBeCloseTo(2 * 120 * (1 - Math.cos(30 / R)), 3)
	})
})

describe('on panels that bend one way a film gives nowhere', () => {
	test.each(KINDS.filter(({ chart }) => chart().developable).map((kind) => [kind.name, kind] as const))('%s', (_, kind) => {
		const chart = kind.chart()
		fc.assert(
			fc.property(
				fc.double({ min: 0.35, max: 0.65, noNaN: true }),
				fc.double({ min: -3, max: 3, noNaN: true }),
				(share, angle) => {
					const frame: DecalFrame = { at: inBox(kind, share, 1 - share), angle, turn: 1 }
					for (const laying of [layRound(chart, frame), layAlong(chart, frame, 3)]) {
						const give = giveOf(chart, laying, box(30, 14))
						expect(Math.max(give.stretch, give.pucker)).toBeLessThan(1e-4)
						const laid = layRegion(chart, laying, box(30, 14))
						expect(area(chart, laid ?? [])).toBeCloseTo(30 * 14, 0)
					}
				},
			),
			{ numRuns: 20, seed },
		)
	})
})

test('on a cylinder a decal lies as on the unrolled sheet', () => {
	const kind = KINDS.find(({ name }) => name === 'rolled, baseline along the axis')
	if (!kind) throw new Error('the cylinder is gone')
	const chart = kind.chart()
	const at = { s: 100, g: 20 }
	for (const turn of [1, -1] as const) {
		const { place } = layRound(chart, { at, angle: 0.4, turn })
		const p = place({ x: 25, y: -9 }).at
		// A rotation in the sheet: (s, g) is that sheet.
		const [c, s] = [Math.cos(0.4), Math.sin(0.4)]
		expect(p.s).toBeCloseTo(at.s + 25 * c + turn * 9 * s, 5)
		expect(p.g).toBeCloseTo(at.g + 25 * s - turn * 9 * c, 5)
	}
})

test('on a ball every place of a decal is where spherical trigonometry puts it', () => {
	const R = 150
	const chart = sphere(R)
	fc.assert(
		fc.property(
			fc.double({ min: -80, max: 80, noNaN: true }),
			fc.double({ min: -3, max: 3, noNaN: true }),
			fc.double({ min: -40, max: 40, noNaN: true }),
			fc.double({ min: -40, max: 40, noNaN: true }),
			(g0, angle, x, y) => {
				const { place } = layRound(chart, { at: { s: 20, g: g0 }, angle, turn: 1 })
				const p = place({ x, y }).at
				// The direct problem on a sphere: latitude g / R, azimuth from the east (spherical law of cosines and of sines).
				const d = Math.hypot(x, y) / R
				const way = angle + Math.atan2(y, x)
				const lat = g0 / R
				const to = Math.asin(Math.sin(lat) * Math.cos(d) + Math.cos(lat) * Math.sin(d) * Math.sin(way))
				const east = Math.atan2(
					Math.sin(d) * Math.cos(way),
					Math.cos(lat) * Math.cos(d) - Math.sin(lat) * Math.sin(d) * Math.sin(way),
				)
				expect(p.g).toBeCloseTo(R * to, 4)
				expect(p.s).toBeCloseTo(20 + R * east, 4)
			},
		),
		{ numRuns: 200, seed },
	)
})

test('along a circle of latitude letters keep their length on the line and are crowded above it', () => {
	const R = 150
	const chart = sphere(R)
	const g0 = 30
	const line = corners([
		[-100, g0],
		[100, g0],
	])
	const laying = layFollowing(chart, { line, middleMm: 100 * Math.cos(g0 / R), offMm: 5, turn: 1, sense: 1 })
	// 10 mm along the parallel of latitude g0, then 5 mm and 8 mm up its meridian.
	const p = laying.place({ x: 10, y: 8 })
	expect(p.at.g).toBeCloseTo(g0 + 13, 4)
	expect(p.at.s).toBeCloseTo(10 / Math.cos(g0 / R), 4)
	expect(p.give).toBeCloseTo(Math.cos((g0 + 13) / R) / Math.cos(g0 / R) - 1, 6)
})

test('marks tell the place that they were laid from, on every kind of panel', () => {
	fc.assert(
		fc.property(
			fc.constantFrom(...KINDS),
			fc.double({ min: 0.4, max: 0.6, noNaN: true }),
			fc.double({ min: 0.4, max: 0.6, noNaN: true }),
			fc.double({ min: -3, max: 3, noNaN: true }),
			fc.constantFrom(1 as const, -1 as const),
			(kind, a, b, angle, turn) => {
				const chart = kind.chart()
				const frame: DecalFrame = { at: inBox(kind, a, b), angle, turn }
				const { place } = layRound(chart, frame)
				const points = [
					{ x: -14, y: -4 },
					{ x: 15, y: -3 },
					{ x: 2, y: 6 },
				]
				const measured = points.map((point, i) => ({
					...{ mark: `m${i}`, point, at: place(point).at, covariance: { ss: 0.25, sg: 0.05, gg: 0.2 } },
				}))
				const fitted = fitPlace(chart, measured, turn)
				expect(fitted?.agrees).toBe(true)
				expect(fitted?.frame.at.s).toBeCloseTo(frame.at.s, 3)
				expect(fitted?.frame.at.g).toBeCloseTo(frame.at.g, 3)
				expect(Math.sin((fitted?.frame.angle ?? 9) - angle)).toBeCloseTo(0, 4)
				expect(Math.cos((fitted?.frame.angle ?? 9) - angle)).toBeCloseTo(1, 4)
			},
		),
		{ numRuns: 60, seed },
	)
})

test('two marks on a plane are known as propagation of their errors says', () => {
	const chart = KINDS[0]?.chart()
	if (!chart) throw new Error('no flat panel')
	const sd = 0.5
	const half = 40
	const measured = [-half, half].map((x, i) => ({
		...{ mark: `m${i}`, point: { x, y: 0 }, at: { s: 120 + x, g: 0 }, covariance: { ss: sd * sd, sg: 0, gg: sd * sd } },
	}))
	const fitted = fitPlace(chart, measured, 1)
	// The mean of two, and their difference over what lies between them; a mark is never better than 0.05 mm.
	const each = Math.hypot(sd, 0.05)
	expect(fitted?.sd.along).toBeCloseTo(each / Math.SQRT2, 4)
	expect(fitted?.sd.across).toBeCloseTo(each / Math.SQRT2, 4)
	expect(fitted?.sd.angle).toBeCloseTo((each * Math.SQRT2) / (2 * half), 6)
	// 4 mm too far apart is no place at all: each misses by half of that.
	const wrong = fitPlace(
		chart,
		measured.map((m, i) => ({ ...m, at: { ...m.at, s: m.at.s + (i === 0 ? -2 : 2) } })),
		1,
	)
	expect(wrong?.agrees).toBe(false)
	for (const miss of wrong?.misses ?? []) expect(miss.mm).toBeCloseTo(2, 3)
})

test('a baseline that rises to the rear on the left rises to the rear on the right', () => {
	const chart = sphere(200)
	const up = (side: 'left' | 'right', turn: 1 | -1, g: number) => {
		const frame: DecalFrame = { at: { s: 0, g }, angle: angleOn({ hand: 'centre' }, side, 10), turn }
		return layRound(chart, frame).place({ x: 30, y: 0 }).at
	}
	const [left, right] = [up('left', 1, -50), up('right', -1, 50)]
	expect(left.s).toBeCloseTo(right.s, 6)
	expect(left.g).toBeCloseTo(-right.g, 6)
	expect(left.g).toBeGreaterThan(-50)
	for (const side of ['left', 'right', 'both'] as const) {
		expect(riseOf({ hand: 'centre' }, side, angleOn({ hand: 'centre' }, side, 33))).toBeCloseTo(33, 9)
	}
})

test('a region with a hole keeps its hole on both sides', () => {
	const chart = sphere(200)
	const ring = [...disc(20), [...(disc(8)[0] ?? [])].reverse()]
	for (const turn of [1, -1] as const) {
		const laid = layRegion(chart, layRound(chart, { at: { s: 5, g: 40 }, angle: 1, turn }), ring)
		expect(laid).toHaveLength(2)
		const cap = (r: number) => 2 * Math.PI * 200 * 200 * (1 - Math.cos(r / 200))
		expect(area(chart, laid ?? [])).toBeCloseTo(cap(20) - cap(8), 0)
		expect(toChart(toPlane(laid ?? []))).toHaveLength(2)
	}
})
