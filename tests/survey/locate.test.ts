import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { findMark } from '../../src/survey/survey.ts'
import { flatChart, locate, raised, sphereChart, sphereDistance } from './bench.ts'

const front = { id: 'front', station: 0 }
const rear = { id: 'rear', station: 400 }

describe('marks from station and girth', () => {
	test('one reading is the place itself, and nothing checks it', () => {
		const { survey, problems } = locate({
			datums: [front],
			readings: [{ kind: 'square', mark: 'u1', station: 120, girth: 46.5, side: 'above', squared: 't-strip' }],
		})
		expect(problems).toEqual([])
		const u1 = survey.marks.u1!
		expect(u1.at).toEqual({ s: 120, g: 46.5 })
		// station: hypot(0.5, 46.5 x 0.5 degree)
		expect(u1.sd.s).toBeCloseTo(Math.hypot(0.5, (46.5 * Math.PI) / 360), 12)
		expect(u1.sd.g).toBeCloseTo(0.5, 12)
		expect(survey.readings.map((r) => r.path)).toEqual(['/panels/0/readings/0/station', '/panels/0/readings/0/girth'])
		expect(survey.readings.every((r) => r.redundancy === 0 && r.w === undefined)).toBe(true)
		expect(survey.marks.front).toMatchObject({ fixed: true, at: { s: 0, g: 0 }, sd: { s: 0, g: 0 } })
	})

	test('by eye the station is known half as well as with a strip at large girth', () => {
		const { survey } = locate({
			readings: [
				{ kind: 'square', mark: 'a', station: 0, girth: 200, side: 'above', squared: 't-strip' },
				{ kind: 'square', mark: 'b', station: 0, girth: 200, side: 'above' },
			],
		})
		expect(survey.marks.b!.sd.s / survey.marks.a!.sd.s).toBeGreaterThan(1.9)
	})

	test('two readings of one mark are averaged by their weights', () => {
		const { survey } = locate({
			readings: [
				{ kind: 'square', mark: 'u1', station: 100, girth: 0, sd: 1 },
				{ kind: 'square', mark: 'u1', station: 103, girth: 0, sd: 2 },
			],
		})
		expect(survey.marks.u1!.at.s).toBeCloseTo(100.6, 9)
		expect(survey.marks.u1!.sd.s).toBeCloseTo(Math.sqrt(0.8), 9)
		expect(survey.closure.dof).toBe(2)
	})
})

