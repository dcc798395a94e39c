/** What was measured again after filler and primer: templates are made for the panel as it is then. */
import type { Cell } from '../cells.ts'
import { knownNames } from '../marksOf.ts'
import type { Data } from './bench.ts'
import { Form } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { Rows } from './rows.tsx'
import { NOTE } from './schemeWords.ts'
import { listOf, pairs, spot } from './spotCells.ts'

const CARRY: Cell = {
	key: 'carry',
	says: 'The scheme goes over',
	kind: 'choice',
	of: [
		['shift', 'moved alike, all of it'],
		['stations', 'stations in proportion, girths as they were'],
		['proportion', 'stations and girths in proportion'],
	],
	unsaid: 'as much of that as its datums tell',
}
const AGAIN = [
	['tape', 'tape, lying on it'],
	['straight', 'straight, through the air'],
	['width', 'width, across'],
	['gap', 'gap'],
] as const

export function Prepared({ bench, panel, index }: LineProps) {
	const at = ['panels', index, 'prepared'] as const
	const prepared = panel.prepared as Data | undefined
	const datums = (panel.datums ?? []).flatMap(({ id }) => (typeof id === 'string' ? [id] : []))
	const name = (key: string, says: string): Cell => ({ key, says, kind: 'name', known: knownNames(panel), must: true })
	return (
		<details class="more" open={prepared !== undefined}>
			<summary>After filler and primer, measured again</summary>
			<Rows
				bench={bench}
				list={[...at, 'readings']}
				rows={listOf(prepared?.readings)}
				one="length"
				caption="A few lengths taken again, from datum to datum: where the datums lie now follows from them."
				cells={[
					{ key: 'kind', says: 'Taken', kind: 'choice', of: AGAIN },
					name('from', 'From'),
					name('to', 'To'),
					{ key: 'length', says: 'Length', kind: 'length', sign: 'positive', must: true },
				]}
				begin={() => ({ kind: 'tape' })}
				also={[]}
			/>
			<Rows
				bench={bench}
				list={[...at, 'datums']}
				rows={listOf(prepared?.datums)}
				one="datum"
				caption="Or datums, measured again by station and girth."
				cells={[{ key: 'id', says: 'Datum', kind: 'choice', of: pairs(datums) }, ...spot(panel)]}
				begin={() => ({ id: datums[0] })}
				also={[]}
			/>
			{prepared !== undefined && (
				<>
					<Form bench={bench} at={at} entry={prepared} cells={[CARRY, NOTE]} also={['datums', 'readings']} />
					<p>
						<button type="button" onClick={() => bench.set(at, undefined)}>
							Nothing was measured again
						</button>
					</p>
				</>
			)}
		</details>
	)
}
