/** Strips held against the old paint: what each tick misses it by, and which way. */
import type { ProofRow } from '../proofView.ts'
import { byLine } from '../toldRows.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { Control, unitOf } from './fields.tsx'
import { downColumn, entryOfRow, type ToldList, writeRow } from './told.ts'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly ProofRow[]
}

export function ProofLedger({ bench, panel, index, rows }: Own) {
	const unit = unitOf(bench)
	const told: ToldList = {
		...{ bench, unit, list: ['panels', index, 'proof'] },
		entries: (Array.isArray(panel.proof) ? panel.proof : []) as readonly Data[],
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
								{(sided ? ['Left', 'Right'] : ['']).map((head) => (
									<th key={head} scope="col">
										{head} misses by, {unit}
									</th>
								))}
							</tr>
						</thead>
						<tbody>
							{stations.map(({ station, left, right, only }) => (
								<tr key={station}>
									<th scope="row">{station}</th>
									{(sided ? [left ?? only, right] : [only]).map((row, column) => (
										<td key={row?.side ?? String(column)} class={row?.over ? 'over' : ''}>
											{row && <Tick told={told} row={row} column={column} />}
										</td>
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