describe('marks from tapes', () => {
	const truth = { s: 150, g: 90 }
	const to = (p: { s: number; g: number }) => Math.hypot(truth.s - p.s, truth.g - p.g)
	const datums = [
		{ id: 'front', station: 0, girth: 10, side: 'above' },
		{ id: 'rear', station: 400, girth: 20, side: 'above' },
		{ id: 'top', station: 200, girth: 250, side: 'above' },
	]

	test('three tapes find the place and check each other', () => {
		const { survey, problems } = locate({
			datums,
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: to({ s: 0, g: 10 }) },
				{ kind: 'tape', from: 'u1', to: 'rear', length: to({ s: 400, g: 20 }) },
				{ kind: 'tape', from: 'top', to: 'u1', length: to({ s: 200, g: 250 }) },
			],
		})
		expect(problems).toEqual([])
		expect(survey.marks.u1!.at.s).toBeCloseTo(truth.s, 5)
		expect(survey.marks.u1!.at.g).toBeCloseTo(truth.g, 5)
		expect(survey.closure.dof).toBe(1)
		expect(survey.readings.reduce((sum, r) => sum + r.redundancy, 0)).toBeCloseTo(1, 9)
	})

	test('two tapes leave two places: both are named with what to measure next', () => {
		const { survey, problems, codes } = locate({
			datums,
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: to({ s: 0, g: 10 }) },
				{ kind: 'tape', from: 'u1', to: 'rear', length: to({ s: 400, g: 20 }) },
				{ kind: 'square', mark: 'u2', station: 10, girth: 5, side: 'above' },
			],
		})
		expect(codes).toEqual(['MARK_AMBIGUOUS'])
		expect(problems[0]!.found).toContain('station 150.0 mm, 90.0 mm above')
		expect(problems[0]!.found).toContain('below')
		expect(problems[0]!.fix).toContain('Measure')
		expect(survey.marks.u1).toBeUndefined()
		expect(survey.marks.u2!.at).toEqual({ s: 10, g: 5 })
	})

	test('the end of the panel tells the two places apart', () => {
		const readings = [
			{ kind: 'tape', from: 'front', to: 'u1', length: to({ s: 0, g: 10 }) },
			{ kind: 'tape', from: 'u1', to: 'rear', length: to({ s: 400, g: 20 }) },
		]
		const { survey, problems } = locate({ datums, readings }, flatChart({ gMin: () => 0 }))
		expect(problems).toEqual([])
		expect(survey.marks.u1!.at.g).toBeCloseTo(truth.g, 5)
	})

	test('on a centreline the side in the name tells them apart; without it both are named', () => {
		const readings = (ref: string) => [
			{ kind: 'tape', from: 'front', to: ref, length: Math.hypot(150, 90) },
			{ kind: 'tape', from: ref, to: 'rear', length: Math.hypot(250, 90) },
		]
		const named = locate({ hand: 'centre', datums: [front, rear], readings: readings('left/u1') })
		expect(named.problems).toEqual([])
		expect(named.survey.marks['left/u1']!.at.g).toBeCloseTo(-90, 5)
		const plain = locate({ hand: 'centre', datums: [front, rear], readings: readings('u1') })
		expect(plain.codes).toEqual(['MARK_AMBIGUOUS'])
		expect(plain.problems[0]!.fix).toContain('left/u1 or right/u1')
	})

	test('one tape is too few; a mark hung on it is told to wait for it', () => {
		const { problems, codes } = locate({
			datums,
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: 100 },
				{ kind: 'tape', from: 'u1', to: 'u2', length: 50 },
			],
		})
		expect(codes).toEqual(['MARK_UNDETERMINED', 'MARK_UNDETERMINED'])
		expect(problems[0]!.found).toContain('u1 with only one reading')
		expect(problems[1]!.found).toContain('u2 with no reading')
		expect(problems[1]!.fix).toContain('place u1 first')
	})

	test('two tapes from one place, or in one line, do not fix a mark', () => {
		const twice = locate({
			datums,
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: 100 },
				{ kind: 'tape', from: 'u1', to: 'front', length: 100.5 },
			],
		})
		expect(twice.codes).toEqual(['MARK_UNDETERMINED'])
		const inLine = locate({
			datums: [front, rear],
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: 150 },
				{ kind: 'tape', from: 'u1', to: 'rear', length: 250 },
			],
		})
		expect(inLine.codes).toEqual(['MARK_UNDETERMINED'])
		expect(inLine.problems[0]!.found).toContain('in one direction only')
	})

	test('tapes that do not meet contradict each other', () => {
		const { codes, problems } = locate({
			datums: [front, rear],
			readings: [
				{ kind: 'tape', from: 'front', to: 'u1', length: 150 },
				{ kind: 'tape', from: 'u1', to: 'rear', length: 240 },
			],
		})
		expect(codes).toEqual(['READINGS_CONTRADICT'])
		expect(problems[0]!.found).toContain('10.0 mm')
	})

	test('a mark that a line goes through and no one measured is named there', () => {
		const { problems } = locate({
			datums,
			readings: [{ kind: 'square', mark: 'u1', station: 10, girth: 5, side: 'above' }],
			edges: [{ id: 'upper', through: ['u1', 'u9'] }],
		})
		expect(problems).toMatchObject([{ code: 'MARK_UNDETERMINED', path: '/panels/0/edges/0/through/1' }])
	})
})

