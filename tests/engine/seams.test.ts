import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { SeamMeeting } from '../../src/engine/seams.ts'
import { crossCheck } from '../../src/job/crossCheck.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { resultJson } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { summary } from '../../src/report/summary.ts'
import { jobOf, marked } from '../scheme/jobs.ts'
import { crossed, sum, turnX, turnZ, type Vector } from './ball.ts'

type PanelInput = JobInput['panels'][number]
type Pair = readonly [number, number]

const DEG = Math.PI / 180
const run = (panels: readonly Partial<PanelInput>[]) => compute(jobOf(panels), defaultShop(), { until: 'edges' })
const codes = (result: ReturnType<typeof run>) => result.problems.map(({ code }) => code)
const only = <T>(list: readonly T[] | undefined): T => {
	expect(list).toHaveLength(1)
	return list?.[0] as T
}

/** A panel with these datums and one line pulled between marks, by (station, girth). */
function panelOf(
	id: string,
	datums: readonly Pair[],
	line: readonly Pair[],
	more: Partial<PanelInput> = {},
): Partial<PanelInput> {
	const side = (g: number) => (g < 0 ? ('below' as const) : ('above' as const))
	return {
		id,
		datums: datums.map(([station, g], i) => ({ id: `d${i + 1}`, station, girth: Math.abs(g), side: side(g) })),
		readings: marked(line.map(([s, g], i) => [`m${i + 1}`, s, g] as const)),
		edges: [{ id: 'line', what: `line of ${id}`, through: line.map((_, i) => ({ mark: `m${i + 1}`, by: 'pulled' as const })) }],
		...more,
	}
}

const seamTo = (other: string, count = 2) => ({
	seams: [
		{
			with: other,
			datums: Array.from({ length: count }, (_, i): [string, string] => [`d${i + 1}`, `d${i + 1}`]),
			lines: [['line', 'line'] as [string, string]],
		},
	],
})

/**
 * A sheet of card that both panels lie on: the seam runs along +x from the origin, the own panel below it and the other above.
 * Each has the card in coordinates of its own, turned and shifted; those of a right-hand panel are seen from the back.
 */
interface Laid {
	readonly turn: number
	readonly shift: Pair
	readonly hand: 'left' | 'right'
}
const laid =
	({ turn, shift, hand }: Laid) =>
	([x, y]: Pair): Pair => {
		const [s, g] = [x * Math.cos(turn) - y * Math.sin(turn) + shift[0], x * Math.sin(turn) + y * Math.cos(turn) + shift[1]]
		return [s, hand === 'right' ? -g : g]
	}

interface Flat {
	readonly own?: Laid
	readonly theirs?: Laid
	/** where the line comes to the seam, and under what angle, on each panel */
	readonly along?: Pair
	readonly angleDeg?: Pair
	/** from mark to seam, negative short of it */
	readonly reach?: Pair
	/** length of the seam on each */
	readonly length?: Pair
	/** a datum between, on each */
	readonly between?: Pair
}
const AS_IT_IS: Laid = { turn: 0.3, shift: [40, -25], hand: 'left' }
const ELSEWHERE: Laid = { turn: -1.1, shift: [260, 70], hand: 'left' }

function flat({
	own = AS_IT_IS,
	theirs = ELSEWHERE,
	along = [120, 120],
	angleDeg = [70, 70],
	reach = [-12, -8],
	length = [300, 300],
	between,
}: Flat) {
	const half = (i: 0 | 1, place: Laid) => {
		const to = laid(place)
		const a = angleDeg[i] * DEG
		// The own line comes from below the seam, the other one from above it.
		const away = i === 0 ? -1 : 1
		const at = (d: number): Pair => to([along[i] + away * d * Math.cos(a), away * d * Math.sin(a)])
		const datums = [0, ...(between ? [between[i]] : []), length[i]].map((x) => to([x, 0]))
		return { datums, line: [at(160), at(-reach[i])] }
	}
	const [a, b] = [half(0, own), half(1, theirs)]
	return run([
		panelOf('tank', a.datums, a.line, { hand: own.hand, ...seamTo('nose', a.datums.length) }),
		panelOf('nose', b.datums, b.line, { hand: theirs.hand }),
	])
}

