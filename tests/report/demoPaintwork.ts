/** The demo's paintwork, in an order of its own, as its papers are made from it. */
import { readFileSync } from 'node:fs'
import { compute } from '../../src/engine/compute.ts'
import { paintworkOf } from '../../src/engine/paintwork.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PaintworkPrint } from '../../src/report/paintworkPrint.ts'
import type { Unit } from '../../src/units/length.ts'

const file = 'fixtures/tarn-350/job.jsonc'
const demo = loadJob(readFileSync(file, 'utf8'), file).value!.job

/** Gold says all that its sheet would say; of the others nothing is known. */
const GOLD = {
	as: 'colour',
	coats: 2,
	filmUm: 10,
	potLifeHours: 6,
	recoatHours: { from: 0.25, to: 12 },
	tapeHours: 8,
	lift: 'dry-to-tape',
} as const

export function demoPrint(unit: Unit, change: (job: Job) => Job = (job) => job): PaintworkPrint {
	const job = change({
		...demo,
		unit,
		paints: demo.paints.map((paint) => (paint.id === 'gold' ? { ...paint, sprayed: GOLD } : paint)),
		paintwork: { ...demo.paintwork, order: ['ivory', 'gold', 'lake-green'] },
	})
	const shop = defaultShop()
	const result = compute(job, shop, { until: 'scheme' })
	const paintwork = paintworkOf(job, shop, result.panels)
	if (!paintwork) throw new Error('nothing to paint')
	return { result, shop, paintwork }
}
