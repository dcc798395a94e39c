/** Keeps the newest text on the disk: one save at a time, none lost while nobody answers, none written over what changed elsewhere. */
import type { Changed, Saved, StoredText } from './wire.ts'

export type Keeping =
	| { readonly state: 'saved' | 'saving' }
	/** nobody answers; what was typed is kept here until somebody does */
	| { readonly state: 'gone' }
	/** the answer was no: the disk is full, or may not be written */
	| { readonly state: 'refused'; readonly why: string }
	/** the file was changed elsewhere: what it holds now, and the version that holds ours */
	| { readonly state: 'changed'; readonly theirs: StoredText; readonly kept: string }

export interface Keeper {
	/** the newest text; it is on the disk a quarter of a second after the last */
	keep(text: string): void
	/** what the disk holds, as far as is known here */
	onDisk(): { readonly text: string; readonly revision: number }
	/** something was sent and not answered yet: what the disk holds may be ours */
	busy(): boolean
	/** the disk was read anew */
	took(stored: { readonly text: string; readonly revision: number }): void
	/** after `changed`: ours is to be written over theirs, or theirs was taken */
	settle(which: 'ours' | 'theirs'): void
	/** sends what is not saved yet at once: the page is being left */
	flush(): void
	stop(): void
}

export interface KeeperOptions {
	/** throws where nobody answers, or the answer is no */
	readonly save: (text: string, revision: number) => Promise<Saved | Changed>
	readonly told: (keeping: Keeping) => void
	readonly afterMs?: number
	readonly againMs?: number
}

/** The answer of somebody who could not save. */
export class NotSaved extends Error {}

/** What was typed is on the disk so long after the last key, ms. */
const SAVE_AFTER_MS = 250
/** How long until the server is asked again, ms. */
const AGAIN_MS = 1500

export function startKeeper(first: { readonly text: string; readonly revision: number }, options: KeeperOptions): Keeper {
	const { save, told, afterMs = SAVE_AFTER_MS, againMs = AGAIN_MS } = options
	let disk = { text: first.text, revision: first.revision }
	let newest = first.text
	let timer: ReturnType<typeof setTimeout> | undefined
	let saving = false
	let stopped = false
	let clash: Changed | undefined
	/** sent, and never answered: one of them may be what the disk holds */
	const unanswered = new Set<string>()

	// Not put off by the next key: whoever types without a pause is saved as often.
	const later = (ms: number) => {
		if (stopped || timer !== undefined) return
		timer = setTimeout(() => {
			timer = undefined
			void go()
		}, ms)
	}

	async function go(): Promise<void> {
		if (saving || stopped || clash || newest === disk.text) return
		saving = true
		told({ state: 'saving' })
		const text = newest
		try {
			unanswered.add(text)
			const answer = await save(text, disk.revision)
			saving = false
			if ('now' in answer) {
				// What the disk holds came from here: revisions are counted anew by a server that was started anew.
				if (answer.now.text === disk.text || unanswered.has(answer.now.text)) {
					disk = { text: answer.now.text, revision: answer.now.revision }
					unanswered.clear()
					if (newest === disk.text) told({ state: 'saved' })
					else later(0)
					return
				}
				clash = answer
				told({ state: 'changed', theirs: answer.now, kept: answer.kept })
				return
			}
			disk = { text, revision: answer.revision }
			unanswered.clear()
			if (newest === text) told({ state: 'saved' })
			else later(afterMs)
		} catch (error) {
			saving = false
			told(error instanceof NotSaved ? { state: 'refused', why: error.message } : { state: 'gone' })
			later(againMs)
		}
	}

	return {
		keep(text) {
			newest = text
			if (newest !== disk.text && !saving && !clash) later(afterMs)
		},
		onDisk: () => disk,
		busy: () => saving,
		took(stored) {
			disk = { text: stored.text, revision: stored.revision }
			newest = stored.text
		},
		settle(which) {
			if (!clash) return
			disk = { text: clash.now.text, revision: clash.now.revision }
			if (which === 'theirs') newest = disk.text
			unanswered.clear()
			clash = undefined
			told({ state: 'saved' })
			if (newest !== disk.text) later(0)
		},
		flush() {
			if (!saving && !clash && newest !== disk.text) void save(newest, disk.revision).catch(() => undefined)
		},
		stop() {
			stopped = true
			clearTimeout(timer)
		},
	}
}
