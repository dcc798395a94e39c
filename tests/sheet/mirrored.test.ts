import { describe, expect, test } from 'vitest'
import { inkBox } from '../../src/drawing/bounds.ts'
import { overlaps } from '../../src/drawing/box.ts'
import { flatten } from '../../src/drawing/place.ts'
import { layoutMirrored, MIRRORED_WORDS, mirrorPiece } from '../../src/sheet/mirrored.ts'
import { bentGuide, longStrip, piece, wavySquare } from './pieces.ts'

const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
const margins = { left: 5, right: 12, top: 6, bottom: 15 }
const lettered = piece({
	number: 9,
	kind: 'area',
	title: 'Name on the tank',
	knife: [],
	working: [],
	items: [
		{ kind: 'text', role: 'fill', at: { x: 0, y: 0 }, text: 'TARN', sizeMm: 40, anchor: 'start', angle: 0, lettering: true },
	],
})

/** Twice the area inside a loop, positive anticlockwise (the shoelace formula). */
const twiceArea = (loop: readonly { x: number; y: number }[]) =>
	loop.reduce((sum, p, i) => {
		const q = loop[(i + 1) % loop.length] as { x: number; y: number }
		return sum + p.x * q.y - q.x * p.y
	}, 0)

describe('prints for film applied face down', () => {
	const made = layoutMirrored([bentGuide(1), longStrip(2), wavySquare(3)], { paper: 'A4', margins, job })
	const sheets = made.value?.sheets ?? []

	test('every sheet says so, large, on paper that nothing else is printed on', () => {
		expect(made.problems.filter(({ severity }) => severity === 'error')).toEqual([])
		expect(sheets.length).toBeGreaterThan(2)
		for (const { drawing, name } of sheets) {
			const flat = flatten(drawing.items)
			const words = flat.filter(({ item }) => item.kind === 'text' && item.text === MIRRORED_WORDS)
			expect(words.length, name).toBe(1)
			const box = words[0] && inkBox(words[0])
			if (words[0]?.item.kind !== 'text' || !box) throw new Error('no words')
			expect(words[0].item.sizeMm).toBeGreaterThan(7)
			// the narrowest margins that the sheet can have either way up
			expect(Math.min(box.minX, box.minY, drawing.widthMm - box.maxX, drawing.heightMm - box.maxY)).toBeGreaterThanOrEqual(5)
			for (const other of flat) {
				const ink = other === words[0] ? undefined : inkBox(other)
				if (ink) expect(overlaps(box, ink), `${name}: ${JSON.stringify(other.item).slice(0, 200)}`).toBe(false)
			}
		}
	})

	test('check squares are 100 mm and say their words the right way round', () => {
		for (const { checkSquare } of sheets) {
			expect(checkSquare.maxX - checkSquare.minX).toBeCloseTo(100, 9)
			expect(checkSquare.maxY - checkSquare.minY).toBeCloseTo(100, 9)
		}
	})

	test('a piece goes to minus x, and its loops run as before', () => {
		const before = bentGuide(4)
		const { value: after } = mirrorPiece(before)
		if (!after) throw new Error('refused')
		expect(after.bounds).toEqual({ ...before.bounds, minX: -before.bounds.maxX, maxX: -before.bounds.minX })
		expect(twiceArea(after.knife[0] ?? [])).toBeCloseTo(twiceArea(before.knife[0] ?? []), 6)
		expect(after.working[0]?.map(({ x, y }) => ({ x: -x, y }))).toEqual(before.working[0])
	})

	test('says which face lies on the panel', () => {
		const { value } = mirrorPiece(wavySquare(3))
		expect(value?.notes.join(' ')).toContain('This face down, arrow to the front.')
		expect(value?.notes.join(' ')).not.toMatch(/face up/i)
		expect(value?.title).toContain('mirrored')
	})

	test('lettering is refused by the piece’s number, and the rest is made', () => {
		const mixed = layoutMirrored([bentGuide(1), lettered], { paper: 'A4', margins, job })
		expect(mixed.problems.map(({ code }) => code)).toEqual(['LETTERING_MIRRORED'])
		expect(mixed.problems[0]?.found).toContain('piece 9')
		expect(mixed.value?.sheets.flatMap(({ pieceIds }) => pieceIds)).toEqual([bentGuide(1).id])
		const alone = layoutMirrored([lettered], { paper: 'A4', margins, job })
		expect(alone.value).toBeUndefined()
		expect(mirrorPiece(lettered).value).toBeUndefined()
	})
})