// All figures of a card are plane geometry; 1e-3 mm and degrees is far below what the lines' cubics are fitted to.
describe('a sheet of card cut in two', () => {
	const expectMeeting = (meeting: SeamMeeting, along: Pair, angleDeg: Pair) => {
		for (const i of [0, 1] as const) {
			expect(meeting.alongMm[i]).toBeCloseTo(along[i], 3)
			expect(meeting.angleDeg[i]).toBeCloseTo(angleDeg[i], 3)
		}
	}

	test('its halves agree, and a line that stops short of the seam on both is led on to it', () => {
		const result = flat({})
		const seam = only(result.seams)
		expect(only(seam.lengths).mm.map((mm) => expect.closeTo(mm, 6))).toEqual([300, 300])
		const meeting = only(seam.meetings)
		expectMeeting(meeting, [120, 120], [70, 70])
		expect(meeting.ledMm.map((mm) => expect.closeTo(mm, 3))).toEqual([12, 8])
		expect(meeting.stepMm).toBeLessThan(1e-3)
		expect(meeting.kinkDeg).toBeLessThan(1e-3)
		expect(codes(result)).toEqual([])
	})

	test('wherever and however its halves lie, whichever hand they are, whether the line stops short or crosses', () => {
		const place = fc.record({
			turn: fc.double({ min: -3, max: 3, noNaN: true }),
			shift: fc.tuple(fc.double({ min: -300, max: 300, noNaN: true }), fc.double({ min: -300, max: 300, noNaN: true })),
			hand: fc.constantFrom('left' as const, 'right' as const),
		})
		const reach = fc.double({ min: -25, max: 25, noNaN: true })
		const whole = fc.record({
			own: place,
			theirs: place,
			along: fc.double({ min: 20, max: 280, noNaN: true }),
			angle: fc.double({ min: 15, max: 165, noNaN: true }),
			reach: fc.tuple(reach, reach),
		})
		fc.assert(
			fc.property(whole, ({ own, theirs, along, angle, reach }) => {
				const seam = only(flat({ own, theirs, along: [along, along], angleDeg: [angle, angle], reach }).seams)
				const meeting = only(seam.meetings)
				expectMeeting(meeting, [along, along], [angle, angle])
				expect(seam.gapMm).toBeLessThan(1e-6)
				expect(meeting.kinkDeg).toBeLessThan(2e-3)
			}),
			{ numRuns: 40 },
		)
	})

	test('a step is found, and said from 1 mm on', () => {
		const result = flat({ along: [120, 121.7] })
		const meeting = only(only(result.seams).meetings)
		expectMeeting(meeting, [120, 121.7], [70, 70])
		expect(meeting.stepMm).toBeCloseTo(1.7, 3)
		expect(codes(result)).toEqual(['SEAM_STEP'])
		expect(result.problems[0]).toMatchObject({ severity: 'warning', path: '/panels/0/seams/0/lines/0' })
		expect(result.problems[0]?.found).toBe(
			'line of tank comes to the seam 120.0 mm along it on tank and 121.7 mm on nose: a step of 1.7 mm',
		)
		expect(codes(flat({ along: [120, 120.99] }))).toEqual([])
		expect(codes(flat({ along: [120, 121.01] }))).toEqual(['SEAM_STEP'])
	})

	test('a kink is found either way, and said from 1 degree on', () => {
		for (const angle of [73, 67]) {
			const result = flat({ angleDeg: [70, angle] })
			expect(only(only(result.seams).meetings).kinkDeg).toBeCloseTo(3, 3)
			expect(codes(result)).toEqual(['SEAM_KINK'])
			expect(result.problems[0]?.found).toBe('line of tank turns by 3.0 degrees where it goes on from tank to nose')
		}
		expect(codes(flat({ angleDeg: [70, 70.99] }))).toEqual([])
		expect(codes(flat({ angleDeg: [70, 71.01] }))).toEqual(['SEAM_KINK'])
		// Nearly along the seam, to either side of it: 178 and 1 degrees are 3 apart.
		const shallow = flat({ angleDeg: [178, 1], reach: [20, 20] })
		expect(only(only(shallow.seams).meetings).kinkDeg).toBeCloseTo(3, 2)
	})

	// Four datums of 0.5 mm each: one standard deviation of a difference is 1 mm, so 2 mm is 95 %.
	test('lengths that do not agree are told of beyond what four datums may be off by', () => {
		const result = flat({ length: [300, 303.2] })
		const seam = only(result.seams)
		expect(only(seam.lengths)).toMatchObject({ from: ['d1', 'd1'], to: ['d2', 'd2'], limitMm: expect.closeTo(2, 9) })
		expect(seam.gapMm).toBeCloseTo(3.2, 6)
		const gap = result.problems.find(({ code }) => code === 'SEAM_GAP')
		expect(gap).toMatchObject({ severity: 'warning', path: '/panels/0/seams/0/datums', expected: 'at most 2.0 mm by chance' })
		expect(gap?.found).toBe('d1 to d2 is 300.0 mm on tank, but d1 to d2 is 303.2 mm on nose: 3.2 mm apart')
		expect(codes(flat({ length: [300, 301.9] }))).toEqual([])
		expect(codes(flat({ length: [300, 297.9] }))).toContain('SEAM_GAP')
	})

	test('a difference that is by chance is spread along the seam: at its last datum both are at one place', () => {
		const meeting = only(only(flat({ length: [300, 301.5], along: [300, 301.5] }).seams).meetings)
		expect(meeting.alongMm.map((mm) => expect.closeTo(mm, 3))).toEqual([300, 301.5])
		expect(meeting.stepMm).toBeLessThan(1e-3)
	})

	test('of three datums each two are compared, and the worst is said once', () => {
		const result = flat({ between: [100, 104] })
		const { lengths } = only(result.seams)
		expect(lengths.map(({ from, to, mm }) => [from[0], to[0], ...mm.map((each) => Math.round(each))])).toEqual([
			['d1', 'd2', 100, 104],
			['d1', 'd3', 300, 300],
			['d2', 'd3', 200, 196],
		])
		expect(codes(result)).toEqual(['SEAM_GAP'])
		expect(result.problems[0]?.found).toMatch(/4\.0 mm apart; 1 more such$/)
	})

	test('a line that stops farther off is a note and no more', () => {
		const result = flat({ reach: [-32, -8] })
		expect(only(result.seams).meetings).toEqual([])
		expect(result.problems).toMatchObject([{ code: 'SEAM_LINE_SHORT', severity: 'note', path: '/panels/0/seams/0/lines/0/0' }])
		expect(codes(flat({ reach: [-29.9, -29.9] }))).toEqual([])
	})

	test('datums at one place give no seam', () => {
		expect(codes(flat({ length: [300, 0.5] }))).toEqual(['SEAM_NOT_FOUND'])
	})

	test('a panel that has no lines leaves the seam out, and no problem of its own', () => {
		const panels = [
			panelOf(
				'tank',
				[
					[0, 0],
					[100, 50],
				],
				[
					[20, 10],
					[40, 20],
				],
				seamTo('nose'),
			),
		]
		const result = run([
			...panels,
			{
				...panelOf(
					'nose',
					[
						[0, 0],
						[100, 50],
					],
					[],
				),
				edges: [{ id: 'line', through: ['no', 'mark'] }],
			},
		])
		expect(result.seams).toBeUndefined()
		expect(codes(result).every((code) => !code.startsWith('SEAM'))).toBe(true)
	})
})

