/** Edges as they came out of the paint, typed in line by line. */
import type { PaintedRow } from '../paintedRows.ts'
import type { Bench, PanelData } from './bench.ts'
import { Control } from './fields.tsx'
import { downColumn, entryOfRow, type ToldList, writeRow } from './told.ts'
import { ToldTable } from './toldTable.tsx'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly PaintedRow[]
}

export const PaintedLedger = (own: Own) => (
	<ToldTable
		{...own}
		list="painted"
		head={(side, unit) => `${side || 'Girth'}, ${unit}`}
		cell={(told, row, column) => <Blank told={told} row={row} column={column} />}
	/>
)

function Blank({ told, row, column }: { readonly told: ToldList; readonly row: PaintedRow; readonly column: number }) {
	const { line, side, station, plan, off } = row
	return (
		<span class="blank">
			<Control
				cell={{ key: 'girth', says: 'girth', kind: 'length', sign: 'not-negative' }}
				value={entryOfRow(told, row)?.girth}
				unit={told.unit}
				label={`${line}, ${side ? `${side} ` : ''}station ${station}, girth as painted`}
				column={column}
				pressed={downColumn}
				write={(next) => writeRow(told, row, 'girth', next, 'girth')}
			/>
			<span class="told-words">{off ?? (plan && `plan ${plan}`)}</span>
		</span>
	)
}
