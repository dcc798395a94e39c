import { expect, test } from 'vitest'
import { lengthsIn } from '../../src/units/format.ts'

test('lengths in a sentence are said in the unit of the person; areas and other words stay', () => {
	expect(lengthsIn('off by 25.4 mm, at most 0.5 mm over 3 mm2', 'in')).toBe('off by 1.000 in, at most 0.020 in over 3 mm2')
	expect(lengthsIn('a station from -105.4 mm to 613.4 mm', 'in')).toBe('a station from -4.150 in to 24.150 in')
	expect(lengthsIn('off by 25.4 mm', 'mm')).toBe('off by 25.4 mm')
})
