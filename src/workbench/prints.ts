/** The files that the page makes of a job, the same as the command line makes: what may be asked for, and its bytes. */
import { toPdf } from '../drawing/pdf.ts'
import { toCutterSvg, toSvg } from '../drawing/svg.ts'
import type { Cache } from '../engine/cache.ts'
import { type ComputeOptions, compute, type Result } from '../engine/compute.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { type Film, onFilm } from '../report/onFilm.ts'
import { type DrawingWriter, type Kit, type OutputFile, outputs, piecesToCut } from '../report/outputs.ts'
import { type Asked, paperToWriteOn } from '../report/paperToWriteOn.ts'
import { pieceNames } from '../report/pieceNames.ts'
import { planDrawing } from '../report/planDrawing.ts'
import {
	type Filled,
	type Printed,
	printedCheckSheet,
	printedDecals,
	printedMeasuringSheet,
	printedPaintwork,
	printedPdf,
	printedProof,
	printedSheets,
	printedSides,
	printedTestSheet,
} from '../report/printed.ts'
import { resultJson } from '../report/resultJson.ts'
import { pieceDrawing } from '../sheet/pieceDrawing.ts'

export type FileWanted =
	| {
			readonly kind:
				| 'sheets'
				| 'proof'
				| 'proof-table'
				| 'check-sheet'
				| 'check-table'
				| 'sides'
				| 'test-sheet'
				| 'result'
				| 'all'
	  }
	| { readonly kind: 'measuring-sheet' | 'measuring-table'; readonly panel?: string }
	| { readonly kind: 'plan'; readonly panel: string }
	| { readonly kind: 'piece'; readonly piece: string }
	/** of tape and paint, by its name in the folder */
	| { readonly kind: 'paintwork'; readonly name: string }
	/** decals at true size: decals.pdf, or decals-mirrored.pdf */
	| { readonly kind: 'decals'; readonly name: string }
	/** all pieces on film of a size, mm */
	| { readonly kind: 'cutter'; readonly film: Film }

export interface MadeFile {
	readonly name: string
	readonly type: string
	readonly bytes: Uint8Array
}

/** A job that was read, with what was noticed then, and what it is printed on. */
export interface ToPrint extends Asked {
	readonly job: Job
	readonly shop: Shop
	readonly problems: readonly Problem[]
	/** problems of the engine with their lines in the text */
	readonly placed: (problems: readonly Problem[]) => readonly Problem[]
	/** panels whose sheets are printed; all of them where not said */
	readonly only?: readonly string[]
	/** sheets and pieces for film that is applied face down */
	readonly mirrored?: boolean
	/** the film of a cutter, whose sheets are wanted too where everything is */
	readonly film?: Film
	readonly cache?: Cache
	/** a name for the job's folder */
	readonly folder: string
}

const PDF = 'application/pdf'
const SVG = 'image/svg+xml'
const HTML = 'text/html;charset=utf-8'
const CSV = 'text/csv;charset=utf-8'
const JSON_TYPE = 'application/json'

/** The file; without a value where the job has nothing of the kind, and the problems say why. */
export async function makeFile(wanted: FileWanted, to: ToPrint, kit: Kit): Promise<Outcome<MadeFile>> {
	const { job, shop } = to
	switch (wanted.kind) {
		case 'sheets':
			return pdf('sheets.pdf', printedSheets(resultOf(to, kit, mirroredOf(to))), kit, to)
		case 'sides':
			return pdf('sides.pdf', printedSides(resultOf(to, kit)), kit, to)
		case 'proof':
		case 'proof-table':
			return filled('proof', wanted.kind, printedProof(resultOf(to, kit, { proof: true }), shop, to), kit, to)
		case 'check-sheet':
		case 'check-table':
			return filled('check-sheet', wanted.kind, printedCheckSheet(resultOf(to, kit, { until: 'pieces' }), shop, to), kit, to)
		case 'measuring-sheet':
		case 'measuring-table': {
			const paper = paperToWriteOn(shop, to)
			if (!paper) return nothing(to)
			const { value, problems } = printedMeasuringSheet(job, shop, paper, { ...to, ...wanted })
			return value ? filled('measuring-sheet', wanted.kind, value, kit, to) : { problems }
		}
		case 'test-sheet': {
			const { value, problems } = printedTestSheet(shop, to)
			return value ? pdf('test-sheet.pdf', value, kit, to) : { problems }
		}
		case 'plan': {
			const result = resultOf(to, kit)
			const panel = result.panels.find(({ id }) => id === wanted.panel)
			const drawing = panel && planDrawing(result, panel, { unit: job.unit })
			return drawing ? file(`plan-${wanted.panel}.svg`, SVG, toSvg(drawing)) : nothing(to)
		}
		case 'piece': {
			const pieces = piecesToCut(resultOf(to, kit).panels, to.mirrored)
			const piece = pieces.find(({ id }) => id === wanted.piece)
			const name = pieceNames(pieces.map(({ id }) => id)).get(wanted.piece)
			return piece ? file(`${name}.svg`, SVG, toCutterSvg(pieceDrawing(piece))) : nothing(to)
		}
		case 'result': {
			const result = resultOf(to, kit)
			const problems = [...to.problems, ...to.placed(result.problems)]
			return file('result.json', JSON_TYPE, resultJson(result, { version: kit.version, problems }))
		}
		case 'paintwork':
			return paintworkFile(wanted.name, to, kit)
		case 'decals':
			return pdf(wanted.name, printedDecals(resultOf(to, kit)).find(({ name }) => name === wanted.name)?.printed, kit, to)
		case 'cutter':
			return cutterFile(to, kit, wanted.film)
		case 'all':
			return everything(to, kit)
	}
}

