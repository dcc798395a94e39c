/** `stripewright proof JOB`: strips and guides to hold against the old paint before it is stripped. */
import { toPdf } from '../drawing/pdf.ts'
import { compute } from '../engine/compute.ts'
import { plural } from '../job/say.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { fonts, version } from './package.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'
import { writeNewFile } from './writeNewFile.ts'

export interface ProofOptions extends JobOptions {
	readonly out?: string
}

const FILE = 'proof.pdf'

export async function printProof(world: World, said: string, options: ProofOptions): Promise<Answer> {
	const command = 'proof'
	const answer = await readJob(world, said, options)
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed } = answer.job
	const result = compute(loaded.job, shop, {
		proof: true,
		version: version(),
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
		...(options.paper === undefined ? {} : { paper: options.paper }),
		...(options.printer === undefined ? {} : { printer: options.printer }),
	})
	const problems = [...read, ...placed(result.problems)]
	const sheets = result.sheets?.sheets ?? []
	const { unit } = loaded
	if (sheets.length === 0) return { command, unit, problems, text: 'Nothing was made.\n', data: { file: null } }
	const bytes = await toPdf(
		sheets.map(({ drawing }) => drawing),
		{ title: `Proof: ${result.job.title}`, fonts: fonts(), revision: result.revision, scale: sheets.map(({ scale }) => scale) },
	)
	const file = options.out ?? FILE
	const wrong = await writeNewFile(world, file, bytes)
	if (wrong) return { command, unit, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	const pieces = result.panels.reduce((sum, panel) => sum + (panel.pieces?.length ?? 0), 0)
	return { command, unit, problems, text: next(file, pieces, sheets.length), data: { file, pieces, sheets: sheets.length } }
}

const next = (file: string, pieces: number, sheets: number) =>
	`${file} is ready: ${plural(pieces, 'piece')} on ${plural(sheets, 'sheet')}. Lay the strips and guides on the OLD paint, write at each tick what the line misses it by, and type that into the job under "proof". Then: stripewright check\n`
