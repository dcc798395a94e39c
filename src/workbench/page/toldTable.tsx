/** A ledger of figures by line and station, left and right beside each other: what is typed off a printed page. */
import type { ComponentChildren } from 'preact'
import { byLine, type ToldRow } from '../toldRows.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { unitOf } from './fields.tsx'
import type { ToldList } from './told.ts'

interface Own<R> {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly rows: readonly R[]
	/** the list of the panel that the figures are kept in */
	readonly list: 'checks' | 'proof' | 'painted'
	/** over a column: "Left", "Right", or '' where there is one alone */
	readonly head: (side: string, unit: string) => string
	readonly over?: (row: R) => boolean
	readonly cell: (told: ToldList, row: R, column: number) => ComponentChildren
}

export function ToldTable<R extends ToldRow & { readonly name: string; readonly station: string }>({
	bench,
	panel,
	index,
	rows,
	list,
	head,
	over,
	cell,
}: Own<R>) {
	const unit = unitOf(bench)
	const entries = panel[list]
	const told: ToldList = {
		...{ bench, unit, list: ['panels', index, list] },
		entries: (Array.isArray(entries) ? entries : []) as readonly Data[],
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
								{(sided ? ['Left', 'Right'] : ['']).map((side) => (
									<th key={side} scope="col">
										{head(side, unit)}
									</th>
								))}
							</tr>
						</thead>
						<tbody>
							{stations.map(({ station, left, right, only }) => (
								<tr key={station}>
									<th scope="row">{station}</th>
									{(sided ? [left ?? only, right] : [only]).map((row, column) => (
										<td key={row?.side ?? String(column)} class={row && over?.(row) ? 'over' : ''}>
											{row && cell(told, row, column)}
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