describe('the other kinds', () => {
	const datums = [
		{ id: 'a', station: 0, girth: 0 },
		{ id: 'b', station: 300, girth: 0 },
	]
	test('a distance to a line counts square to it', () => {
		const { survey, problems } = locate({
			datums,
			readings: [
				{ kind: 'square', mark: 'p', station: 0, girth: 100, side: 'above', sd: 0.01, squared: 't-strip' },
				{ kind: 'square', mark: 'q', station: 300, girth: 100, side: 'above', sd: 0.01, squared: 't-strip' },
				{ kind: 'square', mark: 'u', station: 100, girth: 70, side: 'above', sd: 5 },
				{ kind: 'toLine', mark: 'u', line: ['p', 'q'], distance: 25, sd: 0.001 },
			],
		})
		expect(problems).toEqual([])
		expect(survey.marks.u!.at.g).toBeCloseTo(75, 3)
	})

	test('a line and a tape place a mark; the reach of the panel says on which side', () => {
		const { survey, problems } = locate(
			{
				datums,
				readings: [
					{ kind: 'toLine', mark: 'u', line: ['a', 'b'], distance: 60 },
					{ kind: 'tape', from: 'a', to: 'u', length: 100 },
					{ kind: 'tape', from: 'b', to: 'u', length: Math.hypot(220, 60) },
				],
			},
			flatChart({ gMin: () => 0 }),
		)
		expect(problems).toEqual([])
		expect(survey.marks.u!.at.s).toBeCloseTo(80, 5)
		expect(survey.marks.u!.at.g).toBeCloseTo(60, 5)
	})

	test('a caliper needs the shape in space', () => {
		const { codes, survey } = locate(
			{ datums, readings: [{ kind: 'straight', from: 'a', to: 'b', length: 300 }] },
			{ ...flatChart(), embed: undefined },
		)
		expect(codes).toEqual(['NEEDS_EMBEDDING'])
		expect(survey.readings).toEqual([])
	})

	test('a reading between two datums is checked', () => {
		const { survey, problems } = locate({ datums, readings: [{ kind: 'tape', from: 'a', to: 'b', length: 305 }] })
		expect(survey.readings[0]).toMatchObject({ fitted: 300, residual: -5, redundancy: 1, w: -10 })
		expect(problems).toMatchObject([{ code: 'READINGS_CONTRADICT', path: '/panels/0/readings/0' }])
		expect(problems[0]!.found).toContain('5.0 mm more than the other readings allow')
		expect(problems[0]!.expected).toBe('about 300.0 mm')
	})
})

describe('contradictions', () => {
	const datums = [
		{ id: 'a', station: 0, girth: 0 },
		{ id: 'b', station: 400, girth: 0 },
		{ id: 'c', station: 0, girth: 300, side: 'above' },
		{ id: 'd', station: 400, girth: 300, side: 'above' },
	]
	const truth = { s: 130, g: 160 }
	const place: Record<string, { s: number; g: number }> = {
		a: { s: 0, g: 0 },
		b: { s: 400, g: 0 },
		c: { s: 0, g: 300 },
		d: { s: 400, g: 300 },
	}
	const tapes = (slip: Record<string, number>) =>
		Object.entries(place).map(([id, p]) => ({
			kind: 'tape',
			from: id,
			to: 'u1',
			length: Math.hypot(p.s - truth.s, p.g - truth.g) + (slip[id] ?? 0),
		}))

	test('the reading that is wrong is named, with about what it should be', () => {
		const { problems } = locate({
			datums,
			readings: [...tapes({ c: 10 }), { kind: 'square', mark: 'u1', station: truth.s, girth: truth.g, side: 'above' }],
		})
		expect(problems).toHaveLength(1)
		expect(problems[0]).toMatchObject({ code: 'READINGS_CONTRADICT', path: '/panels/0/readings/2' })
		const right = Math.hypot(130, 140)
		expect(problems[0]!.expected).toBe(`about ${right.toFixed(1)} mm`)
	})

	test('a reading that alone cannot be right is set aside, and its figures stand beside the others', () => {
		const { survey, problems } = locate({
			datums,
			readings: [...tapes({ c: 10 }), { kind: 'square', mark: 'u1', station: truth.s, girth: truth.g, side: 'above' }],
		})
		expect(problems).toHaveLength(1)
		expect(survey.marks.u1?.at.s).toBeCloseTo(truth.s, 5)
		expect(survey.marks.u1?.at.g).toBeCloseTo(truth.g, 5)
		const slip = survey.readings.find((r) => r.index === 2)
		expect(slip).toMatchObject({ setAside: true })
		expect(slip?.residual).toBeCloseTo(-10, 5)
		expect(Math.abs(slip?.w ?? 0)).toBeGreaterThan(3.29)
		expect(survey.readings.filter((r) => r.setAside)).toHaveLength(1)
		expect(survey.readings.map((r) => r.index)).toEqual([0, 1, 2, 3, 4, 4])
	})

	test('two separate slips are both named', () => {
		const { problems } = locate({
			datums,
			readings: [
				...tapes({ c: 10 }),
				{ kind: 'square', mark: 'u1', station: truth.s, girth: truth.g, side: 'above' },
				{ kind: 'tape', from: 'a', to: 'b', length: 390 },
			],
		})
		expect(problems.map((p) => p.path).sort()).toEqual(['/panels/0/readings/2', '/panels/0/readings/5'])
	})

	test('station, girth and one width are equally suspect, and none is accused alone', () => {
		const { problems } = locate({
			hand: 'centre',
			readings: [
				{ kind: 'square', mark: 'u1', station: 100, girth: 80, side: 'left' },
				{ kind: 'square', mark: 'u1', station: 100, girth: 80, side: 'right' },
				{ kind: 'width', from: 'left/u1', to: 'right/u1', length: 170 },
			],
		})
		expect(problems).toHaveLength(1)
		expect(problems[0]!.fix).toContain('One of these')
		expect(problems[0]!.found).toContain('the girth of left/u1, the girth of right/u1 and')
		expect(problems[0]!.found).toContain('the width from left/u1 to right/u1')
	})

	test('good readings are not accused', () => {
		const { problems } = locate({ datums, readings: tapes({ a: 0.3, b: -0.4, c: 0.5, d: -0.2 }) })
		expect(problems).toEqual([])
	})
})

