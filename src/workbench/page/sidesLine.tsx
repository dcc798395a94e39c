/** Both sides: left against right, which of them each line follows, and the tape before anything is sprayed. */
import { useEffect } from 'preact/hooks'
import type { Cell } from '../cells.ts'
import type { Data } from './bench.ts'
import { CheckLedger } from './checkLedger.tsx'
import { Form } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { PrintButtons, PrintSaid } from './printButtons.tsx'
import { Problems } from './problems.tsx'
import { TableIn } from './tableIn.tsx'

export function SidesLine(props: LineProps) {
	const { bench, panel, index, view, problems, papers } = props
	const { wantStations } = bench
	useEffect(() => {
		wantStations(true)
		return () => wantStations(false)
	}, [wantStations])
	const sided = panel.hand === undefined || panel.hand === 'centre' || panel.hand === 'pair'
	const centreline = view?.both.centreline
	return (
		<div class="sides-line">
			{sided && (
				<>
					<h3>Left against right</h3>
					{view?.sides.length === 0 && <p>Nothing was measured on both sides yet. Read a few marks left and right.</p>}
					<ul class="said">
						{view?.sides.map((text) => (
							<li key={text}>{text}</li>
						))}
						{centreline && !centreline.proven && (
							<li>
								As read, the tape {centreline.lies}: {centreline.move}. That is within what the readings leave by chance: leave
								it.
							</li>
						)}
					</ul>
					<Follows {...props} />
				</>
			)}
			<h3>The tape, before anything is sprayed</h3>
			<p class="hint">
				Lay a measure square off the baseline, along the panel, and type what it reads at the edge where the paint will stop.
			</p>
			<PrintButtons
				papers={papers}
				files={[
					{ file: { kind: 'check-sheet' }, says: 'Check sheet (PDF)' },
					{ file: { kind: 'check-table' }, says: 'its table (CSV)' },
					{ file: { kind: 'sides' }, says: 'Both sides (PDF)' },
				]}
			/>
			<PrintSaid papers={papers} />
			{view && view.taped.length > 0 && (
				<ul class="said" role="status">
					{view.taped.map((text) => (
						<li key={text} class={/: go \(/.test(text) ? 'go' : 're-lay'}>
							{text}
						</li>
					))}
				</ul>
			)}
			{view && view.checks.length > 0 && <CheckLedger bench={bench} panel={panel} index={index} rows={view.checks} />}
			<TableIn {...props} />
			<Problems problems={problems} bench={bench} />
		</div>
	)
}

const SIDES: Cell = {
	...{ key: 'sides', says: '', kind: 'choice', unsaid: 'the mean of both' },
	of: [
		['mean', 'the mean of both, said so'],
		['left', 'the left one, mirrored'],
		['right', 'the right one, mirrored'],
		['each', 'each side as it was'],
	],
}

/** Lines that were measured on both sides. */
function Follows({ bench, panel, index, view }: LineProps) {
	const edges = (panel.edges ?? []) as readonly Data[]
	const both = edges.flatMap((edge, at) => (view?.both.both.includes(String(edge.id)) ? [{ edge, at }] : []))
	if (both.length === 0) return null
	return (
		<>
			<h3>Where they differ, follow</h3>
			{both.map(({ edge, at }) => (
				<Form
					key={String(edge.id)}
					bench={bench}
					at={['panels', index, 'edges', at]}
					entry={edge}
					cells={[{ ...SIDES, says: String(edge.what ?? edge.id) }]}
				/>
			))}
		</>
	)
}