// The same sphere measured off two great circles: everything by spherical trigonometry.
describe('a ball measured off two baselines', () => {
	const R = 150
	const unit = (v: Vector): Vector => sum(v, 1 / Math.hypot(...v), v, 0)
	/** Longitude and latitude times R: station along the equator, girth square off it. */
	const measured = ([x, y, z]: Vector): Pair => [R * Math.atan2(y, x), R * Math.asin(z)]
	const place = (lon: number, lat: number): Vector => [
		Math.cos(lat * DEG) * Math.cos(lon * DEG),
		Math.cos(lat * DEG) * Math.sin(lon * DEG),
		Math.sin(lat * DEG),
	]
	const onTank = measured
	// The nose's own equator crosses that of the tank at 50 degrees, under 70 degrees, and counts from 40 degrees before it.
	const onNose = (v: Vector) => measured(turnZ(40 * DEG)(turnX(-70 * DEG)(turnZ(-50 * DEG)(v))))
	const [first, last] = [place(49, -24), place(55, 29)]
	const seamMm = R * Math.acos(first[0] * last[0] + first[1] * last[1] + first[2] * last[2])
	const ahead = unit(sum(last, 1, first, -Math.cos(seamMm / R)))

	/** The place so far along the seam, and from there so far in a direction. */
	function from(along: number, angleDeg: number, d: number): Vector {
		const at = sum(first, Math.cos(along / R), ahead, Math.sin(along / R))
		const way = sum(first, -Math.sin(along / R), ahead, Math.cos(along / R))
		// Anticlockwise from outside: outward x way lies to the left.
		const line = sum(way, Math.cos(angleDeg * DEG), crossed(at, way), Math.sin(angleDeg * DEG))
		return sum(at, Math.cos(d / R), line, Math.sin(d / R))
	}
	const found = {
		kind: 'revolved' as const,
		crown: { radius: R },
		profile: { radius: R, arc: 340 },
		length: 320,
		front: -60,
	}
	function ball({ step = 0, kink = 0, gap = 0, right = false }) {
		const theirs = (v: Vector): Pair => {
			const [s, g] = onNose(v)
			return [s, right ? -g : g]
		}
		return run([
			panelOf(
				'tank',
				[onTank(first), onTank(last)],
				[110, 60, 14].map((d) => onTank(from(60, 245, d))),
				{ found, ...seamTo('nose') },
			),
			panelOf(
				'nose',
				[theirs(first), theirs(from(seamMm + gap, 0, 0))],
				[-10, 40, 90].map((d) => theirs(from(60 + step, 65 + kink, d))),
				{ found, hand: right ? 'right' : 'left' },
			),
		])
	}

	test.each([false, true])('both have one seam and one line over it (the nose seen from the back: %s)', (right) => {
		const result = ball({ right })
		const seam = only(result.seams)
		for (const mm of only(seam.lengths).mm) expect(mm).toBeCloseTo(seamMm, 6)
		const meeting = only(seam.meetings)
		for (const i of [0, 1] as const) {
			// A line's cubics are fitted to 0.0005 mm.
			expect(Math.abs(meeting.alongMm[i] - 60)).toBeLessThan(2e-3)
			expect(Math.abs(meeting.angleDeg[i] - 65)).toBeLessThan(0.01)
		}
		expect(meeting.ledMm[0]).toBeCloseTo(14, 2)
		expect(meeting.ledMm[1]).toBe(0)
		expect(meeting.stepMm).toBeLessThan(2e-3)
		expect(meeting.kinkDeg).toBeLessThan(0.01)
		expect(codes(result)).toEqual([])
	})

	test('what is planted is found', () => {
		const stepped = ball({ step: -1.5 })
		expect(only(only(stepped.seams).meetings).stepMm).toBeCloseTo(1.5, 2)
		expect(codes(stepped)).toEqual(['SEAM_STEP'])
		const bent = ball({ kink: 2, right: true })
		expect(only(only(bent.seams).meetings).kinkDeg).toBeCloseTo(2, 2)
		expect(codes(bent)).toEqual(['SEAM_KINK'])
		const apart = ball({ gap: 2.5 })
		expect(only(apart.seams).gapMm).toBeCloseTo(2.5, 5)
		expect(codes(apart)).toContain('SEAM_GAP')
	})
})

