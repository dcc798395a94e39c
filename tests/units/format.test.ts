import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formatLength } from '../../src/units/format.ts'
import { readLength } from '../../src/units/length.ts'

describe('text and rounding', () => {
	// 25.4 mm to the inch (NIST SP 811, B.6); the rounding is arithmetic from it
	test.each([
		[46.53, 'mm', {}, '46.5 mm', -0.03],
		[46.55, 'mm', {}, '46.6 mm', 0.05],
		[-46.55, 'mm', {}, '-46.6 mm', -0.05],
		[46.5, 'mm', { decimals: 3 }, '46.500 mm', 0],
		[46.5, 'mm', { fraction: 16 }, '46.5 mm', 0],
		[0.04, 'mm', {}, '0.0 mm', -0.04],
		[-0.04, 'mm', {}, '0.0 mm', 0.04],
		[46.0375, 'in', {}, '1.813 in', 0.0127],
		[46.0375, 'in', { fraction: 16 }, '1 13/16 in', 0],
		[47, 'in', { fraction: 16 }, '1 7/8 in', 0.625],
		[47, 'in', { fraction: 32 }, '1 27/32 in', -0.16875],
		[47, 'in', { fraction: 64 }, '1 27/32 in', -0.16875],
		[-47, 'in', { fraction: 16 }, '-1 7/8 in', -0.625],
		[25.3, 'in', { fraction: 16 }, '1 in', 0.1],
		[0.5, 'in', { fraction: 16 }, '0 in', -0.5],
		[19.05, 'in', { fraction: 64 }, '3/4 in', 0],
	] as const)('%d mm in %s %j', (mm, unit, options, text, roundingMm) => {
		const said = formatLength(mm, unit, options)
		expect(said.text).toBe(text)
		expect(said.roundingMm).toBeCloseTo(roundingMm, 9)
		expect(said.mm - mm).toBeCloseTo(said.roundingMm, 12)
	})

	test('what is no length is a mistake of the program', () => {
		expect(() => formatLength(Number.NaN, 'mm')).toThrow(RangeError)
		expect(() => formatLength(1, 'mm', { decimals: 1.5 })).toThrow(RangeError)
	})
})

test('what is printed reads back as the length it says, off by no more than half a division', () => {
	fc.assert(
		fc.property(
			fc.double({ min: -5000, max: 5000, noNaN: true }),
			fc.constantFrom('mm', 'in') as fc.Arbitrary<'mm' | 'in'>,
			fc.constantFrom(undefined, 16, 32, 64) as fc.Arbitrary<16 | 32 | 64 | undefined>,
			(mm, unit, fraction) => {
				const said = formatLength(mm, unit, { fraction })
				const back = readLength(said.text, unit === 'mm' ? 'in' : 'mm')
				expect(back.ok).toBe(true)
				if (!back.ok) return
				expect(back.mm).toBeCloseTo(said.mm, 9)
				const half = unit === 'mm' ? 0.05 : fraction ? 25.4 / fraction / 2 : 0.0127
				expect(Math.abs(back.mm - mm)).toBeLessThanOrEqual(half + 1e-5)
			},
		),
		{ numRuns: 1000 },
	)
})
