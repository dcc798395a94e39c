import { expect, test } from 'vitest'
import type { Drawing, TextItem } from '../../src/drawing/drawing.ts'
import { printable } from '../../src/drawing/metrics.ts'
import { flatten } from '../../src/drawing/place.ts'
import { paintworkFiles } from '../../src/report/paintworkFiles.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { demoPrint } from '../report/demoPaintwork.ts'
import { folder, pdfOf, saved } from '../sheet/files.ts'
import { picture, separated, touches } from './wordInk.ts'

// The ink of every word as poppler draws it at 300 dots per inch, held beside all other ink of the same page.

/** Ink nearer than this to other ink runs into it (common practice, no source). */
const MARGIN_MM = 0.15
const MARGINS = { left: 12, right: 12, top: 12, bottom: 12 }

const textsOf = ({ items }: Drawing): readonly TextItem[] =>
	flatten(items).flatMap(({ item }) => (item.kind === 'text' && printable(item.text).text.trim() !== '' ? [item] : []))

async function faultsOf(pages: readonly Drawing[]): Promise<readonly string[]> {
	const { words, rest, counts } = await separated(await pdfOf(pages))
	const into = folder()
	const files = [saved('words.pdf', words, into), saved('rest.pdf', rest, into)] as const
	return pages.flatMap((page, i) => {
		const texts = textsOf(page)
		expect(counts[i]).toBe(texts.length)
		const found = touches(picture(files[0], i + 1), picture(files[1], i + 1), MARGIN_MM)
		expect(found.seen.size, page.title).toBe(texts.length)
		return found.touches.map(({ word, on, at: [x, y] }) => {
			const other = on === 'line' ? 'a line or a fill' : `"${texts[on - 1]?.text}"`
			return `${page.title}: "${texts[word - 1]?.text}" touches ${other} at ${x.toFixed(1)}, ${y.toFixed(1)} mm`
		})
	})
}

test.each([
	['A4', 'mm', 0],
	['Letter', 'in', 1],
] as const)(
	'on %s in %s, every second page: no word touches another, a line or a fill, and each is to be seen',
	async (paper, unit, from) => {
		const files = paintworkFiles(demoPrint(unit), findPaper(paper).value as Paper, MARGINS)
		const pages = files.flatMap((file) => (file.kind === 'pdf' ? file.drawings : [])).filter((_, i) => i % 2 === from)
		expect(pages.length).toBeGreaterThan(10)
		expect(await faultsOf(pages)).toEqual([])
	},
	180_000,
)

test('pictures by themselves: no word touches another, a line or a fill', async () => {
	const files = paintworkFiles(demoPrint('mm'), findPaper('A4').value as Paper, MARGINS)
	const pictures = files.flatMap((file) => (file.kind === 'svg' ? [file.drawing] : [])).filter((_, i) => i % 3 === 2)
	expect(pictures.length).toBeGreaterThan(3)
	expect(await faultsOf(pictures)).toEqual([])
}, 180_000)
