/** A second thread of the engine, for paper alone: laying out sheets must not keep a typed figure waiting. */
import type { PaperAnswer, PaperAsk } from './messages.ts'

export interface PaperThread {
	/** Answered one after another; a fault of the thread is an answer too. */
	ask(question: Omit<PaperAsk, 'id'>): Promise<PaperAnswer>
	stop(): void
}

export function startPaperThread(): PaperThread {
	let thread: Worker | undefined
	let asked = 0
	const waiting = new Map<number, (answer: PaperAnswer) => void>()

	function spawn(): Worker {
		const made = new Worker('/page/work.js', { type: 'module' })
		made.onmessage = ({ data }: MessageEvent<PaperAnswer>) => {
			waiting.get(data.id)?.(data)
			waiting.delete(data.id)
		}
		// A thread that fell over is replaced at the next question.
		made.onerror = ({ message }) => {
			made.terminate()
			if (thread === made) thread = undefined
			for (const [id, done] of waiting) done({ id, problems: [], fault: message })
			waiting.clear()
		}
		return made
	}

	return {
		ask: (question) =>
			new Promise((done) => {
				const id = ++asked
				waiting.set(id, done)
				thread ??= spawn()
				thread.postMessage({ ...question, id } satisfies PaperAsk)
			}),
		stop() {
			thread?.terminate()
			thread = undefined
			waiting.clear()
		},
	}
}
