/** The pieces of the demo job, as the engine makes them. */
import { readFileSync } from 'node:fs'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { Piece } from '../../src/template/piece.ts'

const file = new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)

/** Lengths are mm inside, so that the same job may be printed in either unit. */
export function demoPieces(unit: 'mm' | 'in' = 'mm'): readonly Piece[] {
	const { value } = loadJob(readFileSync(file, 'utf8'), 'job.jsonc')
	if (!value) throw new Error('the demo job does not load')
	return compute({ ...value.job, unit }, defaultShop(), { until: 'pieces' }).panels.flatMap(({ pieces }) => pieces ?? [])
}
