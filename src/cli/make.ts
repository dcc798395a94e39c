/** `stripewright make JOB`: the whole set of files into a folder. */
import { relative, resolve } from 'node:path'
import { compute } from '../engine/compute.ts'
import { cautionLines } from '../report/cautions.ts'
import { figuresOf } from '../report/figures.ts'
import { summary } from '../report/summary.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { writeSet } from './outputFolder.ts'
import { filesIn, outputs, RESULT_FILE } from './outputs.ts'
import { version } from './package.ts'
import { type JobOptions, readJob, usualFolder } from './readJob.ts'
import type { World } from './world.ts'

export interface MakeOptions extends JobOptions {
	readonly out?: string
}

/** Of the problems in writing, those that another command line would not have. */
const AS_TYPED = new Set(['FILE_IN_THE_WAY', 'FOLDER_NOT_OURS'])

/** What could be made is written, even where a panel has errors; nothing is written where nothing could be made. */
export async function make(world: World, said: string, options: MakeOptions): Promise<Answer> {
	const answer = await readJob(world, said, options)
	const command = 'make'
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed, file } = answer.job
	const unit = loaded.unit
	const result = compute(loaded.job, shop, {
		version: version(),
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
		...(options.paper === undefined ? {} : { paper: options.paper }),
		...(options.printer === undefined ? {} : { printer: options.printer }),
	})
	const problems = [...read, ...placed(result.problems)]
	const folder = options.out ?? usualFolder(file)
	const figures = figuresOf(result)
	const shown = { revision: result.revision, figures }
	if (result.panels.every((panel) => panel.pieces === undefined)) {
		return { command, unit, problems, text: nothingMade(result.job.title, folder), data: { ...shown, folder: null, files: [] } }
	}
	const files = await outputs(result, problems, world.progress)
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
