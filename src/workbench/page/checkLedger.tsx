/** The tape before anything is sprayed: a blank for each telling station, and beside what is typed go, look again, or lay again. */
import type { CheckRow } from '../checkView.ts'
import { byLine } from '../toldRows.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { Control, unitOf } from './fields.tsx'
import { downColumn, entryOfRow, type ToldList, writeRow } from './told.ts'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly CheckRow[]
}

export function CheckLedger({ bench, panel, index, rows }: Own) {
	const unit = unitOf(bench)
	const told: ToldList = {
		...{ bench, unit, list: ['panels', index, 'checks'] },
		entries: (Array.isArray(panel.checks) ? panel.checks : []) as readonly Data[],
	}
	return (
		<div class={bench.stale ? 'told stale' : 'told'}>
			{byLine(rows).map(({ line, name, stations }) => {
				const sided = stations.some(({ left, right }) => left || right)
				return (
					<table key={line} class="ledger">
						<caption>
							<strong>{line}</strong>
							{name !== line && `, ${name}`}
						</caption>
						<thead>
							<tr>
								<th scope="col">Station</th>
								{(sided ? ['Left', 'Right'] : ['Girth']).map((head) => (
									<th key={head} scope="col">
										{head}, {unit}
									</th>
								))}
							</tr>
						</thead>
						<tbody>
							{stations.map(({ station, left, right, only }) => (
								<tr key={station}>
									<th scope="row">{station}</th>
									{(sided ? [left ?? only, right] : [only]).map((row, column) => (
										<td key={row?.side ?? String(column)}>{row && <Blank told={told} row={row} column={column} />}</td>
									))}
								</tr>
							))}
						</tbody>
					</table>
				)
			})}
		</div>
	)
}

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
