/** Strips and guides on the old paint, before it is stripped: printed, laid, and their misses typed in. */
import { useEffect, useState } from 'preact/hooks'
import type { LineProps } from './lineProps.ts'
import { PrintButtons, PrintSaid } from './printButtons.tsx'
import { ProofLedger } from './proofLedger.tsx'
import { TableIn } from './tableIn.tsx'

export function ProofPart(props: LineProps) {
	const { bench, panel, index, view, papers } = props
	const [open, setOpen] = useState(() => Array.isArray(panel.proof) && panel.proof.length > 0)
	const { wantStations } = bench
	useEffect(() => {
		wantStations(open)
		return () => wantStations(false)
	}, [open, wantStations])
	return (
		<>
			<h3>On paper</h3>
			<PrintButtons
				papers={papers}
				files={[
					{ file: { kind: 'measuring-sheet', panel: String(panel.id) }, says: 'Measuring sheet (PDF)' },
					{ file: { kind: 'measuring-table', panel: String(panel.id) }, says: 'its table (CSV)' },
					{ file: { kind: 'proof' }, says: 'Strips for the old paint (PDF)' },
					{ file: { kind: 'proof-table' }, says: 'their table (CSV)' },
				]}
			/>
			<PrintSaid papers={papers} />
			<details class="proof-part" open={open} onToggle={(event) => setOpen((event.currentTarget as HTMLDetailsElement).open)}>
				<summary>What the strips missed the old paint by</summary>
				<p class="hint">
					At each tick: how far the original line lies from it, along the strip, and which way. 0 where it meets it. Three ticks
					or more on each side make a line safe to strip.
				</p>
				{view && view.proof.lines.length > 0 && (
					<ul class="said" role="status">
						{view.proof.lines.map(({ safe, says }) => (
							<li key={says} class={safe ? 'go' : 're-lay'}>
								{says}
							</li>
						))}
					</ul>
				)}
				{open && view && <ProofLedger bench={bench} panel={panel} index={index} rows={view.proof.rows} />}
			</details>
			<TableIn {...props} />
		</>
	)
}
