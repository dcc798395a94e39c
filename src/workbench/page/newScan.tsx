/** A scan taken as a panel's shape: its file put beside the job, its unit, and three places known on it and on the vehicle. */
import { useState } from 'preact/hooks'
import { type Cell, valueAt } from '../cells.ts'
import { putFile } from './api.ts'
import type { Bench, Data } from './bench.ts'
import { Control, Labelled, unitOf } from './fields.tsx'

/** Three places fix where a scan sits. */
const PLACES = [0, 1, 2] as const
const UNIT: Cell = {
	key: 'unit',
	says: 'Figures of the scan are in',
	kind: 'choice',
	of: ['mm', 'cm', 'm', 'in'].map((unit) => [unit, unit] as const),
	unsaid: 'not known: guessed, and said',
}
const NAME: Cell = { key: 'id', says: 'Name', kind: 'name', must: true }
const three = (key: string, kind: 'figure' | 'length', says: readonly string[]) =>
	says.map((one, i): Cell => ({ key: [key, i], says: one, kind, must: true }))
const CELLS = [
	NAME,
	...three('scan', 'figure', ['Scan x', 'Scan y', 'Scan z']),
	...three('vehicle', 'length', ['Rearward', 'To the right', 'Up']),
]

export function NewScan({ bench, taken }: { readonly bench: Bench; readonly taken: (found: Data) => void }) {
	const [file, setFile] = useState<{ readonly name: string; readonly said: string }>()
	const [trouble, setTrouble] = useState<string>()
	const [unit, setUnit] = useState<unknown>()
	const [datums, setDatums] = useState<readonly Data[]>(PLACES.map(() => ({})))
	const put = async (picked: File) => {
		setTrouble(undefined)
		try {
			const kept = await putFile(bench.name, picked)
			setFile({
				name: picked.name,
				said: kept ? 'is put beside the job' : 'is beside the job already, and is taken as it is there',
			})
		} catch (error) {
			setTrouble((error as Error).message)
		}
	}
	const write = (row: number, cell: Cell) => (value: unknown) =>
		setDatums(datums.map((one, i) => (i === row ? withCell(one, cell, value) : one)))
	const whole = datums.every((one) => CELLS.every((cell) => valueAt(one, cell.key) !== undefined))
	return (
		<div class="form">
			<label>
				The scan (STL, PLY or OBJ)
				<input
					type="file"
					accept=".stl,.ply,.obj"
					onChange={(event) => {
						const picked = event.currentTarget.files?.[0]
						if (picked) void put(picked)
					}}
				/>
			</label>
			<p role="status">{file && `${file.name} ${file.said}.`}</p>
			{trouble !== undefined && (
				<p class="must" role="alert">
					{trouble}
				</p>
			)}
			<Labelled cell={UNIT}>{(id) => <Control cell={UNIT} id={id} value={unit} unit={unitOf(bench)} write={setUnit} />}</Labelled>
			<p class="hint">
				Three places that can be found on the scan and on the vehicle, not in one line: as the scanning program shows them, and as
				measured from one point of the vehicle.
			</p>
			{PLACES.map((row) => (
				<fieldset key={row} class="place">
					<legend>Place {row + 1}</legend>
					{CELLS.map((cell) => (
						<Labelled key={String(cell.key)} cell={cell}>
							{(id) => (
								<Control
									cell={cell}
									id={id}
									value={valueAt(datums[row], cell.key)}
									unit={unitOf(bench)}
									write={write(row, cell)}
								/>
							)}
						</Labelled>
					))}
				</fieldset>
			))}
			<button
				type="button"
				disabled={!file || !whole}
				onClick={() => file && taken({ kind: 'scan', file: file.name, ...(unit === undefined ? {} : { unit }), datums })}
			>
				Take this shape in place of the one above
			</button>
		</div>
	)
}

function withCell(datum: Data, { key }: Cell, value: unknown): Data {
	if (typeof key !== 'object') return { ...datum, [String(key)]: value }
	const [list, place] = key as readonly [string, number]
	const figures = [...((datum[list] as readonly unknown[] | undefined) ?? [])]
	figures[place] = value
	return { ...datum, [list]: figures }
}
