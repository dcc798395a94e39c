/** Small jobs on flat panels through the stages, so that what tape does can be worked out by hand. */
import { chartedSchemes } from '../../src/engine/panelResult.ts'
import { seenOf } from '../../src/engine/seen.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { Seen, Stage } from '../../src/stages/parts.ts'
import { stageOf } from '../../src/stages/stage.ts'
import { layStage } from '../../src/tape/lay.ts'
import { jobOf, schemeOf } from '../scheme/jobs.ts'

export const shop = defaultShop()

export interface Staged {
	readonly seen: Seen
	readonly stages: readonly Stage[]
}

type PanelInput = Partial<JobInput['panels'][number]>

/** The stages of the first panel of a job, for an order of paints. */
export function staged(
	panel: PanelInput,
	order: readonly string[],
	first: Stage['mode'] = 'all-over',
	more: Partial<JobInput> = {},
): Staged {
	const job = jobOf([panel], more)
	const result = schemeOf(job)
	const one = result.panels[0]
	const paints = new Map(job.paints.map((p) => [p.id, p]))
	if (!one || chartedSchemes(one).length === 0) throw new Error(result.problems.map((p) => p.found).join('; '))
	const seen = seenOf(one, '/panels/0', paints).seen[0] as Seen
	const stages = order.flatMap(
		(paint, i) => stageOf({ seen, paints, order, paint, mode: i === 0 ? first : 'local', underlap: () => 2 }) ?? [],
	)
	return { seen, stages }
}

export const layOf = ({ seen, stages }: Staged, paint: string) => {
	const stage = stages.find((each) => each.paint === paint) as Stage
	return { stage, ...layStage({ seen, stage, shop }) }
}
