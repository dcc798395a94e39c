/** The state of the page: one job's text with its history, what the engine says of it, and what is on the disk. */
import { type ParseError, parse as parseJson } from 'jsonc-parser'
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import { type Path, withEntry, withList, withoutEntry, withValue } from '../document.ts'
import { type History, historyOf, redo, stepTo, undo } from '../history.ts'
import { type Keeper, type Keeping, startKeeper } from '../keeper.ts'
import type { JobView } from '../view.ts'
import { filesOf, readJob, saveJob, watch } from './api.ts'
import { type Engine, startEngine } from './engine.ts'
import type { Ready } from './messages.ts'

export interface Bench {
	readonly name: string
	readonly text: string
	/** the job as plain data, as written: undefined while the text is no JSON */
	readonly job: JobData | undefined
	/** the last answer that could be worked out; `stale` where the text has gone on since */
	readonly view: JobView | undefined
	readonly stale: boolean
	/** how well lines are known and what to measure next, of the panel that it names */
	readonly ready: Ready | undefined
	readonly problems: readonly Problem[]
	readonly fault: string | undefined
	readonly keeping: Keeping
	readonly canUndo: boolean
	readonly canRedo: boolean
	readonly looked: string | undefined
	look(panel: string): void
	/** whether strip stations are wanted: where tape and old paint are measured */
	wantStations(wanted: boolean): void
	/** steps with the same `doing` that follow each other are taken back as one */
	set(path: Path, value: unknown, doing?: string): void
	insert(list: Path, index: number, value: unknown): void
	remove(list: Path, index: number): void
	/** a list as it is to be, in one step; what stays the same stays as it is written */
	list(path: Path, before: readonly unknown[], after: readonly unknown[], doing?: string): void
	/** any other change of the text, in one step */
	write(text: string, doing?: string): void
	/** the text as it is at this moment, and one in its place that was made of it: false, and nothing changed, where it has gone on since */
	now(): string
	replace(of: string, text: string): boolean
	undo(): void
	redo(): void
	/** of two texts: take the one on the disk, or write ours over it */
	settle(which: 'theirs' | 'ours'): void
}

/** A job file as it is written: nothing checked, lengths as typed. */
export interface JobData {
	readonly title?: string
	readonly unit?: 'mm' | 'in'
	readonly paints?: readonly Data[]
	readonly artwork?: readonly Data[]
	readonly panels?: readonly PanelData[]
	readonly [key: string]: unknown
}
export type Data = Readonly<Record<string, unknown>>
export interface PanelData extends Data {
	readonly id?: string
	readonly readings?: readonly Data[]
	readonly datums?: readonly Data[]
	readonly edges?: readonly Data[]
	readonly stripes?: readonly Data[]
	readonly fields?: readonly Data[]
	readonly decals?: readonly Data[]
}

interface Shown {
	readonly view?: JobView | undefined
	readonly problems: readonly Problem[]
	readonly fault?: string | undefined
	readonly outdated: boolean
}

