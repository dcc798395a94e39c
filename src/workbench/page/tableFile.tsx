/** The table that a new job begins with. */
import { decode } from '../../files/decode.ts'

export interface FilledTable {
	readonly file: string
	/** undefined where the file is no text */
	readonly csv: string | undefined
}

export function TableFile({ took }: { readonly took: (table: FilledTable) => void }) {
	return (
		<label>
			The table
			<input
				required
				type="file"
				accept=".csv,.txt,.tsv,text/csv,text/plain"
				onChange={async (event) => {
					const file = event.currentTarget.files?.[0]
					if (file) took({ file: file.name, csv: decode(new Uint8Array(await file.arrayBuffer()), true) })
				}}
			/>
			<span class="hint">
				A measuring sheet’s table filled in, or columns of your own: mark, station, left, right. Rows without a figure are passed
				over.
			</span>
		</label>
	)
}
