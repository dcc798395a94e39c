import { describe, expect, test } from 'vitest'
import { boundsOf, inkBox } from '../../src/drawing/bounds.ts'
import { boxOf, holds, overlaps } from '../../src/drawing/box.ts'
import type { Box, GroupItem, Item, TextItem } from '../../src/drawing/drawing.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { flatten } from '../../src/drawing/place.ts'
import { hasInk, inkOf } from '../../src/sheet/ink.ts'
import { type LayoutOptions, layoutSheets } from '../../src/sheet/layout.ts'
import { pieceDrawing } from '../../src/sheet/pieceDrawing.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bentGuide, longStrip, wavySquare } from './pieces.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
const PAPERS = ['A4', 'A3', 'A2', 'Letter', 'Legal', 'Tabloid', 'roll-610'] as const
const pieces = [bentGuide(1), longStrip(2), wavySquare(3), wavySquare(4, 520)]

function sheetsOf(list: readonly Piece[], over: Partial<LayoutOptions> = {}): readonly Sheet[] {
	const { value, problems } = layoutSheets(list, { paper: 'A4', margins, job, version: '0.1.0', ...over })
	expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
	return value?.sheets ?? []
}

const groupOf = (sheet: Sheet, id: string) =>
	sheet.drawing.items.find((item) => item.kind === 'group' && item.id === id) as GroupItem
const texts = (items: readonly Item[]): readonly TextItem[] =>
	flatten(items).flatMap(({ item }) => (item.kind === 'text' ? [item] : []))
const boxes = (items: readonly Item[]) =>
	texts(items).map((item) => ({ text: item.text, box: boxOf(textBox(item) ?? []) as Box }))

/** No two texts overlap, none touches a rule, all stand inside. */
function expectLegible(items: readonly Item[], inside: Box) {
	const all = boxes(items)
	const rules = inkOf(flatten(items).flatMap(({ item }) => (item.kind === 'path' ? [item] : [])))
	all.forEach(({ text, box }, i) => {
		expect(holds(inside, box), `${text} leaves its place`).toBe(true)
		expect(hasInk(rules, box), `${text} touches a line`).toBe(false)
		for (const other of all.slice(i + 1)) expect(overlaps(box, other.box), `${text} over ${other.text}`).toBe(false)
	})
}

describe.each(PAPERS)('every sheet of %s', (paper) => {
	const sheets = sheetsOf(pieces, { paper })

	test('is numbered, named once, and holds its piece', () => {
		expect(sheets.map(({ number }) => number)).toEqual(sheets.map((_, i) => i + 1))
		expect(new Set(sheets.map(({ name }) => name)).size).toBe(sheets.length)
		for (const { id } of pieces) expect(sheets.some(({ pieceIds }) => pieceIds.includes(id))).toBe(true)
	})

	test('has a square of 100 mm with nothing within 4 mm of its line', () => {
		for (const sheet of sheets) {
			const { minX, minY, maxX, maxY } = sheet.checkSquare
			expect([maxX - minX, maxY - minY].map((length) => Math.round(length * 1e9) / 1e9)).toEqual([100, 100])
			const [out, inn] = [4.1, -4.1]
			const grow = (by: number) => ({ minX: minX - by, minY: minY - by, maxX: maxX + by, maxY: maxY + by })
			for (const flat of flatten(sheet.drawing.items)) {
				if (flat.item.kind === 'path' && flat.item.title === 'check square: 100 mm') {
					expect(boundsOf([flat.item])).toEqual(grow(0.1))
					continue
				}
				const box = inkBox(flat)
				if (box) expect(holds(grow(inn), box) || !overlaps(grow(out), box)).toBe(true)
			}
		}
	})

	test('keeps all ink inside the margins', () => {
		for (const { drawing, name } of sheets) {
			const inside = { minX: 10, minY: 10, maxX: drawing.widthMm - 10, maxY: drawing.heightMm - 10 }
			const ink = boundsOf(drawing.items) as Box
			expect(holds(inside, ink, 1e-6), `${name} ${JSON.stringify(ink)}`).toBe(true)
		}
	})

	test('has words that can be read, in the block and in the square', () => {
		for (const sheet of sheets) {
			const page = { minX: 0, minY: 0, maxX: sheet.drawing.widthMm, maxY: sheet.drawing.heightMm }
			expectLegible(
				groupOf(sheet, 'title-block').items.map((item) => ({ ...groupOf(sheet, 'title-block'), items: [item] })),
				page,
			)
			expectLegible(groupOf(sheet, 'check-square').items, sheet.checkSquare)
			const said = texts(sheet.drawing.items).map(({ text }) => text)
			expect(said.join(' ')).toContain('This square: 100 mm')
			if (sheet.pieceIds.length > 0) expect(said).toContain('LEFT')
			expect(said).toContain(`${sheet.number} of ${sheets.length}`)
			expect(said.join(' ')).toContain('printer correction: none')
		}
	})

	test('is not blank, and names its neighbours, which name it', () => {
		for (const sheet of sheets) {
			const first = sheet.drawing.items[0] as GroupItem
			expect(first.id).toBe(sheet.pieceIds[0] ?? 'map')
			// the piece itself, inside what the sheet shows of it
			const shown = sheet.pieceIds.length > 0 ? { ...first, clip: sheet.live } : first
			expect(boundsOf([shown])).toBeDefined()
			for (const { sheet: other, at, marks } of sheet.joins) {
				const back = sheets.find(({ name }) => name === other)?.joins.find((join) => join.sheet === sheet.name)
				expect(back?.at).toBe({ left: 'right', right: 'left', above: 'below', below: 'above' }[at])
				expect(back?.marks.length).toBe(marks.length)
				const words = texts([groupOf(sheet, 'register')]).map(({ text }) => text)
				expect(words.some((text) => text.includes(other))).toBe(true)
			}
		}
	})

	test('has register words clear of the piece, of marks and of each other', () => {
		for (const sheet of sheets.filter(({ joins }) => joins.length > 0)) {
			const register = groupOf(sheet, 'register')
			const lines = flatten([register]).flatMap(({ item }) => (item.kind === 'path' ? [item] : []))
			const ink = [...inkOf(lines), ...inkOf([sheet.drawing.items[0] as Item])]
			const all = boxes([register])
			all.forEach(({ text, box }, i) => {
				expect(hasInk(ink, box), `${sheet.name}: ${text}`).toBe(false)
				for (const other of all.slice(i + 1)) expect(overlaps(box, other.box)).toBe(false)
			})
		}
	})

	test('is the same when made twice', () => {
		expect(JSON.stringify(sheetsOf(pieces, { paper }))).toBe(JSON.stringify(sheets))
	})
})

