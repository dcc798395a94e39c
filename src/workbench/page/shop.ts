/** The shop's file as the page has it: changed by steps that can be made again on a text that was changed elsewhere. */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import { type History, historyOf, redo, stepTo, undo } from '../history.ts'
import { newShop } from '../shopEdits.ts'
import type { StoredText } from '../wire.ts'
import { readShop, saveShop } from './api.ts'

export interface Shop {
	/** undefined where there is none yet */
	readonly text: string | undefined
	/** there is a file, and what it says could not be had: why */
	readonly unread: string | undefined
	/** as a person would name it */
	readonly file: string
	/** why it could not be read, or the last change could not be saved */
	readonly trouble: string | undefined
	/** the text as the change makes it, saved; true where that went well */
	change(how: (text: string | undefined) => string): Promise<boolean>
	/** whether the last change made here still stands and can be taken back, and one that was taken back made again */
	readonly canUndo: boolean
	readonly canRedo: boolean
	undo(): Promise<void>
	redo(): Promise<void>
}

/** Changed elsewhere as often as this while it is saved, it is left alone. */
const MOST_TRIES = 5

export function useShop(name: string, first: StoredText | string): Shop {
	const [stored, setStored] = useState<StoredText>(() => (typeof first === 'string' ? NONE : first))
	const [trouble, setTrouble] = useState(typeof first === 'string' ? first : undefined)
	const newest = useRef(stored)
	// The shop is not this job's alone: its steps are its own, and go no further back than the file was changed elsewhere.
	const [steps, showSteps] = useState<History>(() => historyOf(stored.text))
	const made = useRef(steps)
	const setSteps = useCallback((next: History) => {
		made.current = next
		showSteps(next)
	}, [])
	// One change after another: each is made of what the one before it left.
	const queue = useRef<Promise<unknown>>(Promise.resolve())
	const inTurn = useCallback(<T>(what: () => Promise<T>): Promise<T> => {
		const turn = queue.current.then(what)
		queue.current = turn.catch(() => undefined)
		return turn
	}, [])
	const take = useCallback((next: StoredText) => {
		newest.current = next
		setStored(next)
	}, [])

	// An editor may have changed it while the page was out of sight.
	useEffect(() => {
		const again = () =>
			readShop(name).then(
				(next) => {
					if (next.text !== newest.current.text) take(next)
					setTrouble(undefined)
				},
				// said when something is saved
				() => {},
			)
		addEventListener('focus', again)
		return () => removeEventListener('focus', again)
	}, [name, take])

	/** The text before and after; undefined where it could not be saved. */
	const write = useCallback(
		async (how: (text: string) => string): Promise<readonly [before: string, after: string] | undefined> => {
			try {
				for (let i = 0; i < MOST_TRIES; i++) {
					const { text, revision, file } = newest.current
					const next = how(text)
					const answer = await saveShop(name, next, revision)
					if (!('now' in answer)) {
						take({ text: next, revision: answer.revision, file })
						setTrouble(undefined)
						return [text, next]
					}
					take(answer.now)
				}
				throw new Error('it is being changed elsewhere')
			} catch (error) {
				setTrouble((error as Error).message)
				return undefined
			}
		},
		[name, take],
	)
	const change = useCallback(
		(how: (text: string | undefined) => string): Promise<boolean> =>
			inTurn(async () => {
				const written = await write((text) => how(text === '' ? undefined : text))
				if (!written) return false
				const [before, after] = written
				setSteps(stepTo(made.current.now === before ? made.current : historyOf(before), after))
				return true
			}),
		[write],
	)
	const go = (which: (steps: History) => History): Promise<void> =>
		inTurn(async () => {
			const { now: from } = made.current
			const next = which(made.current)
			// where there was no file yet there is an empty shop
			const now = next.now || newShop('mm')
			const written = await write((text) => (text === from ? now : text))
			if (written?.[0] === from) setSteps({ ...next, now })
		})
	const still = steps.now === stored.text
	return {
		...{ text: stored.text === '' ? undefined : stored.text, file: stored.file, trouble, change },
		unread: stored === NONE ? trouble : undefined,
		...{ canUndo: still && steps.past.length > 0, canRedo: still && steps.future.length > 0 },
		...{ undo: () => go(undo), redo: () => go(redo) },
	}
}

const NONE: StoredText = { text: '', revision: 0, file: 'shop.jsonc' }
