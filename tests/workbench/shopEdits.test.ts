// What is written into the shop's file, read back by its own loader.
import { describe, expect, test } from 'vitest'
import { loadShop } from '../../src/job/loadShop.ts'
import { correctionOf } from '../../src/sheet/printer.ts'
import { newShop, withMeasured, withUsual } from '../../src/workbench/shopEdits.ts'

const shopOf = (text: string) => {
	const { value, problems } = loadShop(text)
	expect(problems).toEqual([])
	return value!.shop
}
const MEASURED = { across: 199.2, along: 200.4 }

describe('a printer that was measured', () => {
	test.each(['mm', 'in'] as const)('is the first of a new shop in %s, and its sheets are corrected', (unit) => {
		const shop = shopOf(withMeasured(newShop(unit), { id: 'office-laser', name: 'office laser' }, MEASURED))
		expect(shop.printers).toMatchObject([{ id: 'office-laser', name: 'office laser' }])
		expect(shop.printers[0]?.measured?.across).toBeCloseTo(199.2, 9)
		const correction = correctionOf(shop.printers[0]).value
		// 200 mm are to come out of it as 200 mm
		expect((correction?.across ?? 0) * 199.2).toBeCloseTo(200, 9)
		expect((correction?.along ?? 0) * 200.4).toBeCloseTo(200, 9)
	})

	test('keeps what else the file says, remarks too', () => {
		const text = `{
  // ours
  "format": 1, "unit": "mm", "paper": "A3",
  "printers": [
    { "id": "one", "margins": { "left": 6, "right": 6, "top": 6, "bottom": 6 }, "measured": { "across": 201, "along": 201 } }, // upstairs
    { "id": "two" }
  ]
}`
		const again = withMeasured(text, { id: 'one' }, MEASURED)
		for (const kept of ['// ours', '// upstairs', '"left": 6', '"paper": "A3"']) expect(again).toContain(kept)
		expect(shopOf(again).printers.map(({ measured }) => measured)).toEqual([MEASURED, undefined])
		const third = shopOf(withMeasured(again, { id: 'three', name: 'three' }, MEASURED))
		expect(third.printers.map(({ id, measured }) => [id, measured?.across])).toEqual([
			['one', 199.2],
			['two', undefined],
			['three', 199.2],
		])
		expect(shopOf(withMeasured(again, { id: 'one' }, undefined)).printers[0]?.measured).toBeUndefined()
	})

	test('is used from now on, with its paper', () => {
		const text = withMeasured(newShop('mm'), { id: 'plotter' }, MEASURED)
		expect(shopOf(withUsual(text, 'roll-610', 'plotter'))).toMatchObject({ paper: 'roll-610', printer: 'plotter' })
	})
})
