/** What was done to a text, step by step, so that each step can be taken back and done again. */

export interface History {
	readonly past: readonly string[]
	readonly now: string
	readonly future: readonly string[]
	/** what the last step was a part of: typing on in one cell is one step */
	readonly doing?: string
}

/** Steps kept; more than anybody takes back one by one. */
const MOST_STEPS = 500

export const historyOf = (text: string): History => ({ past: [], now: text, future: [] })

/** The next text. Steps of one name that follow each other are one step. */
export function stepTo(history: History, text: string, doing?: string): History {
	if (text === history.now) return history
	const goesOn = doing !== undefined && doing === history.doing && history.past.length > 0
	const past = goesOn ? history.past : [...history.past, history.now].slice(-MOST_STEPS)
	return { past, now: text, future: [], ...(doing === undefined ? {} : { doing }) }
}

export function undo({ past, now, future }: History): History {
	const before = past[past.length - 1]
	return before === undefined ? { past, now, future } : { past: past.slice(0, -1), now: before, future: [now, ...future] }
}

export function redo({ past, now, future }: History): History {
	const next = future[0]
	return next === undefined ? { past, now, future } : { past: [...past, now], now: next, future: future.slice(1) }
}