describe('sides', () => {
	const across = (id: string, girth: number, more: Partial<PanelInput> = {}): Partial<PanelInput> => ({
		id,
		hand: 'centre',
		datums: (['left', 'right'] as const).map((side) => ({ id: `${side}-ear`, station: 200, girth: 80, side })),
		readings: marked(
			[
				['m1', 100, girth],
				['m2', 300, girth],
			],
			true,
		),
		edges: [{ id: 'line', through: ['m1', 'm2'] }],
		...more,
	})
	const seams = [
		{
			with: 'nose',
			datums: [['left-ear', 'left-ear'] as [string, string], ['right-ear', 'right-ear'] as [string, string]],
			lines: [['line', 'line'] as [string, string]],
		},
	]

	test('a line that both sides have alike meets a seam across the centreline twice', () => {
		const result = run([across('tank', 45, { seams }), across('nose', 45.4)])
		const met = [...(only(result.seams).meetings ?? [])].sort((a, b) => a.alongMm[0] - b.alongMm[0])
		expect(met.map(({ sides, alongMm, stepMm }) => [...sides, alongMm[0], stepMm])).toEqual([
			['left', 'left', expect.closeTo(80 - 45, 6), expect.closeTo(0.4, 6)],
			['right', 'right', expect.closeTo(80 + 45, 6), expect.closeTo(0.4, 6)],
		])
		expect(codes(result)).toEqual([])
	})

	const bothRead = (places: Parameters<typeof marked>[0]) =>
		(['left', 'right'] as const).flatMap((panel) => marked(places).map((reading) => ({ ...reading, panel })))

	test.each(['left', 'right'] as const)('a panel of a pair meets the side that its datums say: %s', (side) => {
		const pair: Partial<PanelInput> = {
			id: 'nose',
			hand: 'pair',
			datums: [
				{ id: 'a', station: 10, panel: side },
				{ id: 'b', station: 110, panel: side },
			],
			readings: bothRead([
				['m1', 60, -40],
				['m2', 60, 40],
			]),
			edges: [{ id: 'line', through: ['m1', 'm2'] }],
		}
		const tank = across('tank', 45, {
			datums: [
				{ id: 'a', station: 150, girth: 45, side },
				{ id: 'b', station: 250, girth: 45, side },
			],
			readings: marked(
				[
					['m1', 200, -80],
					['m2', 200, 80],
				],
				true,
			),
			// A line that is on neither side.
			edges: [{ id: 'line', through: ['left/m1', 'right/m2'], hand: 'across' }],
			seams: [
				{
					with: 'nose',
					datums: [
						['a', `${side}/a`],
						['b', `${side}/b`],
					],
					lines: [['line', 'line']],
				},
			],
		})
		const meeting = only(only(run([tank, pair]).seams).meetings)
		expect(meeting).toMatchObject({ sides: ['both', side], alongMm: [expect.closeTo(50, 6), expect.closeTo(50, 6)] })
		expect(meeting.kinkDeg).toBeLessThan(1e-6)
	})

	test('of both panels of a pair the one on the same side is meant', () => {
		const half: Partial<PanelInput> = {
			datums: [
				{ id: 'a', station: 0 },
				{ id: 'b', station: 100 },
			],
			edges: [{ id: 'line', through: ['m1', 'm2'] }],
		}
		const slanted = [
			['m1', 20, -30],
			['m2', 80, 30],
		] as const
		const meets = {
			with: 'nose',
			datums: [
				['a', 'a'],
				['b', 'b'],
			] as [string, string][],
			lines: [['line', 'line'] as [string, string]],
		}
		const result = run([
			{ ...half, id: 'tank', hand: 'pair', readings: bothRead(slanted), seams: [meets] },
			{ ...half, id: 'nose', hand: 'right', readings: marked(slanted) },
		])
		const meeting = only(only(result.seams).meetings)
		expect(meeting.sides).toEqual(['right', 'right'])
		expect(meeting.angleDeg.map((deg) => expect.closeTo(deg, 6))).toEqual([135, 135])
	})
})

