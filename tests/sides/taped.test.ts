// Taped edges against the plan: girths are worked out beside the program from lines whose place is known in closed form.
import { describe, expect, test } from 'vitest'
import type { Curve } from '../../src/chart/point.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { checksFor } from '../../src/engine/taped.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { exaggerationOf } from '../../src/sides/exaggeration.ts'
import { kinksOf } from '../../src/sides/eye.ts'
import { seenAtOnce } from '../../src/sides/seen.ts'
import { tapedWords } from '../../src/sides/tapedWords.ts'
import { tellingStations } from '../../src/sides/tellingStations.ts'
import { flatChart, sphereChart } from '../survey/bench.ts'

interface Taped {
	readonly line: string
	readonly side?: 'left' | 'right'
	readonly station: number
	readonly girth: number
	readonly with?: string
}

const STATIONS = [0, 150, 300, 450, 600]

/** A pulled, straight line on a flat panel, from girth 80 with this slope; a band of 8 mm laid outboard of it. */
function resultOf(checks: readonly Taped[], { slope = 0, hand = 'centre', unit = 'mm', side = 'above' } = {}): Result {
	const sides = hand === 'centre' ? (['left', 'right'] as const) : ([side] as const)
	const readings = sides.flatMap((which) =>
		[0, 600].map((station, i) => ({ kind: 'square', mark: `m${i}`, station, girth: 80 + slope * station, side: which })),
	)
	const job = {
		format: 1,
		title: 'Taped',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				id: 'lid',
				hand,
				found: { kind: 'flat' },
				datums: [{ id: 'nose', station: 0 }],
				readings,
				edges: [{ id: 'line', what: 'upper line', through: ['m0', { mark: 'm1', by: 'pulled' }] }],
				stripes: [{ id: 'coach', what: 'gold line', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
				checks,
			},
		],
	}
	const loaded = loadJob(JSON.stringify(job), 'job.json')
	if (!loaded.value) throw new Error(JSON.stringify(loaded.problems))
	return compute({ ...loaded.value.job, unit: unit as 'mm' | 'in' }, defaultShop(), { until: 'scheme' })
}
const tapedIn = (...args: Parameters<typeof resultOf>) => {
	const result = resultOf(...args)
	const { taped, panel } = result.panels[0]!
	if (!taped) throw new Error(JSON.stringify(result.problems))
	return { taped, words: tapedWords(taped, panel, result.job.unit), codes: result.problems.map(({ code }) => code) }
}
const inner = (off: (s: number) => number, more: Partial<Taped> = {}): Taped[] =>
	STATIONS.map((station) => ({
		line: 'coach inner',
		side: 'right',
		station,
		girth: 80 + off(station),
		with: 'steel-rule',
		...more,
	}))

describe('one edge', () => {
	test('on the plan: go', () => {
		const { taped, words, codes } = tapedIn(inner(() => 0.3))
		expect(taped).toMatchObject({ verdict: 'go', lines: [{ short: 'coach inner', side: 'right', verdict: 'go' }] })
		expect(taped.lines[0]?.worstMm).toBeCloseTo(0.3, 6)
		expect(words).toEqual(['gold line, inner edge, right side: go (5 places, the worst 0.3 mm off).'])
		expect(codes).toEqual([])
	})

	test('its rear end too far out: where, by how much, and what to do', () => {
		const { taped, words, codes } = tapedIn(inner((s) => (s === 600 ? 1.4 : 0)))
		expect(taped.verdict).toBe('re-lay')
		expect(words[0]).toBe('gold line, inner edge, right side, rear end: 1.4 mm too far out; move it in.')
		expect(codes).toEqual(['CHECK_MISSES'])
	})

	test('the same on the left, where a larger girth is outboard too', () => {
		const { words } = tapedIn(inner((s) => (s === 0 ? -1.4 : 0), { side: 'left' }))
		expect(words[0]).toBe('gold line, inner edge, left side, front end: 1.4 mm too far in; move it out.')
	})

	test('on a panel of one side low and high; below the baseline a larger girth is lower', () => {
		const off = (hand: string, side: string, mm: number) =>
			tapedIn(
				STATIONS.map((station) => ({ line: 'line', station, girth: 80 + (station === 600 ? mm : 0), with: 'steel-rule' })),
				{ hand, side },
			).words[0]
		expect(off('right', 'above', -1.4)).toBe('upper line, right side, rear end: 1.4 mm low; move it up.')
		expect(off('right', 'above', 1.4)).toBe('upper line, right side, rear end: 1.4 mm high; move it down.')
		expect(off('left', 'below', 1.4)).toBe('upper line, left side, rear end: 1.4 mm low; move it up.')
	})

	test('counts square off the line: at 45 degrees 1.4 mm of girth are 0.99 mm', () => {
		const sloped = STATIONS.map((station) => ({
			line: 'line',
			side: 'right' as const,
			station,
			girth: 80 + station + 1.4,
			with: 'steel-rule',
		}))
		const { taped } = tapedIn(sloped, { slope: 1 })
		for (const { acrossMm } of taped.lines[0]!.places) expect(acrossMm).toBeCloseTo(1.4 * Math.SQRT1_2, 5)
		expect(taped.lines[0]!.verdict).toBe('go')
	})

	test('figures in the unit of the job', () => {
		const { words } = tapedIn(
			inner((s) => (s === 600 ? 1.4 : 0)),
			{ unit: 'in' },
		)
		expect(words[0]).toContain('rear end: 0.055 in too far out')
		expect(words.join(' ')).not.toMatch(/\d mm/)
	})

	test('evenly running out is told as that, with no kink', () => {
		const { taped, words } = tapedIn(inner((s) => (s - 300) / 300))
		expect(taped.lines[0]?.runs).toMatchObject({ mm: expect.closeTo(2, 6), verdict: 're-lay' })
		expect(taped.lines[0]?.kinks).toEqual([])
		expect(words).toEqual([
			'gold line, inner edge, right side: not parallel to the plan, it runs 2.0 mm outward from front to rear.',
		])
	})

	test('as taped is drawn so many times larger, towards where it lies', () => {
		for (const side of ['left', 'right'] as const) {
			const { taped } = tapedIn(inner((s) => (s === 300 ? 0.9 : 0), { side }))
			expect(taped.exaggeration).toBe(10)
			const [plan, drawn] = [taped.lines[0]!.plan, taped.lines[0]!.taped]
			const middle = plan.findIndex(({ s }) => Math.abs(s - 300) < 1)
			expect(Math.abs(drawn[middle]!.g) - Math.abs(plan[middle]!.g)).toBeCloseTo(9, 3)
			expect(Math.abs(drawn[0]!.g)).toBeCloseTo(80, 6)
		}
	})
})

