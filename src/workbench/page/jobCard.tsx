/** The job card: the lines of the job down the left, the panel drawn large beside them. */
import { useEffect, useMemo, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import type { BandDrag } from '../bandDrag.ts'
import type { StoredText } from '../wire.ts'
import { type Bench, type PanelData, useBench } from './bench.ts'
import { type LineProps, panelTitle } from './lineProps.ts'
import { LINES, type LineId, lineOf, panelOf } from './lines.ts'
import { Measure } from './measure.tsx'
import { Mend } from './mend.tsx'
import { PanelLine } from './panelLine.tsx'
import { Picture } from './picture.tsx'
import { SchemeLine } from './schemeLine.tsx'
import { ShapeLine } from './shapeLine.tsx'
import { SheetsLine } from './sheetsLine.tsx'
import { SidesLine } from './sidesLine.tsx'
import { SignOff } from './signOff.tsx'

const CONTENT: Readonly<Record<LineId, (props: LineProps) => preact.JSX.Element | null>> = {
	panel: PanelLine,
	measure: Measure,
	shape: ShapeLine,
	scheme: SchemeLine,
	sides: SidesLine,
	sheets: SheetsLine,
}

export function JobCard({
	name,
	first,
	shop,
}: {
	readonly name: string
	readonly first: StoredText
	readonly shop: string | undefined
}) {
	const bench = useBench(name, first, shop)
	// A job that nothing was measured for begins at its first line.
	const [line, setLine] = useState<LineId>(() =>
		bench.job?.panels?.some(({ readings }) => readings && readings.length > 0) === false ? 'panel' : 'measure',
	)
	const [focused, setFocused] = useState<number>()
	const [drag, setDrag] = useState<BandDrag>()
	useKeys(bench)
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
	if (!bench.job || (!bench.view && bench.problems.some(({ severity }) => severity === 'error'))) return <Mend bench={bench} />
	if (!panel) return <Mend bench={bench} />
	const own = bench.problems.filter((p) => panelOf(p) === index || panelOf(p) === undefined)
	const Content = CONTENT[line]
	return (
		<div class="bench">
			<header class="head">
				<a class="all-jobs" href="#/">
					All jobs
				</a>
				<h1>{String(bench.job.title ?? name)}</h1>
				<Kept bench={bench} />
				<div class="steps">
					<button type="button" disabled={!bench.canUndo} onClick={bench.undo}>
						Undo
					</button>
					<button type="button" disabled={!bench.canRedo} onClick={bench.redo}>
						Redo
					</button>
				</div>
			</header>
			<section class="card" aria-label="Job card">
				<label class="which-panel">
					Panel
					<select value={panel.id} onChange={(event) => bench.look(event.currentTarget.value)}>
						{panels.map((each, i) => (
							<option key={each.id} value={each.id}>
								{panelTitle(each)}
								{counted(bench.problems.filter((p) => panelOf(p) === i))}
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
								<button type="button" class="line-head" aria-expanded={current} onClick={() => setLine(id)}>
									<span class="line-title">{title}</span>
									<span class={open.some(({ severity }) => severity === 'error') ? 'line-open must' : 'line-open'}>
										{open.length === 0 ? about : `${open.length} open`}
									</span>
								</button>
								{current && (
									<div class="line-body">
										<Content
											bench={bench}
											panel={panel}
											index={index}
											view={view}
											problems={own.filter((p) => lineOf(p) === id)}
											focused={focused}
											focus={setFocused}
											drag={setDrag}
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
				<Picture
					panel={panel.id ?? ''}
					describe={`${panelTitle(panel)} as one looks at its painted side`}
					scenes={view?.scenes ?? []}
					readings={view?.readings ?? []}
					focused={focused}
					says={saysOf(panel, focused, bench.job.unit ?? 'mm')}
					wrong={wrong}
					stale={bench.stale}
					drag={drag}
					picked={(reading) => {
						setLine('measure')
						setFocused(reading)
					}}
				/>
			</main>
		</div>
	)
}

const counted = (problems: readonly Problem[]) => {
	const open = problems.filter(({ severity }) => severity !== 'note').length
	return open === 0 ? '' : ` (${open} open)`
}

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
