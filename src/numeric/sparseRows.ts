import type { SparseSymmetric } from './sparse.ts'

/** Which unknowns each observation is about: those of row i are column[start[i]] .. column[start[i + 1] - 1]. */
export interface RowPattern {
	readonly columns: number
	readonly start: Int32Array
	readonly column: Int32Array
}

/** J^T J of rows of one pattern, put together as often as their values change. */
export interface NormalMatrix {
	readonly pattern: Omit<SparseSymmetric, 'value'>
	/** where the diagonal lies in it */
	readonly diagonalAt: Int32Array
	/** of the rows that `used` says (all, where it is not given), each of its values already over its sd */
	assemble(values: Float64Array, used?: (row: number) => boolean): Float64Array
}

export function rowPattern(rows: readonly (readonly number[])[], columns: number): RowPattern {
	const start = new Int32Array(rows.length + 1)
	rows.forEach((row, i) => {
		start[i + 1] = start[i]! + row.length
	})
	return { columns, start, column: Int32Array.from(rows.flat()) }
}

/** Where every product of two entries of a row goes is worked out once. */
export function normalMatrix({ columns, start, column }: RowPattern): NormalMatrix {
	const rows = start.length - 1
	const beside: number[][] = Array.from({ length: columns }, (_, j) => [j])
	const seen = new Set<number>()
	const eachPair = (visit: (from: number, to: number) => void) => {
		for (let i = 0; i < rows; i++) {
			for (let a = start[i]!; a < start[i + 1]!; a++) {
				for (let b = start[i]!; b < start[i + 1]!; b++) visit(column[a]!, column[b]!)
			}
		}
	}
	eachPair((p, q) => {
		if (p === q || seen.has(p * columns + q)) return
		seen.add(p * columns + q)
		beside[p]!.push(q)
	})
	const from = new Int32Array(columns + 1)
	const diagonalAt = new Int32Array(columns)
	const place = new Map<number, number>()
	beside.forEach((list, p) => {
		from[p + 1] = from[p]! + list.length
		list.sort((a, b) => a - b)
		list.forEach((q, k) => {
			place.set(p * columns + q, from[p]! + k)
		})
		diagonalAt[p] = place.get(p * columns + p)!
	})
	const to = Int32Array.from(beside.flat())
	const slots: number[] = []
	eachPair((p, q) => slots.push(place.get(p * columns + q)!))
	const slot = Int32Array.from(slots)
	return {
		pattern: { n: columns, start: from, column: to },
		diagonalAt,
		assemble(values, used) {
			const sums = new Float64Array(to.length)
			let at = 0
			for (let i = 0; i < rows; i++) {
				const [first, end] = [start[i]!, start[i + 1]!]
				if (used && !used(i)) {
					at += (end - first) ** 2
					continue
				}
				for (let a = first; a < end; a++) {
					for (let b = first; b < end; b++) sums[slot[at++]!]! += values[a]! * values[b]!
				}
			}
			return sums
		},
	}
}
