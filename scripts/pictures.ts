// Draws the pictures of docs/pictures/ from what the tool itself makes of the demo, on three papers.
import { execFileSync } from 'node:child_process'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Resvg } from '@resvg/resvg-js'
import { toSvg } from '../src/drawing/svg.ts'
import { compute } from '../src/engine/compute.ts'
import { loadJob } from '../src/job/load.ts'
import { defaultShop } from '../src/job/shopDefaults.ts'
import { shapePicture } from '../src/report/shapePicture.ts'
import { pagePictures } from './pagePictures.ts'

const root = fileURLToPath(new URL('..', import.meta.url))
const target = join(root, 'docs', 'pictures')
const fonts = join(root, 'dist', 'fonts')

/** The demo on each paper, made afresh. */
const SETS = { a4: 'A4', a3: 'A3', letter: 'Letter' } as const
type Set = keyof typeof SETS

type Picture =
	/** the sheet that a piece lies on, or the map of the sheets */
	| { readonly to: string; readonly set: Set; readonly sheetOf: string | 'map'; readonly dpi: number }
	| { readonly to: string; readonly set: Set; readonly svg: string; readonly widthPx: number }
	/** a panel in the round */
	| { readonly to: string; readonly shape: string; readonly widthPx: number }

const pictures: readonly Picture[] = [
	{ to: 'sheet-guide.png', set: 'a4', sheetOf: 'tank/shoulder-stripe/left/2/far/guide/1', dpi: 80 },
	{ to: 'sheet-frame.png', set: 'a4', sheetOf: 'tank/badge/left/frame', dpi: 80 },
	{ to: 'sheet-over-crown.png', set: 'a4', sheetOf: 'front-mudguard/coach/1/near/over-crown/3', dpi: 80 },
	{ to: 'shape-tank.png', shape: 'tank', widthPx: 1000 },
	{ to: 'shape-mudguard.png', shape: 'front-mudguard', widthPx: 800 },
	{ to: 'sheet-strip.png', set: 'a4', sheetOf: 'tank/strip/2', dpi: 80 },
	{ to: 'sheet-field.png', set: 'a4', sheetOf: 'side-cover/upper/left/piece', dpi: 80 },
	{ to: 'sheet-joined.png', set: 'a4', sheetOf: 'side-cover/lower/left/piece', dpi: 80 },
	{ to: 'sheet-a3.png', set: 'a3', sheetOf: 'tank/strip/2', dpi: 60 },
	{ to: 'sheet-letter.png', set: 'letter', sheetOf: 'tank/strip/2', dpi: 80 },
	{ to: 'map-a4.png', set: 'a4', sheetOf: 'map', dpi: 70 },
	{ to: 'map-a3.png', set: 'a3', sheetOf: 'map', dpi: 50 },
	{ to: 'map-letter.png', set: 'letter', sheetOf: 'map', dpi: 70 },
	{ to: 'plan-tank.png', set: 'a4', svg: 'plan-tank.svg', widthPx: 1200 },
	{ to: 'plan-mudguard.png', set: 'a4', svg: 'plan-front-mudguard.svg', widthPx: 1200 },
	{ to: 'plan-side-cover.png', set: 'a4', svg: 'plan-side-cover.svg', widthPx: 900 },
	{ to: 'stage-tank.png', set: 'a4', svg: 'stage-tank-3-lake-green.svg', widthPx: 1200 },
]

const folder = (set: Set) => join(root, 'out', set === 'a4' ? 'tarn-350' : `tarn-350-${set}`)

function make(set: Set): void {
	const job = join(root, 'fixtures', 'tarn-350', 'job.jsonc')
	execFileSync(process.execPath, [join(root, 'dist', 'cli.js'), 'make', job, '--out', folder(set), '--paper', SETS[set]], {
		stdio: ['ignore', 'ignore', 'inherit'],
	})
}

interface SheetRow {
	readonly number: number
	readonly pieceIds: readonly string[]
}

function pageOf(set: Set, piece: string): number {
	const { sheets } = JSON.parse(readFileSync(join(folder(set), 'result.json'), 'utf8')) as {
		sheets: SheetRow[] | { sheets: SheetRow[] }
	}
	const list = Array.isArray(sheets) ? sheets : sheets.sheets
	// The map comes first, where it has a sheet of its own.
	const found = piece === 'map' ? list[0] : list.find((s) => s.pieceIds.includes(piece))
	if (!found) throw new Error(`no sheet of the ${set} set holds ${piece}`)
	return found.number
}

function drawPage(pdf: string, page: number, dpi: number, file: string): void {
	// pdftoppm adds the ending itself.
	const stem = file.replace(/\.png$/, '')
	execFileSync('pdftoppm', ['-png', '-r', `${dpi}`, '-f', `${page}`, '-l', `${page}`, '-singlefile', pdf, stem])
}

function drawSvg(svg: string, widthPx: number, file: string): void {
	const renderer = new Resvg(svg, {
		fitTo: { mode: 'width', value: widthPx },
		background: 'white',
		font: {
			fontDirs: [fonts],
			loadSystemFonts: false,
			sansSerifFamily: 'Barlow Semi Condensed',
			defaultFontFamily: 'Barlow Semi Condensed',
		},
	})
	writeFileSync(file, renderer.render().asPng())
}

function drawShape(id: string, widthPx: number, file: string): void {
	const source = join(root, 'fixtures', 'tarn-350', 'job.jsonc')
	const job = loadJob(readFileSync(source, 'utf8'), source).value?.job
	const panel = job && compute(job, defaultShop(), { until: 'scheme' }).panels.find((each) => each.id === id)
	const handed = panel?.shape?.now[0]
	const colours = new Map(job?.paints.map((paint) => [paint.id, paint.colour]))
	const drawing = panel && handed && shapePicture(panel, handed, { colours })
	if (!drawing) throw new Error(`the demo has no ${id} in the round`)
	drawSvg(toSvg(drawing), widthPx, file)
}

mkdirSync(target, { recursive: true })
for (const set of Object.keys(SETS) as Set[]) make(set)
for (const picture of pictures) {
	const file = join(target, picture.to)
	if ('shape' in picture) drawShape(picture.shape, picture.widthPx, file)
	else if ('svg' in picture) drawSvg(readFileSync(join(folder(picture.set), picture.svg), 'utf8'), picture.widthPx, file)
	else drawPage(join(folder(picture.set), 'sheets.pdf'), pageOf(picture.set, picture.sheetOf), picture.dpi, file)
	console.log(`docs/pictures/${picture.to}`)
}
const { findBrowser } = (await import(join(root, 'scripts', 'setup.mjs'))) as { findBrowser(): string | undefined }
const browser = findBrowser()
if (browser === undefined) console.error('no Chromium on the PATH: the pictures of the workbench stay as they are')
else await pagePictures(browser)
