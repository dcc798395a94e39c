import { describe, expect, test } from 'vitest'
import { locate, sphereChart } from './bench.ts'

/** Places on an arc about (0, -radius) on the plane: s along, g up, from angle 0 at (0, 0). */
const onArc = (radius: number, centreG: number, angle: number) => ({
	s: radius * Math.sin(angle),
	g: centreG + radius * Math.cos(angle),
})
const square = (mark: string, p: { s: number; g: number }, sd = 0.001) => ({
	...{ kind: 'square', mark, station: p.s, girth: Math.abs(p.g), squared: 't-strip', sd },
	...(p.g === 0 ? {} : { side: p.g < 0 ? 'below' : 'above' }),
})

const datum = (id: string, { s, g }: { s: number; g: number }) => ({
	...{ id, station: s, girth: Math.abs(g) },
	...(g === 0 ? {} : { side: g < 0 ? 'below' : 'above' }),
})

/** Lines through places that are given: what is fitted is what they say of the width. */
function widths(spacingMm: number, radius: number, width: number, stagger: number, reading: object = {}) {
	const count = 8
	const angle = (i: number) => ((i - count / 2) * spacingMm) / radius
	const inner = Array.from({ length: count }, (_, i) => onArc(radius, 400 - radius, angle(i)))
	const outer = Array.from({ length: count - 1 }, (_, i) => onArc(radius + width, 400 - radius, angle(i + stagger)))
	const { survey, problems } = locate({
		datums: [...inner.map((p, i) => datum(`a${i}`, p)), ...outer.map((p, i) => datum(`b${i}`, p))],
		readings: [{ kind: 'between', lines: ['low', 'high'], width: width + 0.2, ...reading }],
		edges: [
			{ id: 'low', through: inner.map((_, i) => `a${i}`) },
			{ id: 'high', through: outer.map((_, i) => `b${i}`) },
		],
	})
	expect(problems).toEqual([])
	return survey.readings.filter((r) => r.what === 'width')
}

