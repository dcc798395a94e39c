/** A symmetric matrix by rows: both halves of the pattern, columns in any order, each place once. */
export interface SparseSymmetric {
	readonly n: number
	/** row i lies at start[i] .. start[i + 1] - 1 */
	readonly start: Int32Array
	readonly column: Int32Array
	readonly value: Float64Array
}

/** The matrix with these places and values (each given once, in either half); places that repeat are added up. */
export function sparseSymmetric(
	n: number,
	rows: ArrayLike<number>,
	columns: ArrayLike<number>,
	values: ArrayLike<number>,
): SparseSymmetric {
	const count = new Int32Array(n + 1)
	for (let k = 0; k < rows.length; k++) {
		count[rows[k]! + 1]!++
		if (rows[k] !== columns[k]) count[columns[k]! + 1]!++
	}
	for (let i = 0; i < n; i++) count[i + 1]! += count[i]!
	const fill = count.slice()
	const column = new Int32Array(count[n]!)
	const value = new Float64Array(count[n]!)
	const put = (i: number, j: number, v: number) => {
		const at = fill[i]!++
		column[at] = j
		value[at] = v
	}
	for (let k = 0; k < rows.length; k++) {
		put(rows[k]!, columns[k]!, values[k]!)
		if (rows[k] !== columns[k]) put(columns[k]!, rows[k]!, values[k]!)
	}
	// Places that repeat, row by row.
	const start = new Int32Array(n + 1)
	const seen = new Int32Array(n).fill(-1)
	let end = 0
	for (let i = 0; i < n; i++) {
		const first = end
		for (let at = count[i]!; at < count[i + 1]!; at++) {
			const j = column[at]!
			const known = seen[j]!
			if (known >= first) value[known]! += value[at]!
			else {
				seen[j] = end
				column[end] = j
				value[end] = value[at]!
				end++
			}
		}
		start[i + 1] = end
	}
	return { n, start, column: column.slice(0, end), value: value.slice(0, end) }
}
