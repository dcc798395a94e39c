/** L D L^T of a symmetric matrix: below the diagonal of column j of L lie rows[from[j]] .. rows[from[j + 1] - 1], ascending. */
interface Factors {
	readonly n: number
	readonly from: Int32Array
	readonly rows: Int32Array
	readonly l: Float64Array
	readonly d: Float64Array
	/** where each unknown of the matrix stands in the factor */
	readonly place: Int32Array
}

/**
 * Z = (L D L^T)^-1 on the pattern of L, last column first: Z = D^-1 L^-1 + (I - L^T) Z (Takahashi, Fagan & Chen 1973; Erisman &
 * Tinney, Comm. ACM 18, 1975). What a column asks of those after it always lies in the pattern.
 */
export function inverseOnPattern({ n, from, rows, l, d, place }: Factors): (row: number, column: number) => number | undefined {
	const z = new Float64Array(l.length)
	const diagonal = new Float64Array(n)
	const factor = new Float64Array(n)
	const sum = new Float64Array(n)
	const inColumn = new Int32Array(n).fill(-1)
	for (let j = n - 1; j >= 0; j--) {
		const [first, stop] = [from[j]!, from[j + 1]!]
		for (let at = first; at < stop; at++) {
			inColumn[rows[at]!] = j
			factor[rows[at]!] = l[at]!
			sum[rows[at]!] = 0
		}
		for (let at = first; at < stop; at++) {
			const k = rows[at]!
			const own = l[at]!
			let of = sum[k]! - own * diagonal[k]!
			for (let to = from[k]!, end = from[k + 1]!; to < end; to++) {
				const i = rows[to]!
				if (inColumn[i] !== j) continue
				sum[i]! -= own * z[to]!
				of -= factor[i]! * z[to]!
			}
			sum[k] = of
		}
		let own = 1 / d[j]!
		for (let at = first; at < stop; at++) {
			z[at] = sum[rows[at]!]!
			own -= l[at]! * z[at]!
		}
		diagonal[j] = own
	}
	return (row, column) => {
		const [p, q] = [place[row]!, place[column]!]
		if (p === q) return diagonal[p]
		const [above, below] = p < q ? [p, q] : [q, p]
		let [low, high] = [from[above]!, from[above + 1]! - 1]
		while (low <= high) {
			const middle = (low + high) >> 1
			if (rows[middle] === below) return z[middle]
			if (rows[middle]! < below) low = middle + 1
			else high = middle - 1
		}
		return undefined
	}
}
