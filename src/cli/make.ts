/** `stripewright make JOB`: the whole set of files into a folder. */
import { relative, resolve } from 'node:path'
import { compute } from '../engine/compute.ts'
import { fonts, version } from '../files/package.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { cautionLines } from '../report/cautions.ts'
import { figuresOf } from '../report/figures.ts'
import { type Film, onFilm } from '../report/onFilm.ts'
import { filesIn, outputs, piecesToCut, RESULT_FILE } from '../report/outputs.ts'
import { summary } from '../report/summary.ts'
import { pieceDrawing } from '../sheet/pieceDrawing.ts'
import { readLength } from '../units/length.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { drawingWriter } from './drawingWriter.ts'
import { writeSet } from './outputFolder.ts'
import { type JobOptions, readJob, usualFolder } from './readJob.ts'
import type { World } from './world.ts'

export interface MakeOptions extends JobOptions {
	readonly out?: string
	/** for film that is applied face down */
	readonly mirrored?: boolean
	/** the size of the cutter's film, 600x400; true for the shop file's */
	readonly cutter?: string | true
}

/** Of the problems in writing, those that another command line would not have. */
const AS_TYPED = new Set(['FILE_IN_THE_WAY', 'FOLDER_NOT_OURS'])

/** What could be made is written, even where a panel has errors; nothing is written where nothing could be made. */
export async function make(world: World, said: string, options: MakeOptions): Promise<Answer> {
	const command = 'make'
	const typed = typeof options.cutter === 'string' ? filmSize(options.cutter) : undefined
	if (typed && !typed.value) return { command, problems: typed.problems, misuse: true }
	const answer = await readJob(world, said, options)
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed, file } = answer.job
	const film = typed?.value ?? (options.cutter ? shop.cutter.sheet : undefined)
	if (options.cutter && !film) return { command, problems: [noFilm], misuse: true }
	const unit = loaded.unit
	const writer = drawingWriter()
	const pieces = new Map<string, Promise<string>>()
	const result = compute(loaded.job, shop, {
		version: version(),
		paintwork: true,
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
		done: (panel) => {
			for (const piece of piecesToCut([panel], options.mirrored)) pieces.set(piece.id, writer.cutterSvg(pieceDrawing(piece)))
		},
		...(options.paper === undefined ? {} : { paper: options.paper }),
		...(options.printer === undefined ? {} : { printer: options.printer }),
		...(options.mirrored ? { mirrored: true } : {}),
	})
	const cutter = film && onFilm(piecesToCut(result.panels, options.mirrored), film, shop)
	const problems = [...read, ...placed([...result.problems, ...(cutter?.problems ?? [])])]
	const folder = options.out ?? usualFolder(file)
	const figures = figuresOf(result)
	const shown = { revision: result.revision, figures }
	if (result.panels.every((panel) => panel.pieces === undefined)) {
		writer.dismiss()
		return { command, unit, problems, text: nothingMade(result.job.title, folder), data: { ...shown, folder: null, files: [] } }
	}
	world.progress('writing')
	const files = await outputs(
		result,
		problems,
		writer,
		{ pieces, cutter: cutter?.value ?? [] },
		{ fonts: fonts(), version: version() },
		shop,
	)
	const target = resolve(world.folder, folder)
	world.progress('saving')
	const wrong = await writeSet(world.disk, target, files, {
		manifest: { name: RESULT_FILE, filesIn },
		process: world.process,
		isRunning: world.isRunning,
		said: folder,
		began: world.unfinished,
	})
	world.unfinished(undefined)
	const failed = wrong.some(({ severity }) => severity === 'error')
	if (failed) {
		const misuse = wrong.some(({ code }) => AS_TYPED.has(code))
		return { command, unit, misuse, problems: [...wrong, ...problems], data: { ...shown, folder: null, files: [] } }
	}
	const cautions = cautionLines(result.job).map((line) => `  ${line}`)
	return {
		command,
		unit,
		problems: [...wrong, ...problems],
		text: `${summary(result, { problems, folder: shortest(world.folder, target, folder) })}\nCautions\n${cautions.join('\n')}\n`,
		data: { ...shown, folder, files: files.map(({ name }) => name) },
	}
}

/** As the person would type it from where they stand. */
function shortest(from: string, target: string, said: string): string {
	const way = relative(from, target)
	return way === '' || way.startsWith('..') ? said : way
}

const nothingMade = (title: string, folder: string) => `${title}\n\nNothing was made; ${folder} is as it was.\n`

/** "600x400", "24 in x 36 in": width and height of a cutter's film, mm where no unit is written. */
function filmSize(typed: string): Outcome<Film> {
	const sides = typed.split(/[x×]/i).map((side) => readLength(side.trim(), 'mm'))
	const [width, height] = sides
	if (sides.length === 2 && width?.ok && height?.ok && width.mm > 0 && height.mm > 0) {
		return { value: { width: width.mm, height: height.mm }, problems: [] }
	}
	return { problems: [wrongFilm(`--cutter ${JSON.stringify(typed)}`)] }
}

const wrongFilm = (found: string): Problem => ({
	code: 'CUTTER_SIZE',
	severity: 'error',
	path: '',
	found,
	expected: 'the width and the height of the film with an x between them',
	fix: 'write it as in --cutter 600x400 (mm), or --cutter 24inx36in',
})

const noFilm: Problem = {
	...wrongFilm('--cutter without a size, and a shop file that has none'),
	fix: 'write it as in --cutter 600x400 (mm), or in the shop file: "cutter": { "sheet": { "width": 600, "height": 400 } }',
}
