/** What the page asks of the engine, which works in a thread of its own, and what comes back. */
import type { Problem } from '../../job/problem.ts'
import type { JobView } from '../view.ts'

/** The job as far as its scheme, with the scenes of the panel that is looked at. */
export interface Ask {
	readonly id: number
	/** the text of the job file, and of the shop file where there is one */
	readonly job: string
	readonly shop?: string
	/** id of the panel that is looked at */
	readonly looked?: string
	/** where files beside the job are read: "/api/jobs/NAME/files/" */
	readonly files: string
}

export interface Answer {
	readonly id: number
	/** absent where the text is no job: the problems say why */
	readonly view?: JobView
	readonly problems: readonly Problem[]
	/** of a fault of the program itself */
	readonly fault?: string
}
