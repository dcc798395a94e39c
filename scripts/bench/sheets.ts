// How quickly pieces become sheets and a file, and how many sheets and joins they take beside a plain grid of rows and columns.
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { toPdf } from '../../src/drawing/pdf.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import { findPaper } from '../../src/sheet/paper.ts'
import { NO_CORRECTION } from '../../src/sheet/printer.ts'
import type { Piece } from '../../src/template/piece.ts'
import { atMost, medianMs, type Row } from '../measure.ts'
import { plainGrid } from '../plainGrid.ts'

const PIECES = 60
const SHEETS = 100
const margins = { left: 10, right: 10, top: 10, bottom: 10 }

function demo() {
	const { value } = loadJob(readFileSync(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url), 'utf8'), 'job.jsonc')
	if (!value) throw new Error('the demo job does not load')
	const { job, revision, panels } = compute(value.job, defaultShop(), { until: 'pieces' })
	return { words: { title: job.title, revision, unit: job.unit }, pieces: panels.flatMap(({ pieces }) => pieces ?? []) }
}

/** The list again and again, as pieces of their own, until there are enough. */
const repeated = (pieces: readonly Piece[], count: number): readonly Piece[] =>
	Array.from({ length: count }, (_, i) => {
		const piece = pieces[i % pieces.length] as Piece
		const round = Math.floor(i / pieces.length)
		return round === 0 ? piece : { ...piece, id: `${piece.id}/${round}`, number: piece.number + 1000 * round }
	})

const require = createRequire(import.meta.url)
const font = (file: string) => new Uint8Array(readFileSync(require.resolve(`@expo-google-fonts/barlow-semi-condensed/${file}`)))

export async function rows(): Promise<Row[]> {
	const { words, pieces } = demo()
	const options = { paper: 'A4', margins, job: words, version: '0.1.0' }
	const sixty = repeated(pieces, PIECES)
	const fonts = {
		regular: font('400Regular/BarlowSemiCondensed_400Regular.ttf'),
		bold: font('600SemiBold/BarlowSemiCondensed_600SemiBold.ttf'),
	}
	const sheets = layoutSheets(repeated(pieces, 4 * PIECES), options).value?.sheets.slice(0, SHEETS) ?? []
	const drawings = sheets.map(({ drawing }) => drawing)
	const toFile = () => toPdf(drawings, { title: words.title, fonts, revision: words.revision })
	const cache = new WeakMap()
	const again = () => layoutSheets(sixty, { ...options, cache })
	again()
	const out = [
		atMost(
			'main.sheets.plan60',
			await medianMs(() => layoutSheets(sixty, options), { runs: 9 }),
			'ms',
			300,
			`${sixty.length} pieces on A4`,
		),
		atMost('main.sheets.plan60.again', await medianMs(again, { runs: 9 }), 'ms', 50, 'the same pieces, their plans kept'),
		atMost('main.sheets.pdf100', (await medianMs(toFile, { runs: 5, warmUps: 1 })) / 1000, 's', 1, `${drawings.length} sheets`),
	]
	for (const paper of ['A4', 'Letter', 'A3', 'roll-610']) {
		const { value } = layoutSheets(pieces, { ...options, paper })
		const found = findPaper(paper).value
		if (!value || !found) throw new Error(`no sheets of ${paper}`)
		const plain = plainGrid(pieces, { paper: found, margins, correction: NO_CORRECTION })
		const joins = value.maps.reduce((sum, map) => sum + map.joinsThroughWorking, 0)
		const count = value.sheets.filter(({ pieceIds }) => pieceIds.length > 0).length
		out.push(
			atMost(
				`main.sheets.joins.${paper}`,
				joins,
				'joins',
				plain.joins,
				`plain grid ${plain.joins}, ${pieces.length} pieces of the demo`,
			),
		)
		// sheets are the second count: with fewer joins there may be more
		const most = joins < plain.joins ? Math.max(count, plain.sheets) : plain.sheets
		out.push(atMost(`main.sheets.count.${paper}`, count, 'sheets', most, `plain grid ${plain.sheets}, without the map`))
	}
	return out
}
