import { describe, expect, test } from 'vitest'
import type { Item, TextItem } from '../../src/drawing/drawing.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { flatten } from '../../src/drawing/place.ts'
import { polylinesOf } from '../../src/drawing/polylines.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { labelFaults } from '../../src/sheet/labelCheck.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import { growthMm, notesOf, numberList } from '../../src/sheet/notes.ts'
import { correctionOf } from '../../src/sheet/printer.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import { demoPieces } from './demo.ts'
import { bentGuide, longStrip, wavySquare } from './pieces.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
const text = (words: string, at: PlanePoint, angle = 0): TextItem => ({
	kind: 'text',
	role: 'label',
	at,
	text: words,
	sizeMm: 3,
	anchor: 'start',
	angle,
})
const tick = (a: PlanePoint, b: PlanePoint): Item => ({
	kind: 'path',
	role: 'tick',
	segments: [
		{ to: 'move', p: a },
		{ to: 'line', p: b },
	],
	stroke: { widthMm: 0.2, colour: '#000000' },
})

describe('the check of labels', () => {
	test('finds a text over a text, a tick through a text, and neither where they only come near', () => {
		const word = text('girth 120', { x: 0, y: 0 })
		const kinds = (items: readonly Item[]) => labelFaults(items).map(({ on }) => on)
		expect(kinds([word, text('130', { x: 5, y: 1 })])).toEqual(['text'])
		expect(kinds([word, text('130', { x: 5, y: 4 })])).toEqual([])
		expect(kinds([word, tick({ x: 5, y: -5 }, { x: 5, y: 5 })])).toEqual(['tick'])
		expect(kinds([word, tick({ x: -1, y: -5 }, { x: -1, y: 5 })])).toEqual([])
		// leaning boxes that overlap only by their upright boxes
		expect(kinds([text('girth 120', { x: 0, y: 0 }, Math.PI / 4), text('130', { x: 6, y: 0 })])).toEqual([])
	})

	test('finds a text that the edge of a tile cuts, and not one beyond it', () => {
		const clip = { minX: 0, minY: 0, maxX: 10, maxY: 10 }
		const shown = (at: PlanePoint): Item => ({ kind: 'group', clip, items: [text('girth 120', at)] })
		expect(labelFaults([shown({ x: 5, y: 5 })]).map(({ on }) => on)).toEqual(['clip'])
		expect(labelFaults([shown({ x: 20, y: 5 })])).toEqual([])
	})
})

/** What is whole on no sheet: words that the edge of one tile cuts must be whole on another. */
function broken(sheets: readonly Sheet[]): readonly string[] {
	const whole = (sheet: Sheet) => {
		const cut = new Set(
			labelFaults(sheet.drawing.items)
				.filter(({ on }) => on === 'clip')
				.map((fault) => fault.text),
		)
		return flatten(sheet.drawing.items).flatMap(({ item, clips }) => {
			if (item.kind !== 'text' || cut.has(item.text)) return []
			const corners = textBox(item)
			const inside = clips.every((clip) =>
				corners?.every(
					({ x, y }) => x >= (clip[0]?.x ?? 0) && x <= (clip[2]?.x ?? 0) && y >= (clip[0]?.y ?? 0) && y <= (clip[2]?.y ?? 0),
				),
			)
			return inside ? [item.text] : []
		})
	}
	return sheets.flatMap((sheet) => {
		const piece = sheet.pieceIds[0]
		const others = new Set(sheets.filter((other) => other !== sheet && other.pieceIds[0] === piece).flatMap(whole))
		return labelFaults(sheet.drawing.items)
			.filter(({ on, text: words }) => on !== 'clip' || !others.has(words))
			.map(({ text: words, on, other }) => `${sheet.name}: ${words} on ${on} ${other}`)
	})
}

describe('the demo', () => {
	const demo = demoPieces()
	test.each(['A4', 'A3', 'A2', 'Letter', 'Legal', 'Tabloid', 'C', 'D', 'roll-610'])(
		'on %s: no label overlaps a label, a tick, a knife line, a working edge or a register mark, and none is cut',
		(paper) => {
			const { value, problems } = layoutSheets(demo, { paper, margins, job })
			expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
			expect(broken(value?.sheets ?? [])).toEqual([])
		},
	)

	test.each(['A4', 'A3', 'A2', 'Letter', 'Legal', 'Tabloid', 'C', 'D', 'roll-610'])(
		'on %s: no sheet has pieces for the left and for the right',
		(paper) => {
			const sideOf = new Map(demo.map(({ id, side }) => [id, side]))
			const { value } = layoutSheets(demo, { paper, margins, job })
			const sides = value?.sheets.map(({ pieceIds }) => new Set(pieceIds.map((id) => sideOf.get(id)))) ?? []
			expect(sides.length).toBeGreaterThan(1)
			expect(sides.filter((one) => one.has('LEFT') && one.has('RIGHT'))).toEqual([])
		},
	)

	test('every piece is on the map once, and every sheet is numbered on it', () => {
		const { value } = layoutSheets(demo, { paper: 'A4', margins, job })
		const words = flatten(value?.sheets[0]?.drawing.items ?? []).flatMap(({ item }) => (item.kind === 'text' ? [item.text] : []))
		const said = words.join(' ')
		expect(said).toContain('Map of the sheets, 1 : ')
		for (const { number, pieceIds } of value?.sheets.slice(1) ?? []) {
			if (pieceIds.length > 1) expect(said).toContain(`Sheet ${number}:`)
		}
	})
})

