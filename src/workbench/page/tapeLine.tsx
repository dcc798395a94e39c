/** Tape: the plan step by step, the order of the paints, what the masking leaves, and edges as they came out of the paint. */
import { useEffect } from 'preact/hooks'
import { paintedRows } from '../paintedRows.ts'
import type { Data } from './bench.ts'
import { Form, unitOf } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { OrderPart } from './orderPart.tsx'
import { PaintedLedger } from './paintedLedger.tsx'
import { type Printable, PrintButtons, PrintSaid } from './printButtons.tsx'
import { Problems } from './problems.tsx'
import { doneOf, isDone, LIST } from './stepDone.ts'

const FILES: readonly Printable[] = [
	{ file: { kind: 'paintwork', name: 'stage-cards.pdf' }, says: 'Stage cards (PDF)' },
	{ file: { kind: 'paintwork', name: 'job-sheet.pdf' }, says: 'Job sheet (PDF)' },
	{ file: { kind: 'paintwork', name: 'tape-schedule.pdf' }, says: 'Tape schedule (PDF)' },
	{ file: { kind: 'paintwork', name: 'stand.html' }, says: 'For a phone at the stand (HTML)' },
	{ file: { kind: 'paintwork', name: 'cautions.pdf' }, says: 'Cautions (PDF)' },
]

export function TapeLine(props: LineProps) {
	const { bench, panel, index, view, problems, papers, paintwork } = props
	const { wantStations } = bench
	useEffect(() => {
		wantStations(true)
		return () => wantStations(false)
	}, [wantStations])
	const painted = (Array.isArray(panel.painted) ? panel.painted : []) as readonly Data[]
	const rows = view ? paintedRows(view.checks, painted, unitOf(bench)) : []
	return (
		<div class="tape-line">
			<PaintworkSaid {...props} />
			{paintwork.view && (
				<p class="hint">
					The step at hand is drawn large, to be read from where you work. The space bar or the arrow right goes on, the arrow
					left back; on a tablet Next and Back.
				</p>
			)}
			<OrderPart bench={bench} paintwork={paintwork} />
			{paintwork.view && (
				<>
					<ThisStep {...props} />
					<Stages {...props} />
				</>
			)}
			{paintwork.view && (
				<>
					<h3>To take to the stand</h3>
					<PrintButtons papers={papers} files={FILES} />
					<PrintSaid papers={papers} />
				</>
			)}
			{rows.length > 0 && (
				<>
					<h3>As it came out of the paint</h3>
					<p class="hint">
						Measured again once tape is off: what lies beside a line that came out elsewhere follows it. Leave blank what came out
						as planned.
					</p>
					<PaintedLedger bench={bench} panel={panel} index={index} rows={rows} />
				</>
			)}
			<Problems problems={problems} bench={bench} />
		</div>
	)
}

/** While there is nothing to show, why. */
export function PaintworkSaid({ bench, paintwork }: LineProps) {
	const { view, nothing, stale, fault } = paintwork
	const wrong = bench.problems.some(({ severity }) => severity === 'error')
	return (
		<p class="count" role="status">
			{fault !== undefined
				? `Tape and paint could not be worked out, by a fault of this program: ${fault}. The job is as it was.`
				: nothing
					? wrong
						? 'Tape and paint wait until what is wrong in the job is mended.'
						: 'Nothing is painted yet: give stripes and colour fields their paints under Scheme.'
					: stale
						? view
							? 'Working it out anew…'
							: 'Working out what is taped and sprayed when…'
						: ''}
		</p>
	)
}

/** What the record says of the step that is shown. */
function ThisStep({ bench, paintwork }: LineProps) {
	const { step } = paintwork
	const done = step && doneOf(bench, step.id)
	if (!step || !done) return null
	return (
		<fieldset>
			<legend>Done: {step.sentence}</legend>
			<Form
				bench={bench}
				at={[...LIST, done.index]}
				entry={done.entry}
				cells={[
					{ key: 'on', says: 'On', kind: 'words', must: true },
					{ key: 'by', says: 'By', kind: 'words' },
					{ key: 'note', says: 'Note', kind: 'words', long: true },
				]}
			/>
		</fieldset>
	)
}

/** Session by session: how far each panel is, what its masking leaves, and its knife masks. */
function Stages({ bench, paintwork }: LineProps) {
	const { view, step, goTo } = paintwork
	if (!view) return null
	return (
		<>
			<h3>Session by session</h3>
			<ol class="stages">
				{view.stages.map(({ key, session, title, gap, masks }) => {
					const own = view.steps.filter(({ stage }) => stage === key)
					const done = own.filter(({ id }) => isDone(bench, id)).length
					const first = own.find(({ id }) => !isDone(bench, id)) ?? own[0]
					const current = step?.stage === key
					return (
						<li key={key} class={current ? 'current-stage' : ''}>
							<button type="button" aria-current={current ? 'step' : undefined} onClick={() => first && goTo(first.id)}>
								Session {session}, {title}
							</button>
							<span class="stage-done">
								{done} of {own.length} done
							</span>
							<span class={gap.wrong ? 'stage-gap must' : 'stage-gap'}>
								{gap.wrong && 'Look at it: '}
								{gap.says}
							</span>
							{masks.map(({ number, says }) => (
								<span key={number} class="stage-gap">
									{says}
								</span>
							))}
						</li>
					)
				})}
			</ol>
		</>
	)
}