describe('what holds for any panel', () => {
	const offset = fc.integer({ min: -8, max: 8 }).map((n) => n / 10)
	const spot = fc.record({ s: fc.integer({ min: 20, max: 380 }), g: fc.integer({ min: 30, max: 280 }) })
	const corner = [
		{ id: 'a', station: 0, girth: 0 },
		{ id: 'b', station: 400, girth: 0 },
		{ id: 'c', station: 0, girth: 300, side: 'above' },
	]
	const from = { a: { s: 0, g: 0 }, b: { s: 400, g: 0 }, c: { s: 0, g: 300 } }
	const readingsOf = (spots: { s: number; g: number }[], noise: number[]) =>
		spots.flatMap((p, i) =>
			Object.entries(from).map(([id, q], k) => ({
				kind: 'tape',
				from: id,
				to: `m${i}`,
				length: Math.hypot(p.s - q.s, p.g - q.g) + (noise[(3 * i + k) % noise.length] ?? 0),
			})),
		)

	test('the order of readings does not matter', () => {
		fc.assert(
			fc.property(
				fc.array(spot, { minLength: 1, maxLength: 4 }),
				fc.array(offset, { minLength: 3, maxLength: 9 }),
				fc.infiniteStream(fc.nat()),
				(spots, noise, random) => {
					const readings = readingsOf(spots, noise)
					const shuffled = readings.map((r) => ({ r, k: random.next().value as number })).sort((x, y) => x.k - y.k)
					const one = locate({ datums: corner, readings })
					const two = locate({ datums: corner, readings: shuffled.map((x) => x.r) })
					expect(Object.keys(two.survey.marks).sort()).toEqual(Object.keys(one.survey.marks).sort())
					for (const key of Object.keys(one.survey.marks)) {
						expect(Math.abs(two.survey.marks[key]!.at.s - one.survey.marks[key]!.at.s)).toBeLessThan(1e-6)
						expect(Math.abs(two.survey.marks[key]!.at.g - one.survey.marks[key]!.at.g)).toBeLessThan(1e-6)
					}
				},
			),
			{ numRuns: 60 },
		)
	})

	test('inches say the same as millimetres', () => {
		fc.assert(
			fc.property(fc.array(spot, { minLength: 1, maxLength: 3 }), (spots) => {
				const readings = readingsOf(spots, [0.2, -0.3, 0.1])
				const inch = (n: number) => n / 25.4
				const one = locate({ datums: corner, readings })
				const two = locate({
					unit: 'in',
					datums: corner.map((d) => ({ ...d, station: inch(d.station), girth: inch(d.girth) })),
					readings: readings.map((r) => ({ ...r, length: inch(r.length) })),
				})
				for (const key of Object.keys(one.survey.marks)) {
					expect(Math.abs(two.survey.marks[key]!.at.s - one.survey.marks[key]!.at.s)).toBeLessThan(1e-6)
				}
			}),
			{ numRuns: 30 },
		)
	})

	test('marks planted on a sphere are found again from great-circle lengths', () => {
		const R = 150
		const chart = sphereChart(R)
		const datums = { a: { s: 0, g: 0 }, b: { s: 200, g: -20 }, c: { s: 60, g: 90 } }
		fc.assert(
			fc.property(
				fc.array(fc.record({ s: fc.integer({ min: 20, max: 180 }), g: fc.integer({ min: -70, max: 80 }) }), {
					minLength: 1,
					maxLength: 3,
				}),
				(spots) => {
					const { survey, problems } = locate(
						{
							datums: Object.entries(datums).map(([id, p]) => ({
								id,
								station: p.s,
								girth: Math.abs(p.g),
								...(p.g < 0 ? { side: 'below' } : p.g > 0 ? { side: 'above' } : {}),
							})),
							readings: spots.flatMap((p, i) =>
								Object.entries(datums)
									.map(([id, q]) => ({ kind: 'tape', from: id, to: `m${i}`, length: sphereDistance(R, p, q) }))
									.filter((r) => r.length > 0),
							),
						},
						chart,
					)
					expect(problems).toEqual([])
					spots.forEach((p, i) => {
						const at = survey.marks[`m${i}`]!.at
						expect(Math.hypot(at.s - p.s, at.g - p.g)).toBeLessThan(1e-4)
					})
				},
			),
			{ numRuns: 40 },
		)
	})
})

