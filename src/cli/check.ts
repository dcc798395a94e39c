/** `stripewright check JOB`: is it all there, does it fit together, how well is it known? */
import { compute } from '../engine/compute.ts'
import { version } from '../files/package.ts'
import { marksTable } from '../report/marksTable.ts'
import { preparedText, readyText } from '../report/readyWords.ts'
import { resultData } from '../report/resultJson.ts'
import { sidesText } from '../report/sidesText.ts'
import { summary } from '../report/summary.ts'
import type { Answer } from './answer.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'

/** Everything that `make` does short of drawing, so that nothing that make would say stays unsaid. */
export async function check(world: World, said: string, options: JobOptions): Promise<Answer> {
	const answer = await readJob(world, said, options)
	const command = 'check'
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed } = answer.job
	const result = compute(loaded.job, shop, {
		version: version(),
		paintwork: true,
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
		...(options.paper === undefined ? {} : { paper: options.paper }),
		...(options.printer === undefined ? {} : { printer: options.printer }),
	})
	const problems = [...read, ...placed(result.problems)]
	const blocks = [readyText(result), preparedText(result), sidesText(result)].filter((text) => text !== '')
	const { madeBy, files: _, problems: __, ...data } = resultData(result, { version: version(), brief: true })
	return {
		command,
		problems,
		unit: loaded.unit,
		text: `${marksTable(result)}${summary(result, { problems })}\n${blocks.join('\n')}`,
		data: { madeBy, ...data },
	}
}

/** "working: front mudguard, 40 %" */
export const sayProgress = (part: number, doing: string): string => `working: ${doing}, ${Math.round(part * 100)} %`
