import { describe, expect, test } from 'vitest'
import { fold } from '../../src/survey/fold.ts'
import { locate } from './bench.ts'

const both = (left: number, right: number, more: object[] = []) => {
	const { panel, survey } = locate({
		hand: 'centre',
		readings: [
			{ kind: 'square', mark: 'u1', station: 100, girth: left, side: 'left', squared: 't-strip' },
			{ kind: 'square', mark: 'u1', station: 100, girth: right, side: 'right', squared: 't-strip' },
			...more,
		],
	})
	return fold(survey, panel, '/panels/0')
}

describe('both sides laid onto one', () => {
	test('the mean of left and right, better known than either', () => {
		const { value, problems } = both(80, 80.6)
		const u1 = value!.marks.u1!
		expect(problems).toEqual([])
		expect(u1.from).toBe('both')
		expect(u1.at.g).toBeCloseTo(80.3, 2)
		expect(u1.sd.g).toBeCloseTo(0.5 / Math.SQRT2, 9)
		expect(u1.difference!.g).toBeCloseTo(-0.6, 9)
		expect(u1.difference!.sd.g).toBeCloseTo(0.5 * Math.SQRT2, 9)
	})

	test('a difference beyond what the readings allow is a warning that says how much and which way', () => {
		const { problems } = both(80, 84)
		expect(problems).toMatchObject([{ code: 'SIDES_DIFFER', severity: 'warning' }])
		expect(problems[0]!.found).toContain('4.0 mm across')
		expect(problems[0]!.found).not.toContain('along')
	})

	test('a width across ties the two together: their sum is known better, their difference is not', () => {
		const width = { kind: 'width', from: 'left/u1', to: 'right/u1', length: 160.6, sd: 0.001 }
		const { value } = both(80, 80.6, [width])
		const u1 = value!.marks.u1!
		expect(u1.sd.g).toBeLessThan(0.01)
		expect(u1.difference!.sd.g).toBeCloseTo(0.5 * Math.SQRT2, 3)
		expect(u1.at.g).toBeCloseTo(80.3, 3)
	})

	test('one side alone is laid over as it is', () => {
		const { panel, survey } = locate({
			hand: 'centre',
			datums: [{ id: 'stud', station: 20, girth: 30, side: 'left' }],
			readings: [
				{ kind: 'square', mark: 'u1', station: 100, girth: 50, side: 'left' },
				{ kind: 'square', mark: 'c', station: 200, girth: 0 },
			],
		})
		const { value } = fold(survey, panel, '/panels/0')
		expect(value!.marks.u1).toMatchObject({ at: { s: 100, g: 50 }, from: 'left', key: 'u1' })
		expect(value!.marks.c).toMatchObject({ at: { s: 200, g: 0 }, from: 'one' })
		expect(value!.marks.stud).toMatchObject({ at: { s: 20, g: 30 }, fixed: true })
	})

	test('a mark that came to lie just across the centreline stays across it, on the left as on the right', () => {
		const { panel, survey } = locate({
			hand: 'centre',
			readings: [
				{ kind: 'square', mark: 'u1', station: 100, girth: 0.2, side: 'left', squared: 't-strip' },
				{ kind: 'square', mark: 'u1', station: 100, girth: 0.2, side: 'right', squared: 't-strip' },
			],
		})
		const put = (left: number, right: number) => {
			const moved = (key: string, g: number) => {
				const mark = survey.marks[key]!
				return { ...mark, at: { ...mark.at, g } }
			}
			const marks = { 'left/u1': moved('left/u1', left), 'right/u1': moved('right/u1', right) }
			return fold({ ...survey, marks }, panel, '/panels/0').value!.marks.u1!
		}
		expect(put(0.3, 0.5).at.g).toBeCloseTo((-0.3 + 0.5) / 2, 9)
		expect(put(0.3, 0.5).difference!.g).toBeCloseTo(-0.8, 9)
		expect(put(-0.3, -0.5).at.g).toBeCloseTo((0.3 - 0.5) / 2, 9)
		expect(put(-0.3, 0.5).at.g).toBeCloseTo(0.4, 9)
	})

	test('a pair lies in one frame already: no sign changes', () => {
		const { panel, survey } = locate({
			hand: 'pair',
			readings: [
				{ kind: 'square', mark: 'u1', station: 100, girth: 50, side: 'below', panel: 'left' },
				{ kind: 'square', mark: 'u1', station: 101, girth: 50, side: 'below', panel: 'right' },
			],
		})
		const { value } = fold(survey, panel, '/panels/0')
		expect(value!.marks.u1!.at).toEqual({ s: 100.5, g: -50 })
		expect(value!.marks.u1!.difference!.s).toBeCloseTo(-1, 9)
	})
})
