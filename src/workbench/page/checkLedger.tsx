/** The tape before anything is sprayed: a blank for each telling station, and beside what is typed go, look again, or lay again. */
import type { CheckRow } from '../checkView.ts'
import type { Bench, PanelData } from './bench.ts'
import { Control } from './fields.tsx'
import { downColumn, entryOfRow, type ToldList, writeRow } from './told.ts'
import { ToldTable } from './toldTable.tsx'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly CheckRow[]
}

export const CheckLedger = (own: Own) => (
	<ToldTable
		{...own}
		list="checks"
		head={(side, unit) => `${side || 'Girth'}, ${unit}`}
		cell={(told, row, column) => <Blank told={told} row={row} column={column} />}
	/>
)

function Blank({ told, row, column }: { readonly told: ToldList; readonly row: CheckRow; readonly column: number }) {
	const value = entryOfRow(told, row)?.girth
	const answer = value === undefined ? undefined : row.answer
	return (
		<span class="blank">
			<Control
				cell={{ key: 'girth', says: 'girth', kind: 'length', sign: 'not-negative' }}
				value={value}
				unit={told.unit}
				label={`${row.line}, ${row.side ?? ''} station ${row.station}, girth as taped`.replace(', station', ' station')}
				column={column}
				pressed={downColumn}
				write={(next) => writeRow(told, row, 'girth', next, 'girth')}
			/>
			<span class={`told-words ${answer?.verdict ?? ''}`}>{answer ? answer.says : row.plan && `plan ${row.plan}`}</span>
		</span>
	)
}