describe('several edges', () => {
	const outer = (off: number, more: Partial<Taped> = {}) => inner(() => 8 + off, { line: 'coach outer', ...more })

	test('widths between neighbours at one station', () => {
		const { taped, words } = tapedIn([...inner(() => 0.4, { with: 'caliper' }), ...outer(-0.4, { with: 'caliper' })])
		expect(taped.lines.map(({ verdict }) => verdict)).toEqual(['go', 'go'])
		expect(taped.widths).toHaveLength(5)
		expect(taped.widths[0]).toMatchObject({
			lines: ['coach inner', 'coach outer'],
			plannedMm: expect.closeTo(8, 4),
			tapedMm: expect.closeTo(7.2, 4),
			verdict: 're-lay',
		})
		expect(taped.verdict).toBe('re-lay')
		expect(words).toContain('From coach inner to coach outer, right side, station 150 mm: 7.2 mm for 8.0 mm.')
	})

	test('left against right, with less let pass where both are seen at once', () => {
		const { taped, words } = tapedIn([
			...inner(() => 0.4, { with: 'caliper' }),
			...inner(() => -0.4, { side: 'left', with: 'caliper' }),
		])
		// A flat lid: both sides are seen from above.
		expect(taped.sides[0]).toMatchObject({ differMm: expect.closeTo(0.8, 6), seen: true, limitMm: 0.5, verdict: 're-lay' })
		expect(words).toContain(
			'gold line, inner edge, station 0 mm: the right lies 0.8 mm farther out than the left, and both are seen at once.',
		)
	})

	test('what the reading cannot tell is to be measured again, not to be pulled off', () => {
		const { taped } = tapedIn([...inner(() => 0.4, { with: 'tape' }), ...inner(() => -0.4, { side: 'left', with: 'tape' })])
		expect(taped.sides[0]?.verdict).toBe('look')
	})
})

test('both sides are seen at once while the panel turns by less than a right angle between them', () => {
	// On a sphere of radius 100 mm girths of 78.5 mm to both sides are 90 degrees apart.
	const seen = (girth: number) => seenAtOnce(sphereChart(100), { s: 40, g: -girth }, { s: 40, g: girth })
	expect([70, 78, 79, 95].map(seen)).toEqual([true, true, false, false])
	// Of a panel that is known by lengths alone nothing is known of how it turns.
	const { embed: _, ...taped } = sphereChart(100)
	expect(seenAtOnce(taped, { s: 0, g: -95 }, { s: 0, g: 95 })).toBe(true)
})

