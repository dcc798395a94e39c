import { expect, test } from 'vitest'
import { stretchDrawing } from '../../src/report/stretchDrawing.ts'
import { areaPiece } from '../../src/template/areaPiece.ts'
import { sphere } from '../chart/panels.ts'
import { discOf } from '../template/areas.ts'
import { texts } from '../template/printed.ts'

const piece = areaPiece({
	...{ chart: sphere(300), id: 'tank/side/left/piece', number: 104, panel: 'tank', panelTitle: 'Tank', side: 'LEFT' },
	...{
		title: 'Field piece, side',
		region: [discOf(300, 40, 120)],
		working: [],
		stations: [],
		datums: [],
		limitMm: 0.3,
		unit: 'mm',
	},
})

test('a picture of where paper stretches: says that it is not for cutting, and has a figure at each longer line', () => {
	if (!piece?.stretch) throw new Error('no piece')
	const drawing = stretchDrawing(piece)
	const { most, lines } = piece.stretch
	const all = (drawing?.items ?? []).flatMap((item) => (item.kind === 'group' ? item.items : [item]))
	const words = texts(all).map(({ text }) => text)
	expect(words.join(' ')).toContain(
		`piece 104 stretches or shrinks when it is laid flat: at most ${Number((100 * most).toPrecision(2))} %`,
	)
	expect(words.join(' ')).toMatch(/^.*Not for cutting/)
	// Levels of 0.05, 0.1 and 0.2 % and so on, as many as lie below the most.
	const levels = [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05].filter((level) => level < 0.8 * most)
	for (const level of levels) expect(lines.some((line) => line.level === level)).toBe(true)
	expect(words.filter((text) => /^[\d.]+ %$/.test(text)).length).toBeGreaterThanOrEqual(levels.length)
})

test('a piece that lies flat as it is has none', () => {
	if (!piece) throw new Error('no piece')
	const { stretch: _, ...flat } = piece
	expect(stretchDrawing(flat)).toBeUndefined()
})