describe('a width between two lines', () => {
	/** Closed form: concentric arcs are the same width apart everywhere. */
	test('parallel arcs, marks opposite each other and staggered: the width within the error that is stated', () => {
		for (const radius of [150, 300, 800]) {
			for (const spacing of [30, 60]) {
				for (const stagger of [0, 0.3, 0.5]) {
					const read = widths(spacing, radius, 25, stagger)
					expect(read.length).toBeGreaterThanOrEqual(7)
					const stated = spacing ** 4 / (10 * radius ** 3) + 1e-6
					for (const { fitted } of read) expect(Math.abs(fitted - 25), `${radius} ${spacing} ${stagger}`).toBeLessThan(stated)
				}
			}
		}
	})

	test('without the bend of the line it would be out by far more: the chord alone', () => {
		// 60 mm apart on a radius of 150 the chord stands off by 60^2 / (8 x 150) = 3 mm
		const worst = Math.max(...widths(60, 150, 25, 0.5).map(({ fitted }) => Math.abs(fitted - 25)))
		expect(worst).toBeLessThan(0.5)
	})

	test('opposite marks are read once, at a station one number', () => {
		expect(widths(60, 800, 25, 0)).toHaveLength(7)
		const [one, ...more] = widths(60, 300, 25, 0.5, { station: 20 })
		expect(more).toEqual([])
		expect(Math.abs(one!.fitted - 25)).toBeLessThan(0.4)
		expect(one!.marks.length).toBeGreaterThan(3)
	})

	test('it draws two lines to the width, and a gap that is wrong is named', () => {
		const { survey, problems } = locate({
			readings: [
				...[0, 60, 120, 180].map((s, i) => square(`a${i}`, { s, g: 40 }, 0.5)),
				...[0, 60, 120, 180].map((s, i) => square(`b${i}`, { s, g: i === 2 ? 71 : 65 }, 0.5)),
				{ kind: 'between', lines: ['low', 'high'], width: 25, sd: 0.3 },
			],
			edges: [
				{ id: 'low', through: ['a0', 'a1', 'a2', 'a3'] },
				{ id: 'high', through: ['b0', 'b1', 'b2', 'b3'] },
			],
		})
		expect(problems.map((p) => p.code)).toEqual(['READINGS_CONTRADICT'])
		expect(problems[0]!.found).toContain('the girth of b2')
		expect(survey.marks.a0!.at.g).toBeCloseTo(40, 1)
		expect(survey.readings.filter((r) => r.what === 'width').map((r) => r.path)).toEqual(
			new Array(4).fill('/panels/0/readings/8/width'),
		)
	})

	/** Closed form: parallels of a sphere are apart by their latitude; a line along one bends though its girth does not change. */
	test('two parallels on a sphere', () => {
		const R = 150
		const row = (name: string, g: number) =>
			[0, 40, 80, 120, 160].map((s, i) => square(`${name}${i}`, { s: s + (g === 60 ? 0 : 15), g }))
		const { survey, problems } = locate(
			{
				readings: [...row('a', 60), ...row('b', 80), { kind: 'between', lines: ['low', 'high'], width: 20.2, sd: 5 }],
				edges: [
					{ id: 'low', through: [0, 1, 2, 3, 4].map((i) => `a${i}`) },
					{ id: 'high', through: [0, 1, 2, 3, 4].map((i) => `b${i}`) },
				],
			},
			sphereChart(R),
		)
		expect(problems).toEqual([])
		const read = survey.readings.filter((r) => r.what === 'width')
		expect(read.length).toBeGreaterThan(5)
		for (const { fitted } of read) expect(Math.abs(fitted - 20)).toBeLessThan(0.05)
	})

	test('on a centreline each side by itself, or the one that is named', () => {
		const both = (mark: string, station: number, girth: number) =>
			(['left', 'right'] as const).map((side) => ({ kind: 'square', mark, station, girth, side }))
		const bench = (side?: string) => ({
			hand: 'centre' as const,
			readings: [
				...[0, 60, 120].flatMap((s, i) => [...both(`a${i}`, s, 40), ...both(`b${i}`, s, 65)]),
				{ kind: 'between', lines: ['low', 'high'], width: 25, ...(side ? { side } : {}) },
			],
			edges: [
				{ id: 'low', through: ['a0', 'a1', 'a2'] },
				{ id: 'high', through: ['b0', 'b1', 'b2'] },
			],
		})
		const marks = (side?: string) =>
			locate(bench(side))
				.survey.readings.filter((r) => r.what === 'width')
				.map((r) => r.marks[0])
		expect(marks()).toEqual(['left/a0', 'left/a1', 'left/a2', 'right/a0', 'right/a1', 'right/a2'])
		expect(marks('left')).toEqual(['left/a0', 'left/a1', 'left/a2'])
	})

	test('lines without marks beside each other are told of', () => {
		const { problems } = locate({
			readings: [
				...[0, 60].map((s, i) => square(`a${i}`, { s, g: 40 })),
				...[400, 460].map((s, i) => square(`b${i}`, { s, g: 65 })),
				{ kind: 'between', lines: ['low', 'high'], width: 25 },
			],
			edges: [
				{ id: 'low', through: ['a0', 'a1'] },
				{ id: 'high', through: ['b0', 'b1'] },
			],
		})
		expect(problems).toMatchObject([{ code: 'WIDTH_NOWHERE', path: '/panels/0/readings/4', severity: 'warning' }])
	})
})

describe('where a line crosses a station', () => {
	test('it is a mark without a name, as well known as it was read and squared', () => {
		const { survey, problems } = locate({
			hand: 'centre',
			readings: [
				{ kind: 'crossing', edge: 'upper', station: 60, girth: 30, side: 'left', squared: 't-strip' },
				{ kind: 'crossing', edge: 'upper', station: 60, girth: 31, side: 'left', squared: 't-strip' },
				{ kind: 'crossing', edge: 'upper', station: 60, girth: 30.5, side: 'right', squared: 't-strip' },
			],
			edges: [{ id: 'upper', through: ['u1', 'u2'] }],
		})
		expect(problems.map((p) => p.code)).toEqual(['MARK_UNDETERMINED', 'MARK_UNDETERMINED'])
		const left = survey.marks['left/upper@60']!
		expect(left.at).toEqual({ s: 60, g: -30.5 })
		expect(left.sd.g).toBeCloseTo(0.5 / Math.SQRT2, 9)
		expect(survey.marks['right/upper@60']!.sd.s).toBeCloseTo(Math.hypot(0.1, (30.5 * Math.PI) / 360), 9)
	})
})
