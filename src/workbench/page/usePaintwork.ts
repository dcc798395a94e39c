/** Tape and paint as the page has them: asked for while they are looked at, the last good answer shown until there is a newer one. */
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import type { StepWords } from '../../report/stepWords.ts'
import type { PaintworkView } from '../paintworkView.ts'
import type { PaperAnswer } from './messages.ts'
import type { Papers } from './papers.ts'

export interface PaintworkBench {
	readonly view: PaintworkView | undefined
	/** of another text than the job's now, or not there yet */
	readonly stale: boolean
	/** it was worked out, and nothing is painted */
	readonly nothing: boolean
	/** of the answer that is shown */
	readonly problems: readonly Problem[]
	readonly fault: string | undefined
	/** SVG of a stage, or of "films/PANEL"; undefined while it is drawn */
	picture(key: string): string | undefined
	/** the step that is shown at the stand */
	readonly step: StepWords | undefined
	/** its place among all */
	readonly at: number
	goTo(id: string): void
	next(by: 1 | -1): void
}

/** Typing is over when nothing was typed for so long, ms. */
const REST_MS = 350

interface Known {
	readonly of: string
	readonly answer: PaperAnswer
}

/** `question` changes with the texts of the job and of the shop; nothing is asked while it is not `shown`. */
export function usePaintwork(papers: Papers, question: string, shown: boolean): PaintworkBench {
	const [known, setKnown] = useState<Known>()
	const [good, setGood] = useState<PaintworkView>()
	const [chosen, setChosen] = useState<string>()
	const ask = useRef(papers.ask)
	ask.current = papers.ask
	const asked = useRef<string | undefined>(undefined)
	const busy = useRef(false)
	const run = useCallback(async () => {
		if (busy.current) return
		busy.current = true
		// of what was asked meanwhile only the newest is worked out
		for (let of = asked.current; of !== undefined; ) {
			const answer = await ask.current({ what: 'paintwork' })
			if (!answer) break
			if (asked.current === of) {
				asked.current = undefined
				setKnown({ of, answer })
				if (answer.paintwork) setGood(answer.paintwork)
			}
			of = asked.current
		}
		busy.current = false
	}, [])
	useEffect(() => {
		if (!shown || known?.of === question) return
		const rest = setTimeout(() => {
			asked.current = question
			void run()
		}, REST_MS)
		return () => clearTimeout(rest)
	}, [shown, question, known?.of])
	const fresh = known?.of === question
	const nothing = fresh && known.answer.paintwork === undefined && known.answer.fault === undefined
	const view = nothing ? undefined : good
	const steps = view?.steps ?? []
	const first = steps.findIndex(({ done }) => done === undefined)
	const place = steps.findIndex(({ id }) => id === chosen)
	const at = place >= 0 ? place : Math.max(0, first)
	const step = steps[at]
	const picture = usePictures(papers, view?.revision ?? '', question, fresh)
	return {
		...{ view, nothing, stale: !fresh || (known.answer.paintwork === undefined && !nothing) },
		...{ problems: fresh ? known.answer.problems : [], fault: fresh ? known.answer.fault : undefined },
		...{ picture, step, at, goTo: setChosen },
		next: (by) => setChosen(steps[Math.min(steps.length - 1, Math.max(0, at + by))]?.id),
	}
}

/** Pictures by their keys: each is drawn once for a job as it stands, the last one shown until then. */
function usePictures(papers: Papers, revision: string, question: string, fresh: boolean): (key: string) => string | undefined {
	const [drawn, setDrawn] = useState<ReadonlyMap<string, { readonly of: string; readonly svg: string }>>(new Map())
	const waiting = useRef(new Set<string>())
	const wanted = useRef(new Set<string>())
	useEffect(() => {
		if (!fresh) return
		for (const key of wanted.current) {
			const name = `${revision} ${question.length} ${key}`
			if (drawn.get(key)?.of === question || waiting.current.has(name)) continue
			waiting.current.add(name)
			void papers.ask({ what: 'picture', of: key }).then((answer) => {
				waiting.current.delete(name)
				const svg = answer?.picture
				if (svg !== undefined) setDrawn((before) => new Map(before).set(key, { of: question, svg }))
			})
		}
		wanted.current = new Set()
	})
	return (key) => {
		wanted.current.add(key)
		return drawn.get(key)?.svg
	}
}