describe('names', () => {
	test('a plain name finds the only side, a sided name the plain mark on that side', () => {
		const { survey } = locate({
			hand: 'centre',
			readings: [
				{ kind: 'square', mark: 'u1', station: 10, girth: 20, side: 'left' },
				{ kind: 'square', mark: 'u2', station: 10, girth: 20, side: 'left' },
				{ kind: 'square', mark: 'u2', station: 10, girth: 20, side: 'right' },
				{ kind: 'square', mark: 'c', station: 50, girth: 0 },
			],
		})
		expect(Object.keys(survey.marks).sort()).toEqual(['c', 'left/u1', 'left/u2', 'right/u2'])
		expect(findMark(survey, 'u1')!.key).toBe('left/u1')
		expect(findMark(survey, 'u2')).toBeUndefined()
		expect(findMark(survey, 'right/u2')!.at.g).toBe(20)
		expect(findMark(survey, 'left/c')!.key).toBe('c')
		expect(findMark(survey, 'right/u1')).toBeUndefined()
	})

	test('a plain name of a mark on both sides is asked for its side', () => {
		const { problems } = locate({
			hand: 'centre',
			datums: [front],
			readings: [
				{ kind: 'square', mark: 'u2', station: 10, girth: 20, side: 'left' },
				{ kind: 'square', mark: 'u2', station: 10, girth: 20, side: 'right' },
				{ kind: 'tape', from: 'front', to: 'u2', length: 22 },
			],
		})
		expect(problems).toMatchObject([
			{ code: 'MARK_SIDE_MISSING', path: '/panels/0/readings/2', fix: 'Write left/u2 or right/u2.' },
		])
	})

	test('a girth on a centreline panel needs its side', () => {
		const { codes } = locate({ hand: 'centre', readings: [{ kind: 'square', mark: 'u2', station: 10, girth: 20 }] })
		expect(codes).toEqual(['SIDE_MISSING'])
	})

	test('a pair: by the panel that was read, plain where none is ever named', () => {
		const square = (panel?: string) => ({
			kind: 'square',
			mark: 'u',
			station: 10,
			girth: 20,
			side: 'above',
			...(panel ? { panel } : {}),
		})
		expect(Object.keys(locate({ hand: 'pair', readings: [square()] }).survey.marks)).toEqual(['u'])
		expect(Object.keys(locate({ hand: 'pair', readings: [square('left'), square('right')] }).survey.marks)).toEqual([
			'left/u',
			'right/u',
		])
		expect(Object.keys(locate({ hand: 'pair', readings: [square('left'), square()] }).survey.marks)).toEqual(['left/u'])
		expect(locate({ hand: 'pair', readings: [square('left'), square('right'), square()] }).codes).toEqual(['SIDE_MISSING'])
	})
})

/** Runs last: by now nearly every problem has been raised once. */
describe('words', () => {
	test('no problem speaks of what only the program knows, and each says what to do', () => {
		expect(new Set(raised.map((p) => p.code)).size).toBeGreaterThanOrEqual(6)
		for (const problem of raised) {
			const said = `${problem.found} ${problem.expected} ${problem.fix}`
			expect(said).not.toMatch(/chart|metric|geodesic|redundan|ellipse|snoop|matrix|undefined|NaN|\[object/i)
			expect(problem.fix).toMatch(/^[A-Z].*\.$/)
			expect(problem.path).toMatch(/^\/panels\/0\//)
			expect(problem.place?.panel).toBe('cover')
		}
	})
})

test('of readings that are as suspect as each other the first in the job is named, in whatever order they are taken', () => {
	for (const lengths of [
		[100, 110],
		[110, 100],
	]) {
		const { problems } = locate({
			datums: [front],
			readings: [
				{ kind: 'square', mark: 'm', station: 105, girth: 0 },
				...lengths.map((length) => ({ kind: 'tape', from: 'front', to: 'm', length })),
			],
		})
		expect(problems[0]).toMatchObject({ code: 'READINGS_CONTRADICT', path: '/panels/0/readings/1' })
	}
})