// The names of a job are its own: there is nothing outside to check them against.
describe('what a seam may not name', () => {
	const two: readonly Pair[] = [
		[0, 0],
		[100, 0],
	]
	const line: readonly Pair[] = [
		[20, 10],
		[40, 30],
	]
	const seam = {
		with: 'nose',
		datums: [
			['d1', 'd1'],
			['d2', 'd2'],
		] as [string, string][],
		lines: [['line', 'line'] as [string, string]],
	}
	const check = (more: Partial<typeof seam>) =>
		crossCheck(jobOf([panelOf('tank', two, line, { seams: [{ ...seam, ...more }] }), panelOf('nose', two, line)]))

	test('nothing is wrong with the one that the others are changed from', () => expect(check({})).toEqual([]))

	test.each<[string, Partial<typeof seam>, string, string, RegExp]>([
		['a panel', { with: 'noes' }, 'UNKNOWN_PANEL', 'with', /Write "nose"/],
		['the panel itself', { with: 'tank' }, 'SEAM_WITH_ITSELF', 'with', /name of that panel/],
		[
			'a datum',
			{
				datums: [
					['d1', 'd1'],
					['dd2', 'd2'],
				],
			},
			'UNKNOWN_DATUM',
			'datums/1/0',
			/Write "d2"/,
		],
		[
			'a datum of the other',
			{
				datums: [
					['d1', 'm1'],
					['d2', 'd2'],
				],
			},
			'UNKNOWN_DATUM',
			'datums/0/1',
			/datums of nose/,
		],
		['an edge', { lines: [['lime', 'line']] }, 'UNKNOWN_EDGE', 'lines/0/0', /Write "line"/],
		['an edge of the other', { lines: [['line', 'upper']] }, 'UNKNOWN_EDGE', 'lines/0/1', /edge of this name to nose/],
		[
			'one datum twice',
			{
				datums: [
					['d1', 'd1'],
					['d1', 'd2'],
				],
			},
			'SAME_DATUM',
			'datums/1/0',
			/another datum/,
		],
		[
			'one of the other twice',
			{
				datums: [
					['d1', 'd2'],
					['d2', 'd2'],
				],
			},
			'SAME_DATUM',
			'datums/1/1',
			/another datum/,
		],
		[
			'a side that the panel has not',
			{
				datums: [
					['left/d1', 'd1'],
					['d2', 'd2'],
				],
			},
			'SIDE_WRONG',
			'datums/0/0',
			/Write "d1"/,
		],
	])('%s', (_, more, code, path, fix) => {
		const problem = only(check(more))
		expect(problem).toMatchObject({ code, severity: 'error', path: `/panels/0/seams/0/${path}`, place: { panel: 'tank' } })
		expect(problem.fix).toMatch(fix)
	})

	test('datums on both panels of a pair', () => {
		const pair = {
			...panelOf('nose', [], line),
			hand: 'pair' as const,
			datums: (['left', 'right'] as const).flatMap((panel) => [
				{ id: 'd1', station: 0, panel },
				{ id: 'd2', station: 100, panel },
			]),
		}
		const of = (datums: [string, string][]) =>
			crossCheck(jobOf([panelOf('tank', two, line, { seams: [{ ...seam, datums }] }), pair])).map(({ code, path }) => [
				code,
				path,
			])
		expect(
			of([
				['d1', 'left/d1'],
				['d2', 'left/d2'],
			]),
		).toEqual([])
		expect(
			of([
				['d1', 'left/d1'],
				['d2', 'right/d2'],
			]),
		).toEqual([['SEAM_SIDES', '/panels/0/seams/0/datums/0/1']])
		expect(
			of([
				['d1', 'd1'],
				['d2', 'd2'],
			]),
		).toEqual([
			['SIDE_MISSING', '/panels/0/seams/0/datums/0/1'],
			['SIDE_MISSING', '/panels/0/seams/0/datums/1/1'],
		])
	})
})

test('the result reads back by its schema, and the summary says each seam in a line', () => {
	const result = flat({ along: [120, 120.3], angleDeg: [70, 70.2] })
	const data = resultSchema.parse(JSON.parse(resultJson(result)))
	expect(data.seams?.[0]?.meetings[0]).toMatchObject({ own: 'line', theirs: 'line', stepMm: 0.3, kinkDeg: 0.2, ledMm: [12, 8] })
	expect(summary(result)).toContain(
		'seam A with nose: lengths between datums agree within 0.01 mm; line of tank meets within 0.30 mm, 0.2 degrees',
	)
})
