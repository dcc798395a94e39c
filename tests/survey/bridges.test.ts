import { describe, expect, test } from 'vitest'
import { panelFrame } from '../../src/panel/frame.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import { arcsProfile, waist } from '../chart/hollows.ts'
import { locate } from './bench.ts'

/** A groove of radius 40 between edges of radius 20, its sides turned by 0.5: 60 mm along the panel, 57.53 mm straight across. */
const SHORT = 120 * (0.5 - Math.sin(0.5))
const groove = rolledAlong(
	panelFrame('p', 'right'),
	arcsProfile([
		{ length: 70, bend: 0 },
		{ length: 10, bend: 1 / 20 },
		{ length: 40, bend: -1 / 40 },
		{ length: 10, bend: 1 / 20 },
		{ length: 70, bend: 0 },
	]),
	0,
	400,
)
const datums = [
	{ id: 'a', station: 50, girth: 60, side: 'below' },
	{ id: 'b', station: 250, girth: 60, side: 'below' },
]
/** Across the groove at station 150, girth 50: on the plane over it, 110 less what it saves. */
const across = Math.hypot(100, 110 - SHORT)
const tape = (from: string, pull: 'tight' | 'pressed', length = pull === 'tight' ? across : Math.hypot(100, 110)) => ({
	...{ kind: 'tape', from, to: 'u', length, pull },
})

describe('a mark beyond a groove', () => {
	test('is placed by tapes pulled tight over it, which is said once', () => {
		const { survey, problems } = locate({ datums, readings: [tape('a', 'tight'), tape('b', 'tight')] }, groove)
		expect(survey.marks.u?.at.s).toBeCloseTo(150, 4)
		expect(survey.marks.u?.at.g).toBeCloseTo(50, 3)
		expect(problems).toHaveLength(1)
		expect(problems[0]).toMatchObject({ code: 'TAPE_BRIDGES', severity: 'note', path: '/panels/0/readings/0' })
		expect(problems[0]?.place?.g).toBeLessThan(2)
		const short = (Math.hypot(100, 110) - across).toFixed(1)
		expect(problems[0]?.found).toMatch(
			new RegExp(`^the tape from a to u, .* it lifts up to 7\\.\\d mm and is ${short} mm shorter .*; .* the tape from b to u$`),
		)
	})

	test('is placed by tapes pressed down into it, of which nothing is said', () => {
		const { survey, problems } = locate({ datums, readings: [tape('a', 'pressed'), tape('b', 'pressed')] }, groove)
		expect(survey.marks.u?.at.g).toBeCloseTo(50, 5)
		expect(problems).toEqual([])
	})

	test('of a tape that was pulled tight and noted as pressed down, and of one the other way about, that is said', () => {
		const square = { kind: 'square', mark: 'u', station: 150, girth: 50, side: 'above', squared: 't-strip', sd: 0.2 }
		for (const [noted, fix] of [
			['pressed', '"pull": "tight"'],
			['tight', '"pull": "pressed"'],
		] as const) {
			// Read to whole millimetres: a figure more could have changed places with its neighbour.
			const { length, ...read } = tape('a', noted === 'tight' ? 'pressed' : 'tight')
			const wrong = { ...read, length: Math.round(length), pull: noted, sd: 0.3 }
			const { survey, problems } = locate({ datums, readings: [square, tape('b', 'pressed'), square, wrong] }, groove)
			expect(survey.readings.filter((r) => r.setAside)).toMatchObject([{ index: 3, slip: { kind: 'pull' } }])
			expect(problems.find(({ path }) => path.includes('/readings/3'))?.fix).toContain(fix)
		}
	})
})

describe('a tape pulled tight where only lengths along the panel are known', () => {
	const { embed: _, ...taped } = waist(60, 60).chart
	const read = (sd: number) => [{ kind: 'tape', from: 'a', to: 'u', length: 75, pull: 'tight', sd }]
	const over = [{ id: 'a', station: 50, girth: 40, side: 'below' }]
	const square = { kind: 'square', mark: 'u', station: 50, girth: 35, side: 'above' }

	test('is taken as pressed down, with a warning where the panel is bent two ways', () => {
		const { survey, problems } = locate({ datums: over, readings: [square, ...read(0.5), ...read(0.5)] }, taped)
		expect(problems.map(({ code, severity }) => [code, severity])).toEqual([['TAPE_MAY_BRIDGE', 'warning']])
		expect(survey.marks.u?.at.g).toBeCloseTo(35, 6)
	})

	test('is not spoken of where it tells less than the reading does', () => {
		const { problems } = locate({ datums: over, readings: [square, ...read(50)] }, taped)
		expect(problems).toEqual([])
	})
})
