import { expect, test } from 'vitest'
import { lengthsIn } from '../../src/units/format.ts'

test('lengths in a sentence are said in the unit of the person; areas and other words stay', () => {
	expect(lengthsIn('off by 25.4 mm, at most 0.5 mm over 3 mm2', 'in')).toBe('off by 1.000 in, at most 0.020 in over 3 mm2')
	expect(lengthsIn('a station from -105.4 mm to 613.4 mm', 'in')).toBe('a station from -4.150 in to 24.150 in')
	expect(lengthsIn('off by 25.4 mm', 'mm')).toBe('off by 25.4 mm')
})

test('figures that share their unit are all turned', () => {
	expect(lengthsIn('a sheet of 76.2 x 101.6 mm', 'in')).toBe('a sheet of 3.000 x 4.000 in')
	expect(lengthsIn('true to 0.04 to 0.05 mm', 'in')).toBe('true to 0.002 to 0.002 in')
	expect(lengthsIn('a slip of 10 or 100 mm', 'in')).toBe('a slip of 0.394 or 3.937 in')
	expect(lengthsIn('within 0.6/0.8/0.7 mm', 'in')).toBe('within 0.024/0.031/0.028 in')
	expect(lengthsIn('true to 0.01 mm', 'in')).toBe('true to 0.0004 in')
})
