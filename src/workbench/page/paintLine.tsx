/** Paint: sessions and days, how each paint is sprayed, its cards and its log, films, clear, what to buy. */
import type { PaintworkView, SessionView } from '../paintworkView.ts'
import { ClearPart } from './clearPart.tsx'
import type { LineProps } from './lineProps.ts'
import { LogPart, SprayOutPart } from './logPart.tsx'
import { type Printable, PrintButtons, PrintSaid } from './printButtons.tsx'
import { Problems } from './problems.tsx'
import { SprayedPart } from './sprayedPart.tsx'
import { PaintworkSaid } from './tapeLine.tsx'

const FILES: readonly Printable[] = [
	{ file: { kind: 'paintwork', name: 'paint-schedule.pdf' }, says: 'Paint schedule (PDF)' },
	{ file: { kind: 'paintwork', name: 'shopping-list.pdf' }, says: 'Shopping list (PDF)' },
	{ file: { kind: 'paintwork', name: 'owners-sheet.pdf' }, says: 'Owner’s sheet (PDF)' },
	{ file: { kind: 'paintwork', name: 'stand.html' }, says: 'For a phone at the stand (HTML)' },
]

export function PaintLine(props: LineProps) {
	const { bench, problems, papers, paintwork } = props
	const { view, stale } = paintwork
	return (
		<div class="paint-line">
			<PaintworkSaid {...props} />
			{view && <Sessions view={view} stale={stale} />}
			<SprayedPart bench={bench} view={view} />
			<SprayOutPart bench={bench} />
			<LogPart bench={bench} />
			<ClearPart {...props} />
			{view && (
				<>
					<Shopping view={view} stale={stale} />
					<h3>To keep, to buy by, to hand over</h3>
					<PrintButtons papers={papers} files={FILES} />
					<PrintSaid papers={papers} />
				</>
			)}
			<Problems problems={problems} bench={bench} />
		</div>
	)
}

function Sessions({ view, stale }: { readonly view: PaintworkView; readonly stale: boolean }) {
	return (
		<div class={stale ? 'sessions stale' : 'sessions'}>
			<h3>Sessions</h3>
			<p class="hint">One paint, one mix, the same count of coats on all of its panels. * rests on usual figures.</p>
			<ol class="stages">
				{view.sessions.map((session) => (
					<li key={session.number}>
						<Session session={session} />
					</li>
				))}
			</ol>
		</div>
	)
}

function Session({ session }: { readonly session: SessionView }) {
	const { number, name, panels, day, coats, film, perCoat, ml, cups, waits, assumed } = session
	return (
		<>
			<strong>
				Session {number}: {name}, {day}
			</strong>
			<span class="session-figures" hidden={coats === ''}>
				{coats} {coats === '1' ? 'coat' : 'coats'}, {film}; to mix <b>{ml}</b>
				{assumed.length > 0 && '*'}, {perCoat} a coat, {cups}
			</span>
			<span class="stage-gap">{panels}</span>
			{waits.length > 0 && <span class="stage-gap">{waits.join('; ')}</span>}
			{assumed.length > 0 && <span class="stage-gap">usual figures: {assumed.join(', ')}</span>}
		</>
	)
}

function Shopping({ view, stale }: { readonly view: PaintworkView; readonly stale: boolean }) {
	return (
		<details class="more">
			<summary>What it takes: tape, paint, paper ({view.shopping.length})</summary>
			<table class={stale ? 'step-rows stale' : 'step-rows'}>
				<thead>
					<tr>
						<th scope="col">What</th>
						<th scope="col">Needed</th>
						<th scope="col">To buy</th>
					</tr>
				</thead>
				<tbody>
					{view.shopping.map(({ what, need, buy }) => (
						<tr key={what}>
							<th scope="row">{what}</th>
							<td>{need}</td>
							<td>{buy}</td>
						</tr>
					))}
				</tbody>
			</table>
		</details>
	)
}