describe('what is chosen', () => {
	test('a strip of 270 x 60 takes one sheet of A4, not turned', () => {
		const [sheet, ...more] = sheetsOf([longStrip(1, 270, 60)])
		expect(more.length).toBe(0)
		expect(sheet).toMatchObject({ orientation: 'landscape', placements: [{ angle: 0 }] })
	})

	test('a leaning strip is laid straight where that saves sheets', () => {
		const straight = longStrip(1, 20, 260)
		const lean = (p: { x: number; y: number }) => ({
			x: p.x * Math.cos(0.6) - p.y * Math.sin(0.6),
			y: p.x * Math.sin(0.6) + p.y * Math.cos(0.6),
		})
		const knife = straight.knife.map((loop) => loop.map(lean))
		const items: Item[] = [{ kind: 'group', angle: 0.6, items: straight.items }]
		const [sheet, ...more] = sheetsOf([{ ...straight, knife, items, working: [], bounds: boxOf(knife.flat()) as Box }])
		expect(more.length).toBe(0)
		// straight: along either side of the sheet
		expect(Math.abs(Math.sin(2 * ((sheet?.placements[0]?.angle ?? 0) + 0.6)))).toBeLessThan(1e-6)
	})

	test('left and right never share a sheet, and pieces for both go with either', () => {
		const guide = (number: number, side: Piece['side']): Piece => ({ ...bentGuide(number), id: `guide/${number}`, side })
		const onSheets = (...sides: Piece['side'][]) =>
			sheetsOf(sides.map((side, i) => guide(i + 1, side)))
				.filter(({ pieceIds }) => pieceIds.length > 0)
				.map(({ pieceIds }) => pieceIds.map((id) => sides[Number(id.slice(6)) - 1]).join(' '))
		expect(onSheets('LEFT', 'LEFT')).toEqual(['LEFT LEFT'])
		expect(onSheets('LEFT', 'RIGHT')).toEqual(['LEFT', 'RIGHT'])
		expect(onSheets('LEFT', 'RIGHT', 'LEFT', 'RIGHT')).toEqual(['LEFT LEFT', 'RIGHT RIGHT'])
		expect(onSheets('LEFT', 'BOTH')).toEqual(['LEFT BOTH'])
		expect(onSheets('LEFT', 'BOTH', 'RIGHT')).toHaveLength(2)
		const [mixed] = sheetsOf([guide(1, 'RIGHT'), guide(2, 'BOTH')])
		expect(texts(mixed?.drawing.items ?? []).map(({ text }) => text)).toContain('RIGHT + BOTH')
	})

	test('a roll is cut to the piece', () => {
		const [short] = sheetsOf([longStrip(1, 100, 300)], { paper: 'roll-610' })
		const [long] = sheetsOf([longStrip(1, 560, 900)], { paper: 'roll-610' })
		expect(short?.drawing).toMatchObject({ widthMm: 610 })
		expect(short?.drawing.heightMm).toBeLessThan(350)
		expect(long?.drawing.heightMm).toBeLessThan(1100)
	})

	test('tiles map back to rows and columns', () => {
		const { value } = layoutSheets([bentGuide(1), wavySquare(3)], { paper: 'A4', margins, job })
		expect(value?.maps.length).toBe(1)
		const tiles = value?.sheets.filter(({ name }) => name.startsWith('3-'))
		expect(tiles?.length).toBeGreaterThan(1)
		expect(value?.maps[0]?.places.map(({ sheet }) => sheet)).toEqual(tiles?.map(({ name }) => name))
	})
})

