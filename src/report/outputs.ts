/** The files that a job becomes. */
import type { Drawing } from '../drawing/drawing.ts'
import type { PdfOptions } from '../drawing/pdf.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Problem } from '../job/problem.ts'
import type { Shop } from '../job/shop.ts'
import { mirrorPiece } from '../sheet/mirrored.ts'
import type { Piece } from '../template/piece.ts'
import { cautionsText } from './cautions.ts'
import { decalText } from './decalWords.ts'
import { pieceNames } from './pieceNames.ts'
import { planDrawing } from './planDrawing.ts'
import { pdfOptions, printedDecals, printedPaintwork, printedSheets, printedSides } from './printed.ts'
import { sayProblems } from './problems.ts'
import { preparedText, readyText } from './readyWords.ts'
import { resultJson } from './resultJson.ts'
import { shapeObj } from './shapeObj.ts'
import { sidesText } from './sidesText.ts'
import { stretchDrawing } from './stretchDrawing.ts'
import { summary } from './summary.ts'

export interface OutputFile {
	/** from the folder, with forward slashes */
	readonly name: string
	readonly bytes: Uint8Array
}

/** Makes drawings into files, here or in a thread of its own. */
export interface DrawingWriter {
	/** as `toSvg` */
	svg(drawing: Drawing): Promise<string>
	/** as `toCutterSvg` */
	cutterSvg(drawing: Drawing): Promise<string>
	/** as `toPdf` */
	pdf(drawings: readonly Drawing[], options: PdfOptions): Promise<Uint8Array>
}

/** What comes with the program: the fonts that are printed with, and its version. */
export interface Kit {
	readonly fonts: PdfOptions['fonts']
	readonly version: string
}

export const RESULT_FILE = 'result.json'

/** The files of an earlier result.json; undefined where it is none. */
export function filesIn(text: string): readonly string[] | undefined {
	try {
		const { madeBy, files } = JSON.parse(text) as { readonly madeBy?: unknown; readonly files?: unknown }
		const ours = typeof madeBy === 'string' && madeBy.startsWith('Stripewright') && Array.isArray(files)
		return ours ? files.filter((file): file is string => typeof file === 'string') : undefined
	} catch {
		return undefined
	}
}

/** What is cut. */
export interface CutFiles {
	/** the files of the pieces, by id */
	readonly pieces: ReadonlyMap<string, Promise<string>>
	/** sheets of film for a cutter */
	readonly cutter: readonly Drawing[]
}

/** The pieces as they are cut; those that must not be mirrored are left out, and a problem of the sheets says so. */
export function piecesToCut(panels: readonly PanelResult[], mirrored = false): readonly Piece[] {
	const pieces = panels.flatMap((panel) => panel.pieces ?? []).map((piece) => piece.bare ?? piece)
	return mirrored ? pieces.flatMap((piece) => mirrorPiece(piece).value ?? []) : pieces
}

/** Every file of the set, result.json last; the same job gives the same bytes. */
export async function outputs(
	result: Result,
	problems: readonly Problem[],
	writer: DrawingWriter,
	{ pieces, cutter }: CutFiles,
	{ fonts, version }: Kit,
	shop: Shop,
): Promise<readonly OutputFile[]> {
	const files: { readonly name: string; readonly content: Content | Promise<Content> }[] = []
	const add = (name: string, content: Content | Promise<Content>) => files.push({ name, content })
	const sheets = printedSheets(result)
	if (sheets) add('sheets.pdf', writer.pdf(sheets.pages, pdfOptions(sheets, fonts)))
	for (const { name, printed } of printedDecals(result)) add(name, writer.pdf(printed.pages, pdfOptions(printed, fonts)))
	const sides = printedSides(result)
	if (sides) add('sides.pdf', writer.pdf(sides.pages, pdfOptions(sides, fonts)))
	for (const panel of result.panels) {
		const drawing = planDrawing(result, panel, { unit: result.job.unit })
		if (drawing) add(`plan-${panel.id}.svg`, writer.svg(drawing))
		for (const handed of panel.shape?.now ?? []) {
			const words = { title: result.job.title, revision: result.revision, version }
			const obj = shapeObj(panel, handed, words)
			if (obj) add(`shapes/${panel.id}${handed.hand === 'centre' ? '' : `-${handed.hand}`}.obj`, obj)
		}
	}
	const names = pieceNames([...pieces.keys()])
	for (const [id, content] of pieces) add(`pieces/${names.get(id)}.svg`, content)
	for (const piece of result.panels.flatMap((panel) => panel.pieces ?? [])) {
		const drawing = stretchDrawing(piece)
		if (drawing) add(`stretch/${names.get(piece.id) ?? piece.number}.svg`, writer.svg(drawing))
	}
	cutter.forEach((sheet, index) => {
		add(`cutter/sheet-${index + 1}.svg`, writer.svg(sheet))
	})
	for (const file of printedPaintwork(result, shop)) {
		if (file.kind === 'pdf') {
			const { title, drawings: pages } = file
			add(file.name, writer.pdf(pages, pdfOptions({ title, revision: result.revision, pages }, fonts)))
		} else add(file.name, file.kind === 'svg' ? writer.svg(file.drawing) : file.text)
	}
	add('summary.txt', summaryFile(result, problems))
	add('cautions.txt', cautionsText(result.job))
	// what is known before the writer has done with the sheets is made before that
	const all = [...files.map(({ name }) => name), RESULT_FILE]
	add(RESULT_FILE, resultJson(result, { version, files: all, problems }))
	return Promise.all(files.map(async ({ name, content }) => ({ name, bytes: bytesOf(await content) })))
}

type Content = string | Uint8Array
const bytesOf = (content: Content) => (typeof content === 'string' ? new TextEncoder().encode(content) : content)

function summaryFile(result: Result, problems: readonly Problem[]): string {
	const listed = sayProblems(problems, result.job.unit)
	const blocks = [readyText(result), preparedText(result), sidesText(result), decalText(result)].filter((text) => text !== '')
	return `${summary(result, { problems })}${blocks.map((text) => `\n${text}`).join('')}${listed ? `\n${listed}\n` : ''}`
}