describe('register marks', () => {
	const { value } = layoutSheets([wavySquare(3)], { paper: 'A4', margins, job })
	const sheet = value?.sheets.find(({ joins }) => joins.length > 0) as Sheet
	const lines = (title: string) =>
		flatten(sheet.drawing.items).flatMap(({ item }) =>
			item.kind === 'path' && item.title?.startsWith(title)
				? [{ width: item.stroke?.widthMm ?? 0, lines: polylinesOf(item.segments, 0.01).map(({ points }) => points) }]
				: [],
		)

	test('a misfit of 0.2 mm either way parts the halves of an arm by more than its line is wide', () => {
		const marks = lines('register mark')
		expect(marks.length).toBeGreaterThanOrEqual(2)
		for (const { width, lines: arms } of marks) {
			expect(arms.length).toBe(2)
			for (const [a, b] of arms as unknown as readonly (readonly [PlanePoint, PlanePoint])[]) {
				const length = Math.hypot(b.x - a.x, b.y - a.y)
				const [dx, dy] = [Math.abs(b.x - a.x) / length, Math.abs(b.y - a.y) / length]
				// moved by 0.2 mm along x the halves lie 0.2 dy apart, along y 0.2 dx
				const misfits = [0.2 * dy, 0.2 * dx]
				expect(Math.max(...misfits)).toBeGreaterThan(1.5 * width)
				expect(Math.min(...misfits)).toBeGreaterThanOrEqual(width)
			}
		}
	})

	test('teeth of a comb differ by 0.2 mm in pitch and meet at the middle alone', () => {
		const combs = lines('comb')
		expect(combs.length).toBeGreaterThan(0)
		for (const { lines: teeth } of combs) {
			const upright = Math.abs((teeth[0]?.[1]?.x ?? 0) - (teeth[0]?.[0]?.x ?? 0)) < 1e-9
			const along = (p: PlanePoint) => (upright ? p.x : p.y)
			const feet = teeth.map((tooth) => ({
				at: along(tooth[0] as PlanePoint),
				up: Math.sign(
					upright
						? (tooth[1] as PlanePoint).y - (tooth[0] as PlanePoint).y
						: (tooth[1] as PlanePoint).x - (tooth[0] as PlanePoint).x,
				),
			}))
			const [one, other] = [1, -1].map((side) =>
				feet
					.filter(({ up }) => up === side)
					.map(({ at }) => at)
					.sort((a, b) => a - b),
			) as [number[], number[]]
			expect(one.length).toBe(other.length)
			const off = one.map((at, i) => at - (other[i] as number)).sort((a, b) => a - b)
			for (const [i, at] of off.slice(1).entries()) expect(at - (off[i] as number)).toBeCloseTo(0.2, 9)
			expect(off[Math.floor(off.length / 2)]).toBeCloseTo(0, 9)
		}
	})

	test('are explained on the sheet', () => {
		const said = flatten(sheet.drawing.items)
			.flatMap(({ item }) => (item.kind === 'text' ? [item.text] : []))
			.join(' ')
		expect(said).toContain('two lines side by side are 0.2 mm out')
	})
})

describe('notes', () => {
	test('what all of a kind say alike is said once', () => {
		const notes = notesOf([bentGuide(1), bentGuide(2), bentGuide(3)])
		expect(notes.filter((note) => note.includes('Leave no black')).length).toBe(1)
		expect(notes.filter((note) => note.includes('Card or adhesive')).length).toBe(1)
	})

	test('keeps fractions of inches whole, each piece turned before its figures stand beside the others', () => {
		const guide = (n: number, words: string) => ({ ...bentGuide(n), notes: [words] })
		const three = ['9 3/8', '9 1/2', '8 3/4'].map((inches, i) =>
			guide(i + 1, `Its first dot is ${inches} in from its last, within 2.54 mm.`),
		)
		expect(notesOf(three, 'in').join(' ')).toContain(
			'1/2/3: Its first dot is 9 3/8, 9 1/2, 8 3/4 in from its last, within 0.100 in.',
		)
	})

	test('the same words with other figures stand side by side, led by the numbers of their pieces', () => {
		const notes = notesOf([bentGuide(2), { ...bentGuide(5), errorMm: 0.3 }])
		expect(notes).toContain('2/5: Shape true to 0.12/0.30 mm. The line itself is known to ±0.40 mm (two times in three).')
	})

	test('what one piece alone says is led by its number', () => {
		const notes = notesOf([bentGuide(2), { ...bentGuide(5), notes: ['Only here.'] }])
		expect(notes).toContain('5: Only here.')
	})

	test('numbers in runs', () => {
		expect(numberList([113, 105, 106, 107, 110, 111])).toBe('105-107, 110, 111, 113')
	})

	// 500 mm over 20 % of relative humidity: 0.4 mm along the grain and 1.2 mm across, worked from the middle of the ranges (from memory)
	test('growth of paper', () => {
		const [low, high] = growthMm(500, 'along')
		expect([low, high]).toEqual([expect.closeTo(0.3, 9), expect.closeTo(0.6, 9)])
		const across = growthMm(500, 'across')
		expect(across[0]).toBeLessThan(1.2)
		expect(across[1]).toBeGreaterThan(1.2)
		expect(notesOf([longStrip(1, 30, 500)]).join(' ')).toContain('these 500 mm by 0.3 to 0.6 mm along the grain')
		expect(notesOf([longStrip(1, 30, 300)]).join(' ')).not.toContain('grain')
	})
})

describe('a printer that cannot be right', () => {
	test.each([
		[0, 'Print the test sheet'],
		[20, 'centimetres'],
		[2000, 'tenths'],
		[7.874, 'inches'],
	])('%s mm for 200 is refused with what to do', (length, hint) => {
		const { value, problems } = correctionOf({ id: 'office', measured: { across: length, along: 200 } })
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code: 'PRINTER_MEASURE', severity: 'error' }])
		expect(problems[0]?.fix).toContain(hint)
	})
})
