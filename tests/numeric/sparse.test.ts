import fc from 'fast-check'
import { expect, test } from 'vitest'
import { sparseSymmetric } from '../../src/numeric/sparse.ts'
import { sparseLdl } from '../../src/numeric/sparseLdl.ts'
import { nestedDissection } from '../../src/numeric/sparseOrder.ts'

/** The five-point Laplacian of an m by m grid, and its places. */
function grid(m: number) {
	const [rows, columns, values]: number[][] = [[], [], []]
	const put = (i: number, j: number, v: number) => {
		rows?.push(i)
		columns?.push(j)
		values?.push(v)
	}
	for (let i = 0; i < m; i++) {
		for (let k = 0; k < m; k++) {
			put(i * m + k, i * m + k, 4)
			if (i > 0) put(i * m + k, (i - 1) * m + k, -1)
			if (k > 0) put(i * m + k, i * m + k - 1, -1)
		}
	}
	const matrix = sparseSymmetric(m * m, rows ?? [], columns ?? [], values ?? [])
	const x = Array.from({ length: m * m }, (_, v) => Math.floor(v / m))
	const y = Array.from({ length: m * m }, (_, v) => v % m)
	return { matrix, order: nestedDissection(matrix, x, y) }
}

test('the grid Laplacian divides its own waves by their eigenvalues', () => {
	// Closed form: Demmel, Applied Numerical Linear Algebra, 6.3.1: lambda = 4 - 2 cos(pi p / (m + 1)) - 2 cos(pi q / (m + 1)).
	const m = 40
	const { matrix, order } = grid(m)
	const factors = sparseLdl(matrix, order)
	for (const [p, q] of [
		[1, 1],
		[3, 7],
		[40, 39],
	] as const) {
		const wave = Float64Array.from({ length: m * m }, (_, v) => {
			const [i, k] = [Math.floor(v / m) + 1, (v % m) + 1]
			return Math.sin((Math.PI * p * i) / (m + 1)) * Math.sin((Math.PI * q * k) / (m + 1))
		})
		const lambda = 4 - 2 * Math.cos((Math.PI * p) / (m + 1)) - 2 * Math.cos((Math.PI * q) / (m + 1))
		const solved = wave.slice()
		factors?.solve(solved)
		const both = Float64Array.from({ length: 2 * m * m }, (_, i) => (wave[i >> 1] as number) * (i % 2 === 0 ? 1 : -3))
		factors?.solve(both, 2)
		wave.forEach((w, v) => {
			expect(Math.abs((solved[v] as number) - w / lambda)).toBeLessThan(1e-11)
			expect(Math.abs((both[2 * v] as number) - w / lambda)).toBeLessThan(1e-11)
			expect(Math.abs((both[2 * v + 1] as number) + (3 * w) / lambda)).toBeLessThan(1e-11)
		})
	}
})

test('nested dissection keeps the factor of a grid within what George proved', () => {
	// George 1973: 31/4 n^2 log2 n entries to leading order for an n by n grid.
	for (const m of [32, 64, 128]) {
		const { matrix, order } = grid(m)
		expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: m * m }, (_, i) => i))
		const entries = sparseLdl(matrix, order)?.entries ?? Number.POSITIVE_INFINITY
		expect(entries).toBeLessThan((31 / 4) * m * m * Math.log2(m))
		// In the order that the unknowns come in, a band matrix of width m fills.
		const plain = sparseLdl(
			matrix,
			Int32Array.from({ length: m * m }, (_, i) => i),
		)
		expect(entries).toBeLessThan((plain?.entries ?? 0) / 1.3)
	}
})

test('solves any positive definite system, whatever the order', () => {
	fc.assert(
		fc.property(
			fc.integer({ min: 1, max: 30 }),
			fc.array(fc.tuple(fc.nat(29), fc.nat(29), fc.double({ min: -1, max: 1, noNaN: true })), { maxLength: 80 }),
			fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: 30, maxLength: 30 }),
			(n, list, wanted) => {
				const rows: number[] = []
				const columns: number[] = []
				const values: number[] = []
				const dense = Array.from({ length: n }, () => new Float64Array(n))
				const put = (i: number, j: number, v: number) => {
					rows.push(i)
					columns.push(j)
					values.push(v)
					const [a, b] = [dense[i] as Float64Array, dense[j] as Float64Array]
					a[j] = (a[j] as number) + v
					if (i !== j) b[i] = (b[i] as number) + v
				}
				for (const [i, j, v] of list) if (i < n && j < n && i !== j) put(i, j, v)
				// Diagonally dominant, so positive definite (Gershgorin).
				for (let i = 0; i < n; i++) put(i, i, 1 + (dense[i] as Float64Array).reduce((s, v) => s + Math.abs(v), 0))
				const x = wanted.slice(0, n)
				const b = Float64Array.from(dense, (row) => row.reduce((s, v, j) => s + v * (x[j] as number), 0))
				const matrix = sparseSymmetric(n, rows, columns, values)
				const order = nestedDissection(matrix, wanted, [...wanted].reverse())
				sparseLdl(matrix, order)?.solve(b)
				x.forEach((v, i) => void expect(b[i]).toBeCloseTo(v, 9))
			},
		),
	)
})

test('says no to a matrix that is not positive definite', () => {
	const singular = sparseSymmetric(2, [0, 0, 1], [0, 1, 1], [1, -1, 1])
	expect(sparseLdl(singular, Int32Array.of(0, 1))).toBeUndefined()
	const indefinite = sparseSymmetric(2, [0, 0, 1], [0, 1, 1], [1, 2, 1])
	expect(sparseLdl(indefinite, Int32Array.of(1, 0))).toBeUndefined()
})

test('entries of the inverse on the pattern of the factor are those of solving for each column', () => {
	const { matrix, order } = grid(9)
	const factors = sparseLdl(matrix, order)
	const entry = factors?.inverse()
	let compared = 0
	for (let j = 0; j < matrix.n; j++) {
		const column = new Float64Array(matrix.n)
		column[j] = 1
		factors?.solve(column)
		for (let i = 0; i < matrix.n; i++) {
			const value = entry?.(i, j)
			if (value === undefined) continue
			compared++
			expect(Math.abs(value - (column[i] as number))).toBeLessThan(1e-14)
		}
		// The matrix itself lies in the pattern.
		for (let at = matrix.start[j] as number; at < (matrix.start[j + 1] as number); at++) {
			expect(entry?.(matrix.column[at] as number, j)).toBeDefined()
		}
	}
	expect(compared).toBe(matrix.n + 2 * (factors?.entries ?? 0))
})
