/** The job card: the lines of the job down the left, the panel drawn large beside them. */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import type { PictureDrag } from '../pictureDrag.ts'
import type { PanelView } from '../view.ts'
import type { StoredText } from '../wire.ts'
import { type Bench, type PanelData, useBench } from './bench.ts'
import { DecalsLine } from './decalsLine.tsx'
import { FilmStand } from './filmStand.tsx'
import { hookOf } from './firstThree.tsx'
import { FloorPicture } from './floor.tsx'
import { type LineProps, panelTitle } from './lineProps.ts'
import { LINES, type LineId, lineOf, panelOf } from './lines.ts'
import { Measure } from './measure.tsx'
import { Mend } from './mend.tsx'
import { PaintLine } from './paintLine.tsx'
import { PanelLine } from './panelLine.tsx'
import { PanelPicture } from './panelPicture.tsx'
import { usePapers } from './papers.ts'
import { Picture } from './picture.tsx'
import { SchemeLine } from './schemeLine.tsx'
import { ShapeLine } from './shapeLine.tsx'
import { SheetsLine } from './sheetsLine.tsx'
import { useShop } from './shop.ts'
import { SidesLine } from './sidesLine.tsx'
import { SidesPicture } from './sidesPicture.tsx'
import { SignOff } from './signOff.tsx'
import { StepStand } from './stepStand.tsx'
import { Steps } from './steps.tsx'
import { TapeLine } from './tapeLine.tsx'
import { TheJob, UnitOfJob } from './theJob.tsx'
import { usePaintwork } from './usePaintwork.ts'

const CONTENT: Readonly<Record<LineId, (props: LineProps) => preact.JSX.Element | null>> = {
	panel: PanelLine,
	measure: Measure,
	shape: ShapeLine,
	scheme: SchemeLine,
	decals: DecalsLine,
	sides: SidesLine,
	sheets: SheetsLine,
	tape: TapeLine,
	paint: PaintLine,
}

export function JobCard({
	name,
	folder,
	first,
	shop: firstShop,
}: {
	readonly name: string
	readonly folder: string
	readonly first: StoredText
	readonly shop: StoredText | string
}) {
	const shop = useShop(name, firstShop)
	const bench = useBench(name, first, shop.text)
	// A job that nothing was measured for begins at its first line.
	const [line, setLine] = useState<LineId>(() =>
		bench.job?.panels?.some(({ readings }) => readings && readings.length > 0) === false ? 'panel' : 'measure',
	)
	const [focused, setFocused] = useState<number>()
	const [drag, setDrag] = useState<PictureDrag>()
	const papers = usePapers(name, `${folder}/${name}`, bench.text, shop, line === 'sheets')
	const paintwork = usePaintwork(
		papers,
		`${bench.text}\n${shop.text ?? ''}`,
		line === 'tape' || line === 'paint' || line === 'decals',
	)
	const goTo = (id: LineId) => {
		setLine(id)
		setFocused(undefined)
	}
	useKeys(bench)
	useInView(line)
	const panels = bench.job?.panels ?? []
	const index = Math.max(
		0,
		panels.findIndex(({ id }) => id === bench.looked),
	)
	const panel = panels[index]
	const view = bench.view?.panels.find(({ id }) => id === panel?.id)
	const wrong = useMemo(
		() =>
			new Set(
				(view?.readings ?? []).flatMap(({ numbers, said, index: i }) =>
					said.length > 0 || numbers.some((n) => n.setAside) ? namesIn(panel, i) : [],
				),
			),
		[view, panel],
	)
	const scenes = useLastSeen(
		view,
		panel?.id,
		bench.problems.some((p) => panelOf(p) === index && p.severity === 'error'),
	)
	if (!bench.job || (!bench.view && bench.problems.some(({ severity }) => severity === 'error'))) return <Mend bench={bench} />
	if (!panel) return <Mend bench={bench} />
	const problems = [...bench.problems, ...paintwork.problems]
	const own = problems.filter((p) => panelOf(p) === index || panelOf(p) === undefined)
	const Content = CONTENT[line]
	return (
		<div class={line === 'tape' ? 'bench at-stand' : 'bench'}>
			<header class="head">
				<a class="all-jobs" href="#/">
					All jobs
				</a>
				<h1>{String(bench.job.title ?? name)}</h1>
				<UnitOfJob bench={bench} papers={papers} />
				<Kept bench={bench} />
				{bench.fault !== undefined && (
					<p class="kept must" role="alert">
						A fault of this program: {bench.fault}. The picture is as it was before; what you type is saved all the same.
					</p>
				)}
				<Steps bench={bench} />
			</header>
			<section class="card" aria-label="Job card">
				<TheJob bench={bench} />
				<label class="which-panel">
					Panel
					<select value={panel.id} onChange={(event) => bench.look(event.currentTarget.value)}>
						{panels.map((each, i) => (
							<option key={each.id} value={each.id}>
								{panelTitle(each)}
								{counted(problems.filter((p) => panelOf(p) === i))}
							</option>
						))}
					</select>
				</label>
				<ol class="lines">
					{LINES.map(({ id, title, about }) => {
						const open = own.filter((p) => lineOf(p) === id && p.severity !== 'note')
						const current = id === line
						return (
							<li key={id} class={current ? 'current' : ''}>
								<button type="button" class="line-head" aria-expanded={current} onClick={() => goTo(id)}>
									<span class="line-title">{title}</span>
									<span class={open.some(({ severity }) => severity === 'error') ? 'line-open must' : 'line-open'}>
										{open.length === 0 ? about : `${open.length} open`}
									</span>
								</button>
								{current && (
									<div class="line-body">
										<Content
											// figures that are half typed anywhere are not to be read in another unit
											key={bench.job?.unit}
											bench={bench}
											place={`${folder}/${name}`}
											panel={panel}
											index={index}
											view={view}
											artwork={bench.view?.artwork ?? []}
											problems={own.filter((p) => lineOf(p) === id)}
											focused={focused}
											focus={setFocused}
											drag={setDrag}
											papers={papers}
											shop={shop}
											paintwork={paintwork}
										/>
										<SignOff bench={bench} line={id} panel={panel.id ?? ''} />
									</div>
								)}
							</li>
						)
					})}
				</ol>
			</section>
			<main class="stand">
				{view && scenes.length === 0 && !bench.stale && line !== 'sheets' && (
					<div class="first-picture">
						<PanelPicture hand={String(panel.hand ?? 'centre')} hook={hookOf(panel)} />
					</div>
				)}
				{line === 'tape' && paintwork.step ? (
					<StepStand bench={bench} paintwork={paintwork} />
				) : line === 'paint' && paintwork.view ? (
					<FilmStand panel={panel.id ?? ''} paintwork={paintwork} />
				) : line === 'sheets' && papers.floor && papers.floor.count > 0 ? (
					<FloorPicture floor={papers.floor} stale={papers.stale} />
				) : line === 'sides' && view && (view.both.overlay || view.both.taped) ? (
					<SidesPicture both={view.both} stale={bench.stale} />
				) : (
					<Picture
						panel={panel.id ?? ''}
						revision={bench.view?.revision ?? ''}
						describe={`${panelTitle(panel)} as one looks at its painted side`}
						scenes={scenes}
						readings={view?.readings ?? []}
						focused={focused}
						says={saysOf(panel, focused, bench.job.unit ?? 'mm')}
						wrong={wrong}
						unit={bench.job.unit === 'in' ? 'in' : 'mm'}
						stale={bench.stale || (scenes.length > 0 && scenes !== view?.scenes)}
						drag={drag}
						picked={(reading) => {
							setLine('measure')
							setFocused(reading)
						}}
					/>
				)}
			</main>
		</div>
	)
}

