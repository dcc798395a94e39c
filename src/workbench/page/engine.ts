/** The engine as the page sees it: the newest question counts, answers that come too late are dropped. */
import type { Answer, Ask, Ready, ReadyAnswer } from './messages.ts'

export interface Engine {
	/** Asks; of several asked while it works only the newest is answered. */
	ask(question: Omit<Ask, 'id'>): void
	stop(): void
}

/** Starts the thread; `answered` gets every answer that is not stale, `busy` whether it works, `rested` what follows when nobody types. */
export function startEngine(
	answered: (answer: Answer) => void,
	busy: (working: boolean) => void,
	rested: (ready: Ready) => void,
): Engine {
	let thread: Worker | undefined
	let asked = 0
	let working: number | undefined
	let waiting: Ask | undefined

	function spawn(): Worker {
		const made = new Worker('/page/work.js', { type: 'module' })
		made.onmessage = ({ data }: MessageEvent<Answer | ReadyAnswer>) => {
			if ('ready' in data) {
				if (data.id === asked) rested(data.ready)
				return
			}
			working = undefined
			if (data.id === asked) answered(data)
			next()
		}
		// A thread that fell over is replaced; what it was asked is told of as a fault.
		made.onerror = ({ message }) => {
			made.terminate()
			const id = working ?? asked
			working = undefined
			// A new one at the next question: one that cannot be loaded must not be asked for again and again.
			thread = undefined
			answered({ id, problems: [], fault: message })
			next()
		}
		return made
	}

	function next() {
		busy(waiting !== undefined)
		if (!waiting) return
		working = waiting.id
		thread ??= spawn()
		thread.postMessage(waiting)
		waiting = undefined
	}

	return {
		ask(question) {
			waiting = { ...question, id: ++asked }
			if (working === undefined) next()
		},
		stop: () => thread?.terminate(),
	}
}
