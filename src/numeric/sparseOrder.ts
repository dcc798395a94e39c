/** Parts this small are left in the order they come in: what dissecting them saves is less than it costs. */
const LEAF = 6

/**
 * An order of elimination that keeps the factors of a mesh's matrix sparse: nested dissection by the places of the unknowns
 * (George, Nested dissection of a regular finite element mesh, SIAM J. Numer. Anal. 10, 1973). Each part is halved by its
 * longer side; those of the one half that touch the other come last. Returns the unknowns in that order.
 */
export function nestedDissection(
	pattern: { readonly n: number; readonly start: Int32Array; readonly column: Int32Array },
	x: ArrayLike<number>,
	y: ArrayLike<number>,
): Int32Array {
	const { n, start, column } = pattern
	const list = Int32Array.from({ length: n }, (_, i) => i)
	/** the half that an unknown was last put in */
	const half = new Int32Array(n)
	let stamp = 0
	const parts: [number, number][] = [[0, n]]
	for (let part = parts.pop(); part; part = parts.pop()) {
		const [from, to] = part
		if (to - from <= LEAF) continue
		const middle = (from + to) >> 1
		select(list, from, to, middle, widerSide(list, from, to, x, y))
		const upper = ++stamp
		for (let i = middle; i < to; i++) half[list[i]!] = upper
		const touches = (v: number) => {
			for (let at = start[v]!; at < start[v + 1]!; at++) if (half[column[at]!] === upper) return true
			return false
		}
		// Those of the lower half that touch the upper one go to its end, then behind the upper half.
		let inner = from
		for (let i = from; i < middle; i++) {
			if (touches(list[i]!)) continue
			const v = list[i]!
			list[i] = list[inner]!
			list[inner++] = v
		}
		const between = list.slice(inner, middle)
		list.copyWithin(inner, middle, to)
		list.set(between, inner + to - middle)
		parts.push([from, inner], [inner, inner + to - middle])
	}
	return list
}

function widerSide(list: Int32Array, from: number, to: number, x: ArrayLike<number>, y: ArrayLike<number>): ArrayLike<number> {
	let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity]
	for (let i = from; i < to; i++) {
		const [a, b] = [x[list[i]!]!, y[list[i]!]!]
		x0 = Math.min(x0, a)
		x1 = Math.max(x1, a)
		y0 = Math.min(y0, b)
		y1 = Math.max(y1, b)
	}
	return x1 - x0 >= y1 - y0 ? x : y
}

/** The k smallest by their place come first (Hoare's selection, 1961; the middle of three as pivot). */
function select(list: Int32Array, from: number, to: number, k: number, key: ArrayLike<number>): void {
	let low = from
	let high = to - 1
	while (low < high) {
		const [a, b, c] = [key[list[low]!]!, key[list[(low + high) >> 1]!]!, key[list[high]!]!]
		const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
		let [i, j] = [low, high]
		while (i <= j) {
			while (key[list[i]!]! < pivot) i++
			while (key[list[j]!]! > pivot) j--
			if (i > j) break
			const v = list[i]!
			list[i++] = list[j]!
			list[j--] = v
		}
		if (k <= j) high = j
		else if (k >= i) low = i
		else return
	}
}
