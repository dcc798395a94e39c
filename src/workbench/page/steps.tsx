/** What was done, taken back and done again; and the versions of the file that are kept beside it. */
import { useState } from 'preact/hooks'
import type { Version } from '../wire.ts'
import { listVersions, readVersion } from './api.ts'
import type { Bench } from './bench.ts'

const WHY = { saved: 'saved here', refused: 'not saved: the file had been changed', outside: 'changed elsewhere' } as const

export function Steps({ bench }: { readonly bench: Bench }) {
	const [versions, setVersions] = useState<readonly Version[]>()
	const [trouble, setTrouble] = useState<string>()
	const said = (error: Error) => setTrouble(error.message)
	return (
		<div class="steps">
			<button type="button" disabled={!bench.canUndo} onClick={bench.undo}>
				Undo
			</button>
			<button type="button" disabled={!bench.canRedo} onClick={bench.redo}>
				Redo
			</button>
			{versions === undefined ? (
				<button type="button" onClick={() => listVersions(bench.name).then(setVersions, said)}>
					Earlier
				</button>
			) : (
				<select
					aria-label="An earlier version of the file"
					onChange={(event) => {
						const { value } = event.currentTarget
						setVersions(undefined)
						// One step like any other: it can be taken back.
						if (value !== '') readVersion(bench.name, value).then(({ text }) => bench.write(text), said)
					}}
				>
					<option value="">{versions.length === 0 ? 'none is kept yet' : 'take back the file of…'}</option>
					{versions.map(({ id, when, why }) => (
						<option key={id} value={id}>
							{new Date(when).toLocaleString()}, {WHY[why]}
						</option>
					))}
				</select>
			)}
			{trouble !== undefined && <span role="alert">{trouble}</span>}
		</div>
	)
}
