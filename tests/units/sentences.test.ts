import { expect, test } from 'vitest'
import { lengthsIn } from '../../src/units/format.ts'

// 25.4 mm to the inch, so 645.16 mm2 to the square inch, exactly (the yard of 1959).
test('lengths in a sentence are said in the unit of the person: as a rule reads, what is small in thousandths, areas in square inches', () => {
	expect(lengthsIn('off by 25.4 mm, at most 0.5 mm over 3 mm2', 'in')).toBe('off by 1 in, at most 0.020 in over 0.0047 sq in')
	expect(lengthsIn('outside the panel by 1290 mm2', 'in')).toBe('outside the panel by 2.0 sq in')
	// -105.4 / 25.4 = -4.1496, and 0.1496 x 32 = 4.8; 613.4 / 25.4 = 24.1496
	expect(lengthsIn('a station from -105.4 mm to 613.4 mm', 'in')).toBe('a station from -4 5/32 in to 24 5/32 in')
	expect(lengthsIn('a side of 199.12 mm', 'in')).toBe('a side of 7.839 in')
	expect(lengthsIn('off by 12.6 mm, not by 12.7 mm', 'in')).toBe('off by 0.496 in, not by 1/2 in')
	expect(lengthsIn('off by 25.4 mm', 'mm')).toBe('off by 25.4 mm')
})

test('figures that share their unit are all turned', () => {
	expect(lengthsIn('a sheet of 76.2 x 101.6 mm', 'in')).toBe('a sheet of 3 x 4 in')
	expect(lengthsIn('true to 0.04 to 0.05 mm', 'in')).toBe('true to 0.002 to 0.002 in')
	expect(lengthsIn('a slip of 10 or 100 mm', 'in')).toBe('a slip of 0.394 or 3 15/16 in')
	expect(lengthsIn('within 0.6/0.8/0.7 mm', 'in')).toBe('within 0.024/0.031/0.028 in')
	expect(lengthsIn('true to 0.01 mm', 'in')).toBe('true to 0.0004 in')
})
