/** Tape that the plan leaves on longer than its sheet allows. */
import type { Tape } from '../job/shop.ts'
import type { Seen } from '../stages/parts.ts'

/** Runs of one tape on one panel that are laid before the same session and lifted after the same one. */
export interface Overstay {
	readonly prefix: string
	readonly panel: string
	readonly hand: Seen['hand']
	readonly tape: Tape
	/** by number, and by id */
	readonly runs: readonly number[]
	readonly ids: readonly string[]
	readonly laid: number
	readonly until: number
	/** at the least: the time that taping takes is not in it */
	readonly hours: number
	readonly longestHours: number
	/** the last session after which it could be lifted in time, and laid again; undefined where not even its first lets it */
	readonly liftAfter?: number
}
