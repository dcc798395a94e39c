import type { FilmMap } from '../paint/films.ts'
import type { Ridge } from '../paint/ridges.ts'
import type { MovedLine } from '../stages/asPainted.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import type { PlanProof } from '../stages/proof.ts'
import type { StageTape } from '../tape/run.ts'

/** One panel, seen from one hand, through all of its stages. */
export interface PanelPaintwork {
	readonly id: string
	readonly title: string
	readonly hand: Seen['hand']
	/** how its steps and runs are called: tank, or side-cover/left */
	readonly prefix: string
	readonly seen: Seen
	readonly stages: readonly Stage[]
	/** the masking of each of them */
	readonly tape: readonly StageTape[]
	/** what each part ends with, by what was really open */
	readonly proof: PlanProof
	readonly films: FilmMap
	readonly ridges: readonly Ridge[]
	/** lines that came out of the paint elsewhere than planned */
	readonly moved: readonly MovedLine[]
}