/** The job as its sheets are laid out, by the options of the command line. */
export const resultOf = (
	{ job, shop, cache, paper, printer, only }: ToPrint,
	{ version }: Pick<Kit, 'version'>,
	more: ComputeOptions = {},
) =>
	compute(job, shop, {
		version,
		paintwork: true,
		...(cache ? { cache } : {}),
		...(paper === undefined ? {} : { paper }),
		...(printer === undefined ? {} : { printer }),
		...(only === undefined ? {} : { only }),
		...more,
	})

/** All files of the set, as `make` writes them into its folder, in one packed file. */
async function everything(to: ToPrint, kit: Kit): Promise<Outcome<MadeFile>> {
	const result: Result = resultOf(to, kit, mirroredOf(to))
	if (result.panels.every(({ pieces }) => pieces === undefined)) return nothing(to)
	const cut = piecesToCut(result.panels, to.mirrored)
	const cutter = to.film && onFilm(cut, to.film, to.shop)
	const pieces = new Map(cut.map((piece) => [piece.id, here.cutterSvg(pieceDrawing(piece))]))
	const problems = [...to.problems, ...to.placed([...result.problems, ...(cutter?.problems ?? [])])]
	const files = await outputs(result, problems, here, { pieces, cutter: cutter?.value ?? [] }, kit, to.shop)
	return packed(to.folder, files)
}

async function packed(name: string, files: readonly Pick<OutputFile, 'name' | 'bytes'>[]): Promise<Outcome<MadeFile>> {
	const { zipSync } = await import('fflate')
	// The time of a packed file is that of its form: the same job gives the same bytes.
	const bytes = zipSync(Object.fromEntries(files.map((one) => [`${name}/${one.name}`, one.bytes])), { mtime: FIXED })
	return file(`${name}.zip`, 'application/zip', bytes)
}

/** The sheets of film: one as it is, several in one packed file. What did not fit is said beside them. */
async function cutterFile(to: ToPrint, kit: Kit, film: Film): Promise<Outcome<MadeFile>> {
	const result = resultOf(to, kit)
	const { value = [], problems } = onFilm(piecesToCut(result.panels, to.mirrored), film, to.shop)
	const sheets = value.map((sheet, i) => ({ name: `sheet-${i + 1}.svg`, bytes: new TextEncoder().encode(toSvg(sheet)) }))
	const [only] = sheets
	if (!only) return problems.length > 0 ? { problems } : nothing(to)
	const made = sheets.length === 1 ? file('cutter-sheet.svg', SVG, only.bytes) : await packed('cutter', sheets)
	return { ...made, problems }
}

/** A card, a schedule, a picture or the stand file. */
async function paintworkFile(name: string, to: ToPrint, kit: Kit): Promise<Outcome<MadeFile>> {
	const result = resultOf(to, kit)
	const found = printedPaintwork(result, to.shop).find((one) => one.name === name)
	if (!found) return nothing(to)
	if (found.kind === 'svg') return file(name, SVG, toSvg(found.drawing))
	if (found.kind === 'text') return file(name, HTML, found.text)
	const { title, drawings: pages } = found
	return pdf(name, { title, revision: result.revision, pages }, kit, to)
}

const mirroredOf = ({ mirrored }: ToPrint): ComputeOptions => (mirrored ? { mirrored } : {})

/** Local time, which is all that a packed file knows. */
const FIXED = new Date(2000, 0, 1)

const here: DrawingWriter = {
	svg: async (drawing) => toSvg(drawing),
	cutterSvg: async (drawing) => toCutterSvg(drawing),
	pdf: toPdf,
}

async function pdf(name: string, print: Printed | undefined, { fonts }: Kit, to: ToPrint): Promise<Outcome<MadeFile>> {
	return print ? file(name, PDF, await printedPdf(print, fonts)) : nothing(to)
}

async function filled(
	name: string,
	kind: FileWanted['kind'],
	print: Filled | undefined,
	kit: Kit,
	to: ToPrint,
): Promise<Outcome<MadeFile>> {
	if (print && kind.endsWith('-table')) return file(`${name}.csv`, CSV, print.csv)
	return pdf(`${name}.pdf`, print, kit, to)
}

const file = (name: string, type: string, content: string | Uint8Array): Outcome<MadeFile> => ({
	value: { name, type, bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content },
	problems: [],
})

const nothing = ({ job }: ToPrint): Outcome<MadeFile> => ({
	problems: [
		{
			...{ code: 'NOTHING_TO_PRINT', severity: 'error', path: '' },
			found: `${job.title}, which has nothing of the kind yet`,
			expected: 'a job that has come so far',
			fix: 'Look at what is open on the lines of the job card before this one',
		},
	],
})