const counted = (problems: readonly Problem[]) => {
	const open = problems.filter(({ severity }) => severity !== 'note').length
	return open === 0 ? '' : ` (${open} open)`
}

/** The scenes of a panel; where an error keeps it from being worked out, those that were seen of it last. */
function useLastSeen(view: PanelView | undefined, id: string | undefined, wrong: boolean): PanelView['scenes'] {
	const last = useRef<{ readonly id: string | undefined; readonly scenes: PanelView['scenes'] }>({ id, scenes: [] })
	const scenes = view?.scenes ?? NONE
	if (scenes.length > 0 || !wrong) last.current = { id, scenes }
	return scenes.length === 0 && wrong && last.current.id === id ? last.current.scenes : scenes
}
const NONE: PanelView['scenes'] = []

/** What was typed for a reading, with the unit where it has none. */
function saysOf(panel: PanelData, focused: number | undefined, unit: string): string | undefined {
	const reading = focused === undefined ? undefined : panel.readings?.[focused]
	const value = reading?.girth ?? reading?.length ?? reading?.distance ?? reading?.width
	if (value === undefined) return undefined
	return typeof value === 'number' || !/[a-z"']/i.test(String(value)) ? `${value} ${unit}` : String(value)
}

const namesIn = (panel: PanelData | undefined, index: number): string[] => {
	const reading = panel?.readings?.[index]
	const side = reading?.side === 'left' || reading?.side === 'right' ? reading.side : undefined
	return [reading?.mark, reading?.from, reading?.to].flatMap((name) =>
		typeof name === 'string' ? (side && !name.includes('/') ? [name, `${side}/${name}`] : [name]) : [],
	)
}

/** A line that is opened begins at the top of the card, however tall the one was that was closed above it. */
function useInView(line: LineId) {
	const before = useRef(line)
	useLayoutEffect(() => {
		if (before.current === line) return
		before.current = line
		document.querySelector('.lines > .current')?.scrollIntoView({ block: 'start' })
	}, [line])
}

/** Ctrl-Z and Ctrl-Y over everything, also while a cell has the focus: its text is the job's. */
function useKeys({ undo, redo }: Bench) {
	useEffect(() => {
		const pressed = (event: KeyboardEvent) => {
			if (!(event.ctrlKey || event.metaKey) || event.altKey) return
			const key = event.key.toLowerCase()
			if (key !== 'z' && key !== 'y') return
			event.preventDefault()
			if (key === 'y' || event.shiftKey) redo()
			else undo()
		}
		addEventListener('keydown', pressed)
		return () => removeEventListener('keydown', pressed)
	}, [undo, redo])
}

/** Whether everything typed is on the disk, in words. */
function Kept({ bench }: { readonly bench: Bench }) {
	const { keeping } = bench
	switch (keeping.state) {
		case 'saved':
			return (
				<p class="kept" role="status">
					Everything is saved
				</p>
			)
		case 'saving':
			return (
				<p class="kept" role="status">
					Saving…
				</p>
			)
		case 'gone':
			return (
				<p class="kept must" role="alert">
					The program that keeps the files does not answer. What you type is kept on this page and saved when it is back.
				</p>
			)
		case 'refused':
			return (
				<p class="kept must" role="alert">
					Not saved: {keeping.why} What you type is kept on this page, and tried again.
				</p>
			)
		case 'changed':
			return (
				<div class="kept must" role="alert">
					<p>The job’s file was changed elsewhere. Both are kept.</p>
					<button type="button" onClick={() => bench.settle('theirs')}>
						Take the changed file
					</button>
					<button type="button" onClick={() => bench.settle('ours')}>
						Keep what is here
					</button>
				</div>
			)
	}
}
