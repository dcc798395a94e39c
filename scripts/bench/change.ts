// How long the demo takes to be worked out again when one reading has changed, with the answers of before at hand.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { type ComputeOptions, compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { longer } from '../longer.ts'
import { atMost, median, type Row } from '../measure.ts'

const file = fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url))

/** Each panel in turn, one reading longer by a hair; the first rounds only warm the machine up. */
const ROUNDS = 6
const WARM_UPS = 2

export async function rows(): Promise<Row[]> {
	const job = loadJob(readFileSync(file, 'utf8'), file).value?.job
	if (!job) throw new Error('the demo job does not load')
	const shop = defaultShop()
	const cache: NonNullable<ComputeOptions['cache']> = new Map()
	compute(job, shop, { cache })
	const times = { scheme: [] as number[], sheets: [] as number[] }
	for (let round = 0; round < ROUNDS; round++) {
		for (const until of ['scheme', 'sheets'] as const) {
			for (let panel = 0; panel < job.panels.length; panel++) {
				const changed = longer(job, panel, 0.001 * (round * 2 + (until === 'scheme' ? 1 : 2)))
				const from = performance.now()
				compute(changed, shop, { cache, until })
				if (round >= WARM_UPS) times[until].push(performance.now() - from)
			}
		}
	}
	const about = 'over a reading of each panel of the demo'
	return [
		atMost('main.change.drawn', median(times.scheme), 'ms', 50, `to the scheme, as a drawing needs it: median ${about}`),
		atMost('main.change.drawn.worst', Math.max(...times.scheme), 'ms', 150, `to the scheme: worst ${about}`),
		atMost('main.change.all', median(times.sheets), 'ms', 50, `all the way to finished sheets: median ${about}`),
	]
}
