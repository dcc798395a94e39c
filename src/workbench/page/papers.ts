/** What a job is on paper, for the page: the sheets as they lie, files to be downloaded, tables to be entered. */

import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import type { Unit } from '../../units/length.ts'
import type { FloorView, Stock } from '../floorView.ts'
import type { FileWanted, MadeFile } from '../prints.ts'
import { filesOf } from './api.ts'
import type { EnterWanted, OnPaper, PaperAnswer, PaperAsk } from './messages.ts'
import { type PaperThread, startPaperThread } from './paperThread.ts'
import type { Shop } from './shop.ts'

export type Choice = Omit<OnPaper, 'folder'>

export interface Papers {
	/** the last that could be laid out; `stale` where it is of another text or another paper */
	readonly floor: FloorView | undefined
	readonly stock: Stock | undefined
	readonly stale: boolean
	/** what keeps panels or sheets from being made */
	readonly problems: readonly Problem[]
	readonly fault: string | undefined
	/** what was chosen here in place of the shop's */
	readonly choice: Choice
	choose(choice: Choice): void
	/** what is being made, in words; what was made last, or why it could not be */
	readonly making: string | undefined
	readonly said: { readonly made?: string; readonly problems?: readonly Problem[]; readonly fault?: string } | undefined
	/** makes a file and hands it to the browser to keep */
	make(file: FileWanted, called: string): Promise<void>
	/** a filled table entered into the text of a job: nothing is written */
	enter(job: string, table: Omit<EnterWanted, 'what'>): Promise<PaperAnswer>
	/** tape and paint, and their pictures, of the job as it stands, or a drawing that is dropped; undefined where the page is being left */
	ask(want: Extract<PaperAsk['want'], { readonly what: 'paintwork' | 'picture' | 'drawing' }>): Promise<PaperAnswer | undefined>
	/** the text of a job with another unit; undefined where it is none: nothing is written */
	inUnit(job: string, unit: Unit): Promise<string | undefined>
}

interface Laid {
	readonly answer?: PaperAnswer
	/** the question that it answers */
	readonly of?: string
	readonly floor?: FloorView
	readonly stock?: Stock
}

/** `shown`: the floor is looked at, so it is kept up to date. */
export function usePapers(
	name: string,
	/** which job of which folder it is, for what the browser keeps of it */
	place: string,
	job: string,
	{ text: shop, unread }: Pick<Shop, 'text' | 'unread'>,
	shown: boolean,
): Papers {
	const thread = useRef<PaperThread | undefined>(undefined)
	const [choice, choose] = useChoice(place)
	const [laid, setLaid] = useState<Laid>({})
	const [making, setMaking] = useState<string>()
	const [said, setSaid] = useState<Papers['said']>()
	const texts = {
		job,
		files: filesOf(name),
		...(shop === undefined ? {} : { shop }),
		...(unread === undefined ? {} : { shopTrouble: unread }),
	}
	const on: OnPaper = { folder: name, ...choice }
	const question = JSON.stringify([texts, on])

	useEffect(() => {
		const started = startPaperThread()
		thread.current = started
		return () => started.stop()
	}, [])

	// One layout at a time; of what was asked meanwhile only the newest is laid out, and an answer that is no longer asked for is dropped.
	const wanted = useRef<{ readonly key: string; readonly ask: Omit<PaperAsk, 'id'> } | undefined>(undefined)
	const busy = useRef(false)
	const layOut = useCallback(async () => {
		if (busy.current) return
		busy.current = true
		for (let asked = wanted.current; asked; ) {
			const answer = await thread.current?.ask(asked.ask)
			if (!answer) break
			const { key } = asked
			if (wanted.current === asked) {
				setLaid((before) => ({
					...{ answer, of: key },
					...((answer.floor ?? before.floor) ? { floor: answer.floor ?? before.floor } : {}),
					...((answer.stock ?? before.stock) ? { stock: answer.stock ?? before.stock } : {}),
				}))
				wanted.current = undefined
			}
			asked = wanted.current
		}
		busy.current = false
	}, [])
	useEffect(() => {
		if (!shown || laid.of === question) return
		wanted.current = { key: question, ask: { ...texts, want: { what: 'floor', ...on } } }
		void layOut()
	}, [shown, question])

	return {
		floor: laid.floor,
		stock: laid.stock,
		stale: laid.of !== question || laid.answer?.floor === undefined,
		problems: laid.of === question ? (laid.answer?.problems ?? []) : [],
		fault: laid.of === question ? laid.answer?.fault : undefined,
		...{ choice, choose, making, said },
		async make(file, called) {
			setMaking(called)
			setSaid(undefined)
			const answer = await thread.current?.ask({ ...texts, want: { what: 'file', file, ...on } })
			setMaking(undefined)
			if (!answer) return
			if (answer.file) keep(answer.file)
			const { problems, fault } = answer
			setSaid({ ...(answer.file ? { made: answer.file.name } : {}), problems, ...(fault === undefined ? {} : { fault }) })
		},
		async enter(text, table) {
			const answer = await thread.current?.ask({ ...texts, job: text, want: { what: 'enter', ...table } })
			return answer ?? { id: 0, problems: [], fault: 'the page is being left' }
		},
		ask: async (want) => thread.current?.ask({ ...texts, want }),
		async inUnit(text, unit) {
			return (await thread.current?.ask({ ...texts, job: text, want: { what: 'unit', unit } }))?.rewritten
		},
	}
}

/** What was chosen for a job is chosen again when the page is opened anew. */
function useChoice(place: string): readonly [Choice, (choice: Choice) => void] {
	const key = `paper ${place}`
	const [choice, setChoice] = useState<Choice>(() => {
		try {
			return JSON.parse(localStorage.getItem(key) ?? '{}') as Choice
		} catch {
			return {}
		}
	})
	return [
		choice,
		(next) => {
			setChoice(next)
			// which panels, and whether mirrored, is for this once
			const { only: _, mirrored: __, ...kept } = next
			if (Object.keys(kept).length === 0) localStorage.removeItem(key)
			else localStorage.setItem(key, JSON.stringify(kept))
		},
	]
}

/** Long enough for the browser to have taken it, ms. */
const KEEP_MS = 60_000

function keep({ name, type, bytes }: MadeFile): void {
	const address = URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }))
	const link = document.createElement('a')
	link.href = address
	link.download = name
	link.click()
	setTimeout(() => URL.revokeObjectURL(address), KEEP_MS)
}