/** The bench of one job, from its texts on the disk. */
export function useBench(
	name: string,
	first: { readonly text: string; readonly revision: number },
	shop: string | undefined,
): Bench {
	const [history, setHistory] = useState<History>(() => historyOf(first.text))
	const [answer, setAnswer] = useState<Shown>({ problems: [], outdated: false })
	const [busy, setBusy] = useState(false)
	const [ready, setReady] = useState<Ready>()
	const [keeping, setKeeping] = useState<Keeping>({ state: 'saved' })
	const [looked, setLooked] = useState<string>()
	const [stations, setStations] = useState(false)
	const engine = useRef<Engine | undefined>(undefined)
	const text = history.now
	const job = useMemo(() => parse(text), [text])
	// A panel that was taken away, or whose making was taken back, is not looked at any more.
	const seen = job?.panels?.some(({ id }) => id === looked) ? looked : undefined

	// Asked before the page is painted anew: the answer is what one waits for.
	useLayoutEffect(() => {
		engine.current = startEngine(
			// The last good picture stays until there is a better one.
			({ view, problems, fault }) =>
				setAnswer((before) => ({ view: view ?? before.view, problems, fault, outdated: view === undefined })),
			setBusy,
			setReady,
		)
		return () => engine.current?.stop()
	}, [])
	useLayoutEffect(() => {
		engine.current?.ask({
			job: text,
			files: filesOf(name),
			...(shop === undefined ? {} : { shop }),
			...(seen ? { looked: seen } : {}),
			...(stations ? { stations } : {}),
		})
	}, [text, shop, seen, stations, name])

	const keeper = useRef<Keeper | undefined>(undefined)
	useEffect(() => {
		const made = startKeeper(first, { save: (t, revision) => saveJob(name, t, revision), told: setKeeping })
		keeper.current = made
		const leave = () => made.flush()
		addEventListener('pagehide', leave)
		return () => {
			removeEventListener('pagehide', leave)
			made.flush()
			made.stop()
		}
	}, [name])
	useEffect(() => keeper.current?.keep(text), [text])
	// Whoever closes the page while something is not on the disk is asked.
	const unsaved = keeping.state !== 'saved' && keeping.state !== 'saving'
	useEffect(() => {
		if (!unsaved) return
		const ask = (event: BeforeUnloadEvent) => event.preventDefault()
		addEventListener('beforeunload', ask)
		return () => removeEventListener('beforeunload', ask)
	}, [unsaved])

	// A change made elsewhere comes in at once where nothing is unsaved here; else saving finds it.
	const now = useRef(text)
	now.current = text
	useEffect(
		() =>
			watch(name, async (revision) => {
				const kept = keeper.current
				const unsaved = () => kept?.busy() !== false || now.current !== kept.onDisk().text
				if (!kept || revision <= kept.onDisk().revision || unsaved()) return
				const stored = await readJob(name)
				if (unsaved() || stored.revision <= kept.onDisk().revision) return
				kept.took(stored)
				setHistory((h) => stepTo(h, stored.text))
			}),
		[name],
	)

	const write = useCallback((next: string, doing?: string) => setHistory((h) => stepTo(h, next, doing)), [])
	const change = useCallback(
		(how: (text: string) => string, doing?: string) => setHistory((h) => stepTo(h, how(h.now), doing)),
		[],
	)
	return {
		...{ name, text, job, problems: answer.problems, fault: answer.fault, keeping, looked: seen ?? answer.view?.panels[0]?.id },
		...{ canUndo: history.past.length > 0, canRedo: history.future.length > 0 },
		view: answer.view,
		ready,
		stale: busy || answer.outdated,
		look: setLooked,
		wantStations: setStations,
		set: (path, value, doing) => change((t) => withValue(t, path, value), doing),
		insert: (list, index, value) => change((t) => withEntry(t, list, index, value)),
		remove: (list, index) => change((t) => withoutEntry(t, list, index)),
		list: (path, before, after, doing) => change((t) => withList(t, path, before, after), doing),
		write,
		now: () => now.current,
		replace(of, next) {
			if (now.current !== of) return false
			write(next)
			return true
		},
		undo: () => setHistory(undo),
		redo: () => setHistory(redo),
		settle(which) {
			if (keeping.state !== 'changed') return
			const { theirs } = keeping
			if (which === 'theirs') setHistory((h) => stepTo(h, theirs.text))
			keeper.current?.settle(which)
		},
	}
}

/** The values of a text, as written; undefined while it is no JSON. */
function parse(text: string): JobData | undefined {
	const errors: ParseError[] = []
	try {
		const value: unknown = parseJson(text, errors, { allowTrailingComma: true })
		return errors.length === 0 && typeof value === 'object' && value !== null && !Array.isArray(value)
			? (value as JobData)
			: undefined
	} catch {
		// brackets in brackets beyond all depth
		return undefined
	}
}
