import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type LengthAnswer, readLength } from '../../src/units/length.ts'

const mmOf = (answer: LengthAnswer) => {
	if (!answer.ok) throw new Error(`refused: ${answer.found}`)
	return answer.mm
}

// 1 in = 25.4 mm exactly: NIST SP 811 (2008), appendix B.6; 1 ft = 0.3048 m exactly, the same table.
describe('read, in mm', () => {
	test.each<[number | string, 'mm' | 'in', number]>([
		[46.5, 'mm', 46.5],
		[1.5, 'in', 38.1],
		[1e3, 'mm', 1000],
		[-12, 'mm', -12],
		['46.5', 'mm', 46.5],
		['46.5', 'in', 1181.1],
		['46.5 mm', 'in', 46.5],
		['46.5mm', 'mm', 46.5],
		['46.5 MM', 'mm', 46.5],
		['4.65 cm', 'mm', 46.5],
		['0.0465 m', 'mm', 46.5],
		['46.5 millimetres', 'in', 46.5],
		['1 13/16 in', 'mm', 46.0375],
		['1 13/16"', 'mm', 46.0375],
		['1-13/16 in', 'mm', 46.0375],
		['1 13/16', 'in', 46.0375],
		['13/16', 'in', 20.6375],
		['13⁄16 in.', 'mm', 20.6375],
		['.5 in', 'mm', 12.7],
		['1½"', 'mm', 38.1],
		['1 ½ in', 'mm', 38.1],
		['¾ inch', 'mm', 19.05],
		['⅛″', 'mm', 3.175],
		['3\' 2 1/2"', 'mm', 977.9],
		['3′ 2½″', 'mm', 977.9],
		['3’ 2½”', 'mm', 977.9],
		["3' 2 1/2''", 'mm', 977.9],
		['3\'-2 1/2"', 'mm', 977.9],
		["3' 2", 'mm', 965.2],
		['3 ft 2 in', 'mm', 965.2],
		['3ft2in', 'mm', 965.2],
		['3 feet 2 inches', 'mm', 965.2],
		['3 ft', 'mm', 914.4],
		['3 1/2 ft', 'mm', 1066.8],
		['-3\' 2"', 'mm', -965.2],
		['−3 mm', 'mm', -3],
		['  46.5   mm ', 'mm', 46.5],
		['46.5\u00a0mm', 'mm', 46.5],
		['100 m', 'mm', 100_000],
	])('%j with plain numbers in %s', (value, unit, mm) => {
		expect(mmOf(readLength(value, unit))).toBe(mm)
	})

	test('no minus zero', () => {
		expect(Object.is(mmOf(readLength(-0, 'mm')), 0)).toBe(true)
		expect(Object.is(mmOf(readLength('-0 in', 'mm')), 0)).toBe(true)
	})
})