describe('words that are too long', () => {
	const long =
		'A very long name that goes on and on, with Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft, '

	test('are wrapped and made smaller', () => {
		const sheets = sheetsOf(
			[
				{ ...bentGuide(1), title: long },
				{ ...longStrip(2), title: long, notes: [long, long] },
			],
			{ job: { ...job, title: long } },
		)
		for (const sheet of sheets) {
			const page = { minX: 0, minY: 0, maxX: sheet.drawing.widthMm, maxY: sheet.drawing.heightMm }
			expectLegible(
				groupOf(sheet, 'title-block').items.map((item) => ({ ...groupOf(sheet, 'title-block'), items: [item] })),
				page,
			)
			expect(
				texts([groupOf(sheet, 'title-block')])
					.map(({ text }) => text)
					.join(''),
			).toContain('gesellschaft')
		}
	})

	test('beyond all measure are shortened, and that is said', () => {
		const huge = long.repeat(30)
		const { value, problems } = layoutSheets([{ ...bentGuide(1), title: huge, panel: huge, notes: [huge, huge] }], {
			paper: 'A4',
			margins,
			job: { ...job, title: huge, revision: huge },
		})
		expect(problems).toMatchObject([{ code: 'TEXT_SHORTENED', severity: 'note' }])
		const sheet = value?.sheets[0] as Sheet
		const page = { minX: 10, minY: 10, maxX: sheet.drawing.widthMm - 10, maxY: sheet.drawing.heightMm - 10 }
		expect(holds(page, boundsOf(sheet.drawing.items) as Box, 1e-6)).toBe(true)
		expectLegible(groupOf(sheet, 'check-square').items, sheet.checkSquare)
	})
})

describe('problems', () => {
	const code = (over: Partial<LayoutOptions>, list: readonly Piece[] = [bentGuide(1), longStrip(2)]) => {
		const { value, problems } = layoutSheets(list, { paper: 'A4', margins, job, ...over })
		return { made: value?.sheets.length, codes: problems.map((problem) => problem.code) }
	}

	test('each is said once, and nothing is made', () => {
		expect(code({ paper: 'A99' })).toEqual({ made: undefined, codes: ['UNKNOWN_PAPER'] })
		expect(code({ margins: { left: 150, right: 150, top: 10, bottom: 10 } })).toEqual({
			made: undefined,
			codes: ['PAPER_TOO_SMALL'],
		})
		expect(code({ printer: { id: 'office', measured: { across: 20, along: 200 } } })).toEqual({
			made: undefined,
			codes: ['PRINTER_MEASURE'],
		})
	})

	test('one piece beyond all sheets leaves the others', () => {
		expect(code({}, [bentGuide(1), longStrip(2, 4000, 4000)])).toEqual({ made: 1, codes: ['TOO_MANY_SHEETS'] })
	})

	test('a piece longer than any roll cannot be printed, and that is said with what to do', () => {
		const { value, problems } = layoutSheets([longStrip(2, 60, 5200)], { paper: 'roll-610', margins, job })
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code: 'PIECE_TOO_LONG', severity: 'error' }])
		expect(problems[0]?.found).toContain('5200 mm long')
	})

	test.each(['A4', 'roll-1067'])('a piece that only a roll takes in one says so on %s', (paper) => {
		// 60 x 1500 goes on no sheet: the largest is 841 x 1189 (ISO 216, A0)
		const { problems } = layoutSheets([longStrip(2, 60, 1500)], { paper, margins, job })
		expect(problems).toMatchObject([{ code: 'ONLY_ROLL', severity: 'note', expected: 'a roll 610 mm to print it on whole' }])
	})

	test('no pieces, no sheets', () => {
		expect(code({}, [])).toEqual({ made: 0, codes: [] })
	})
})

test('one piece as a drawing stands inside its margin', () => {
	const drawing = pieceDrawing(bentGuide(1), 5)
	const { minX, minY, maxX, maxY } = boundsOf(drawing.items) as Box
	const sides = [minX, minY, drawing.widthMm - maxX, drawing.heightMm - maxY]
	for (const side of sides) expect(side).toBeCloseTo(5, 9)
})
