// Widths, kerning and outlines of lettering against a second font library, opentype.js.
import fc from 'fast-check'
import opentype from 'opentype.js'
import { expect, test } from 'vitest'
import { readFont } from '../../src/artwork/lettering/font.ts'
import { FONT_FILES } from '../../src/artwork/lettering/fonts.ts'
import { fontFile } from '../../src/files/package.ts'
import { FONTS } from '../../src/job/artworkSchema.ts'
import { cubicBox } from '../../src/plane/cubic.ts'

const SEED = 4529
// Without the full stop: before T, V, W and Y the two libraries kern it differently, in one font.
const sign = fc.constantFrom(...'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789&-')

for (const id of FONTS) {
	test(`${id}: 100 texts (seed ${SEED})`, async () => {
		const bytes = fontFile(FONT_FILES[id])
		const ours = await readFont(bytes)
		const theirs = opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength))
		const height = theirs.charToGlyph('H').getBoundingBox().y2
		fc.assert(
			fc.property(fc.array(sign, { minLength: 1, maxLength: 12 }), (signs) => {
				const text = signs.join('')
				const line = ours.line(text, false)
				const options = { kerning: true, features: { liga: false, rlig: false } }
				// at a size of its own units an advance is in those units
				const advance = theirs.getAdvanceWidth(text, theirs.unitsPerEm, options)
				expect(line.advance * height).toBeCloseTo(advance, 3)
			}),
			{ seed: SEED, numRuns: 100 },
		)
		for (const one of 'AHMOQRS038&') {
			const box = theirs.charToGlyph(one).getBoundingBox()
			const boxes = ours.line(one, false).letters[0]!.outline.flat().map(cubicBox)
			expect(Math.max(...boxes.map(({ maxX }) => maxX)) * height).toBeCloseTo(box.x2, 3)
			expect(Math.max(...boxes.map(({ maxY }) => maxY)) * height).toBeCloseTo(box.y2, 3)
			expect(Math.min(...boxes.map(({ minX }) => minX)) * height).toBeCloseTo(box.x1, 3)
			expect(Math.min(...boxes.map(({ minY }) => minY)) * height).toBeCloseTo(box.y1, 3)
		}
	})
}