describe('refused, with the right form', () => {
	test.each<[number | string, RegExp, RegExp]>([
		['12;5 mm', /"12;5 mm", with a semicolon/, /Write "12\.5 mm"/],
		['1,5 mm', /"1,5 mm", with a comma/, /Write "1\.5 mm"/],
		['1,500 mm', /comma/, /Write "1\.500 mm", or "1500 mm"/],
		['1,234.5 mm', /comma/, /nothing between thousands/],
		['1,5,3', /comma/, /one number/],
		['5 1/0 in', /0 below the line/, /divided/],
		['1/0', /0 below the line/, /divided/],
		['1 5/4 in', /5\/4 makes one or more/, /2 1\/4/],
		['5/4 in', /5\/4 makes one or more/, /1 1\/4/],
		['4/4 in', /4\/4 makes one or more/, /write 1 if/],
		['1 13/61 in', /1\/61/, /lower figure/],
		['3\' 14"', /a foot or more/, /inches alone/],
		['3.5\' 2"', /not whole/, /inches/],
		['12 mn', /"mn" is no unit/, /mm, cm, m, in or ft/],
		['12 furlongs', /"furlongs" is no unit/, /mm, cm, m, in or ft/],
		['1e3 mm', /no unit/, /mm/],
		['5-10 mm', /two figures with a dash/, /one length/],
		['12 mm 5', /no unit/, /mm/],
		['mm', /not a length/, /46\.5 mm/],
		['abc', /not a length/, /figures/],
		['1.2.3', /not a length/, /figures/],
		['1 2', /not a length/, /figures/],
		['--3 mm', /not a length/, /figures/],
		['', /empty/, /figures/],
		['   ', /empty/, /figures/],
		['Infinity', /not a length/, /figures/],
		['9'.repeat(400), /too long/, /figures/],
		[Number.NaN, /NaN, which is not a number/, /figures/],
		[Number.POSITIVE_INFINITY, /not a number/, /figures/],
		[1e9, /1000000 m/, /unit/],
		['100.1 m', /100 m/, /unit/],
		['-200 m', /-200 m/, /unit/],
	])('%j', (value, found, fix) => {
		const answer = readLength(value, 'mm')
		expect(answer.ok).toBe(false)
		if (answer.ok) return
		expect(answer.found).toMatch(found)
		expect(answer.fix).toMatch(fix)
		expect(answer.expected.length).toBeGreaterThan(5)
	})
})

describe('a decimal comma, where a spreadsheet wrote it', () => {
	test('is converted and said', () => {
		expect(readLength('46,5', 'mm', { decimalComma: true })).toEqual({ ok: true, mm: 46.5, note: '"46,5" was read as 46.5' })
		expect(readLength('4,65 cm', 'mm', { decimalComma: true })).toMatchObject({ ok: true, mm: 46.5 })
	})
	test('a point stays a point and needs no note', () => {
		expect(readLength('46.5', 'mm', { decimalComma: true })).toEqual({ ok: true, mm: 46.5 })
	})
	test.each(['1.234,5', '1,2,3', '1,234.5', '12;5'])('%j stays refused', (text) => {
		expect(readLength(text, 'mm', { decimalComma: true }).ok).toBe(false)
	})
})

describe('properties', () => {
	test('whatever the text, the answer is a finite length or a refusal in words', () => {
		const letters = fc.constantFrom(...'0123456789.,;/-\'" mincftMe½′″\t∞'.split(''))
		fc.assert(
			fc.property(fc.string({ unit: letters, maxLength: 20 }), fc.boolean(), (text, decimalComma) => {
				const answer = readLength(text, 'mm', { decimalComma })
				if (answer.ok) expect(Number.isFinite(answer.mm)).toBe(true)
				else expect(`${answer.found}|${answer.expected}|${answer.fix}`).not.toMatch(/undefined|\[object|\|\|/)
			}),
			{ numRuns: 2000 },
		)
	})

	test('feet, inches and a fraction are the sum of their parts', () => {
		fc.assert(
			fc.property(fc.nat(99), fc.nat(11), fc.constantFrom(2, 4, 8, 16, 32, 64), fc.nat(63), (feet, inches, lower, n) => {
				const upper = n % lower
				const text = upper === 0 ? `${feet}' ${inches}"` : `${feet}' ${inches} ${upper}/${lower}"`
				// 304.8 and 25.4 in tenths, so that the check is whole numbers until its last division
				const expected = (3048 * feet * lower + 254 * (inches * lower + upper)) / (10 * lower)
				expect(mmOf(readLength(text, 'mm'))).toBeCloseTo(expected, 9)
			}),
		)
	})

	test('a unit of its own makes the job unit of no account', () => {
		fc.assert(
			fc.property(fc.double({ min: 0, max: 2000, noNaN: true }), fc.constantFrom('mm', 'cm', 'in'), (value, unit) => {
				const text = `${value.toFixed(4)} ${unit}`
				expect(readLength(text, 'mm')).toEqual(readLength(text, 'in'))
			}),
		)
	})
})
