/** The shop's file as the page has it: changed by steps that can be made again on a text that was changed elsewhere. */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
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
}

/** Changed elsewhere as often as this while it is saved, it is left alone. */
const MOST_TRIES = 5

export function useShop(name: string, first: StoredText | string): Shop {
	const [stored, setStored] = useState<StoredText>(() => (typeof first === 'string' ? NONE : first))
	const [trouble, setTrouble] = useState(typeof first === 'string' ? first : undefined)
	const newest = useRef(stored)
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

	const change = useCallback(
		async (how: (text: string | undefined) => string): Promise<boolean> => {
			try {
				for (let i = 0; i < MOST_TRIES; i++) {
					const { text, revision, file } = newest.current
					const next = how(text === '' ? undefined : text)
					const answer = await saveShop(name, next, revision)
					if (!('now' in answer)) {
						take({ text: next, revision: answer.revision, file })
						setTrouble(undefined)
						return true
					}
					take(answer.now)
				}
				throw new Error('it is being changed elsewhere')
			} catch (error) {
				setTrouble((error as Error).message)
				return false
			}
		},
		[name, take],
	)
	const unread = stored === NONE ? trouble : undefined
	return { text: stored.text === '' ? undefined : stored.text, unread, file: stored.file, trouble, change }
}

const NONE: StoredText = { text: '', revision: 0, file: 'shop.jsonc' }