describe('by eye', () => {
	const row = (offs: readonly number[], { sd = 0.05, radius = Number.POSITIVE_INFINITY } = {}) =>
		offs.map((offMm, i) => ({ alongMm: 150 * i, offMm, sdMm: sd, angle: (150 * i) / radius }))

	test('1 mm over 150 mm to both sides turns by twice its slope', () => {
		const [kink, ...others] = kinksOf(row([0, 1, 0]), 0.4)
		expect(others).toEqual([])
		expect(kink).toMatchObject({ at: 1, kind: 'kink', proven: true })
		expect(kink?.turnDeg).toBeCloseTo((-2 * 180) / Math.PI / 150, 4)
	})

	test('a deviation that is the same, or grows evenly, is no kink', () => {
		expect(kinksOf(row([1, 1, 1, 1]), 0.4)).toEqual([])
		expect(kinksOf(row([0, 1, 2, 3]), 0.4)).toEqual([])
		// Half a millimetre out in the middle stays under 0.4 degrees.
		expect(kinksOf(row([0, 0.5, 0]), 0.4)).toEqual([])
	})

	test('straighter than the plan bends is a flat, tighter a kink', () => {
		// The plan turns outboard (its deviations count that way): a middle place too far out takes of that.
		expect(kinksOf(row([0, 1, 0], { radius: 1200 }), 0.4)[0]?.kind).toBe('flat')
		expect(kinksOf(row([0, -1, 0], { radius: 1200 }), 0.4)[0]?.kind).toBe('kink')
		expect(kinksOf(row([0, 1, 0], { radius: -1200 }), 0.4)[0]?.kind).toBe('kink')
	})

	test('what a tape cannot prove is said to be so', () => {
		expect(kinksOf(row([0, 1, 0], { sd: 0.5 }), 0.4)[0]).toMatchObject({
			proven: false,
			sdDeg: expect.closeTo((Math.sqrt(6) * 0.5 * 180) / Math.PI / 150, 6),
		})
	})

	test('a kink in a line that lies within its millimetre is found through the whole job', () => {
		const { words, taped } = tapedIn(inner((s) => (s === 300 ? 0.9 : 0), { with: 'caliper' }))
		expect(taped.lines[0]?.places.every(({ verdict }) => verdict === 'go')).toBe(true)
		expect(words).toEqual([
			'gold line, inner edge, right side: a kink at station 300 mm: over three stations the tape turns 0.7 degrees off the plan; lift it there and pull it once more.',
		])
	})

	// the largest is drawn 5 to 10 mm long
	test.each([
		[[0.9], 10],
		[[1.1, -0.2], 5],
		[[-3], 2],
		[[40], 1],
		[[0], 100],
	])('deviations of %j are drawn %d times', (mm, times) => {
		expect(exaggerationOf(mm)).toBe(times)
	})
})

describe('what an entry lacks is told', () => {
	test.each([
		['CHECK_LINE_UNKNOWN', { line: 'coach iner', side: 'right' }],
		['CHECK_SIDE_NOT_SAID', { line: 'coach inner' }],
		['CHECK_NOT_THERE', { line: 'coach inner', side: 'right', station: 900 }],
		['UNKNOWN_INSTRUMENT', { line: 'coach inner', side: 'right', with: 'ruler' }],
	])('%s', (code, more) => {
		const { problems } = resultOf([{ station: 300, girth: 80, ...more } as Taped])
		expect(problems).toMatchObject([{ code, path: expect.stringContaining('/panels/0/checks/0') }])
	})
})

describe('stations that tell most', () => {
	const curve = (g: (s: number) => number, to = 600): Curve => ({
		id: 'c',
		closed: false,
		maxErrorMm: 0,
		cubics: Array.from({ length: 60 }, (_, i) => {
			const at = (k: number) => {
				const s = (to * (i + k / 3)) / 60
				return { s, g: g(s) }
			}
			return [at(0), at(1), at(2), at(3)] as const
		}),
	})
	const strips = [0, 100, 200, 300, 400, 500, 600]
	const stations = (...args: Parameters<typeof tellingStations>) => tellingStations(...args).map(({ s }) => s)

	test('a straight line: its ends and its middle', () => {
		expect(
			stations(
				flatChart(),
				curve(() => 80),
				strips,
			),
		).toEqual([0, 300, 600])
	})

	test('a line that bends at one place: there', () => {
		expect(
			stations(
				flatChart(),
				curve((s) => 80 + Math.max(0, s - 400) / 2),
				strips,
			),
		).toEqual([0, 400, 600])
	})

	test('a sweep: five at most', () => {
		// From the chord 0 to 300 the sine is 6.7 mm away at 100 and 7.9 mm at 200.
		expect(
			stations(
				flatChart(),
				curve((s) => 80 + 40 * Math.sin((Math.PI * s) / 600)),
				strips,
			),
		).toEqual([0, 200, 300, 400, 600])
	})

	test('without strips, between its ends', () => {
		const free = stations(
			flatChart(),
			curve(() => 80),
			[50],
		)
		expect(free).toEqual([4, 300, 596])
	})

	test('every line of a job gets its places, with what they should read', () => {
		const all = checksFor(resultOf([]).panels[0]!)
		expect(all.map(({ line, side }) => `${line} ${side}`)).toContain('coach outer left')
		for (const { line, places } of all) {
			expect(places.length).toBeGreaterThanOrEqual(3)
			for (const { girth } of places) expect(girth).toBeCloseTo(line === 'coach outer' ? 88 : 80, 3)
		}
	})
})
