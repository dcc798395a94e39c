/** The files that a job becomes. The writers of PDF and SVG are loaded here, when there is something to write. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { Problem } from '../job/problem.ts'
import { cautionsText } from '../report/cautions.ts'
import { planDrawing } from '../report/planDrawing.ts'
import { sayProblems } from '../report/problems.ts'
import { readyText } from '../report/readyWords.ts'
import { resultJson } from '../report/resultJson.ts'
import { shapeObj } from '../report/shapeObj.ts'
import { summary } from '../report/summary.ts'
import { mirrorPiece } from '../sheet/mirrored.ts'
import { pieceDrawing } from '../sheet/pieceDrawing.ts'
import type { Piece } from '../template/piece.ts'
import type { OutputFile } from './outputFolder.ts'
import { fonts, version } from './package.ts'
import type { PdfWriter } from './pdfWriter.ts'

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

export interface OutputOptions {
	/** pieces for film that is applied face down */
	readonly mirrored?: boolean
	/** sheets of film for a cutter */
	readonly cutter?: readonly Drawing[]
}

/** The pieces as they are cut; those that must not be mirrored are left out, and a problem of the sheets says so. */
export function piecesToCut({ panels }: Result, mirrored = false): readonly Piece[] {
	const pieces = panels.flatMap((panel) => panel.pieces ?? [])
	return mirrored ? pieces.flatMap((piece) => mirrorPiece(piece).value ?? []) : pieces
}

/** Every file of the set, result.json last; the same job gives the same bytes. */
export async function outputs(
	result: Result,
	problems: readonly Problem[],
	progress: (doing: string) => void,
	writer: PdfWriter,
	{ mirrored = false, cutter = [] }: OutputOptions = {},
): Promise<readonly OutputFile[]> {
	const text = (name: string, content: string): OutputFile => ({ name, bytes: new TextEncoder().encode(content) })
	const sheets = result.sheets?.sheets ?? []
	progress('writing')
	const pdf =
		sheets.length > 0
			? writer.write(
					sheets.map(({ drawing }) => drawing),
					{ title: result.job.title, fonts: fonts(), revision: result.revision, scale: sheets.map(({ scale }) => scale) },
				)
			: writer.dismiss()
	const files: OutputFile[] = []
	const { toSvg, toCutterSvg } = await import('../drawing/svg.ts')
	for (const panel of result.panels) {
		const drawing = planDrawing(result, panel, { unit: result.job.unit })
		if (drawing) files.push(text(`plan-${panel.id}.svg`, toSvg(drawing)))
		for (const handed of panel.shape?.now ?? []) {
			const words = { title: result.job.title, revision: result.revision, version: version() }
			const obj = shapeObj(panel, handed, words)
			if (obj) files.push(text(`shapes/${panel.id}${handed.hand === 'centre' ? '' : `-${handed.hand}`}.obj`, obj))
		}
	}
	const pieces = piecesToCut(result, mirrored)
	const names = pieceNames(pieces.map(({ id }) => id))
	for (const piece of pieces) files.push(text(`pieces/${names.get(piece.id)}.svg`, toCutterSvg(pieceDrawing(piece))))
	cutter.forEach((sheet, index) => {
		files.push(text(`cutter/sheet-${index + 1}.svg`, toSvg(sheet)))
	})
	files.push(text('summary.txt', summaryFile(result, problems)), text('cautions.txt', cautionsText(result.job)))
	if (pdf) files.unshift({ name: 'sheets.pdf', bytes: await pdf })
	const all = [...files.map(({ name }) => name), RESULT_FILE]
	return [...files, text(RESULT_FILE, resultJson(result, { version: version(), files: all, problems }))]
}

function summaryFile(result: Result, problems: readonly Problem[]): string {
	const listed = sayProblems(problems, result.job.unit)
	const ready = readyText(result)
	return `${summary(result, { problems })}${ready === '' ? '' : `\n${ready}`}${listed ? `\n${listed}\n` : ''}`
}

/** A file name for each piece: its id with - for /, and a number where two would be the same. */
export function pieceNames(ids: readonly string[]): ReadonlyMap<string, string> {
	const taken = new Set<string>()
	const names = new Map<string, string>()
	for (const id of ids) {
		const stem = id.replaceAll('/', '-')
		let name = stem
		for (let count = 2; taken.has(name); count++) name = `${stem}-${count}`
		taken.add(name)
		names.set(id, name)
	}
	return names
}
