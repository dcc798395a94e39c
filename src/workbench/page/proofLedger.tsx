/** Strips held against the old paint: what each tick misses it by, and which way. */
import type { ProofRow } from '../proofView.ts'
import type { Bench, PanelData } from './bench.ts'
import { Control } from './fields.tsx'
import { downColumn, entryOfRow, type ToldList, writeRow } from './told.ts'
import { ToldTable } from './toldTable.tsx'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly ProofRow[]
}

export const ProofLedger = (own: Own) => (
	<ToldTable
		{...own}
		list="proof"
		head={(side, unit) => `${side} misses by, ${unit}`}
		over={(row) => row.over === true}
		cell={(told, row, column) => <Tick told={told} row={row} column={column} />}
	/>
)

function Tick({ told, row, column }: { readonly told: ToldList; readonly row: ProofRow; readonly column: number }) {
	const entry = entryOfRow(told, row)
	const where = `${row.line}, ${row.side ? `${row.side} ` : ''}station ${row.station}`
	return (
		<span class="tick">
			<Control
				cell={{ key: 'misses', says: 'misses', kind: 'length', sign: 'not-negative' }}
				value={entry?.misses}
				unit={told.unit}
				label={`${where}, misses the old paint by`}
				column={column}
				pressed={downColumn}
				write={(next) => writeRow(told, row, 'misses', next, 'misses')}
			/>
			{entry !== undefined && Number(entry.misses) !== 0 && (
				<Control
					cell={{
						...{ key: 'towards', says: 'way', kind: 'choice', unsaid: 'which way?' },
						of: [
							['inboard', 'inboard'],
							['outboard', 'outboard'],
						],
					}}
					value={entry.towards}
					unit={told.unit}
					label={`${where}, the old paint lies`}
					write={(next) => writeRow(told, row, 'towards', next, 'misses')}
				/>
			)}
			{row.over && entry !== undefined && <span class="told-words re-lay">too far</span>}
		</span>
	)
}
