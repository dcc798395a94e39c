import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { gaussNewton } from '../../src/numeric/gaussNewton.ts'
import { rowTests } from '../../src/numeric/rowTests.ts'
import { sparseFit } from '../../src/numeric/sparseFit.ts'
import { type SparseProblem, sparseStructure } from '../../src/numeric/sparseLinear.ts'
import { rowPattern } from '../../src/numeric/sparseRows.ts'

/** Points in a plane with some known, distances between them: the same problem sparse and dense. */
function network(points: readonly (readonly [number, number])[], pairs: readonly (readonly [number, number])[], noise: number[]) {
	const fixed = 2
	const n = 2 * (points.length - fixed)
	const lengths = pairs.map(
		([a, b], i) => Math.hypot(points[a]![0] - points[b]![0], points[a]![1] - points[b]![1]) + (noise[i % noise.length] ?? 0),
	)
	const sd = Float64Array.from(pairs, (_, i) => 0.3 + 0.1 * (i % 4))
	const columnOf = (p: number) => (p < fixed ? [] : [2 * (p - fixed), 2 * (p - fixed) + 1])
	const rows = rowPattern(
		pairs.map(([a, b]) => [...columnOf(a), ...columnOf(b)]),
		n,
	)
	const at = (x: Float64Array, p: number) => (p < fixed ? points[p]! : ([x[2 * (p - fixed)]!, x[2 * (p - fixed) + 1]!] as const))
	const model = (x: Float64Array) => {
		const residuals = new Float64Array(pairs.length)
		const values: number[] = []
		pairs.forEach(([a, b], i) => {
			const [p, q] = [at(x, a), at(x, b)]
			const length = Math.hypot(p[0] - q[0], p[1] - q[1])
			residuals[i] = length - lengths[i]!
			const unit = [(p[0] - q[0]) / length, (p[1] - q[1]) / length]
			if (a >= fixed) values.push(unit[0]!, unit[1]!)
			if (b >= fixed) values.push(-unit[0]!, -unit[1]!)
		})
		return { residuals, values: Float64Array.from(values) }
	}
	const start = Float64Array.from(points.slice(fixed).flatMap(([x, y]) => [x + 0.7, y - 0.4]))
	const coordinates = (k: 0 | 1) => points.slice(fixed).flatMap((p) => [p[k], p[k]])
	const problem: SparseProblem = { structure: sparseStructure(rows, coordinates(0), coordinates(1)), model, sd }
	const dense = (x: Float64Array) => {
		const { residuals, values } = model(x)
		const jacobian = new Float64Array(pairs.length * n)
		for (let i = 0; i < pairs.length; i++)
			for (let k = rows.start[i]!; k < rows.start[i + 1]!; k++) jacobian[i * n + rows.column[k]!] = values[k]!
		return { residuals, jacobian }
	}
	return { problem, dense, start, sd, n }
}

const structureOf = (rows: number[][], columns: number) =>
	sparseStructure(rowPattern(rows, columns), new Float64Array(columns), new Float64Array(columns))

const OPTIONS = { tolerance: 1e-6, maxSteps: 60, wholeUpTo: 1000 }

describe('the sparse fit', () => {
	test('agrees with QR of the whole matrix: places, covariance, redundancy, residuals', () => {
		fc.assert(
			fc.property(
				fc.integer({ min: 3, max: 12 }),
				fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 5, maxLength: 11 }),
				(count, noise) => {
					// places by the golden ratio: never in a row
					const points = Array.from({ length: count + 2 }, (_, i) => [100 * i, (i * 61.803) % 97] as const)
					const pairs = points.flatMap((_, i) =>
						[1, 2, 3].flatMap((by) => (i + by < points.length ? [[i, i + by] as const] : [])),
					)
					const { problem, dense, start, sd, n } = network(
						points,
						pairs,
						noise.map((e) => e / 20),
					)
					const sparse = sparseFit(problem, start, OPTIONS)!
					const whole = gaussNewton(dense, start, sd, OPTIONS)!
					expect(sparse.converged && whole.converged).toBe(true)
					expect(sparse.dof).toBe(whole.dof)
					expect(sparse.sumSquares).toBeCloseTo(whole.sumSquares, 7)
					const wholly = sparseFit(problem, start, { ...OPTIONS, wholeUpTo: 0 })!
					for (let i = 0; i < n; i++) {
						expect(Math.abs(sparse.x[i]! - whole.x[i]!)).toBeLessThan(1e-5 * whole.sd[i]!)
						for (let j = 0; j < n; j++) {
							const scale = whole.sd[i]! * whole.sd[j]!
							expect(Math.abs(sparse.covariance(i, j) - whole.covariance[i * n + j]!)).toBeLessThan(1e-6 * scale)
							expect(Math.abs(wholly.covariance(i, j) - whole.covariance[i * n + j]!)).toBeLessThan(1e-6 * scale)
						}
					}
					whole.redundancy.forEach((r, i) => {
						expect(sparse.redundancy[i]).toBeCloseTo(r, 6)
					})
				},
			),
			{ numRuns: 40 },
		)
	})

	test('what no row feels, and what two unknowns only share, is named', () => {
		const lone = {
			structure: structureOf([[0], [0]], 2),
			model: (x: Float64Array) => ({ residuals: Float64Array.of(x[0]! - 1, x[0]! - 2), values: Float64Array.of(1, 1) }),
			sd: Float64Array.of(1, 1),
		}
		expect(sparseFit(lone, Float64Array.of(0, 7), OPTIONS)).toMatchObject({ undetermined: [1], dof: 1 })
		const sum = {
			structure: structureOf([[0], [1, 2], [1, 2]], 3),
			model: (x: Float64Array) => ({
				residuals: Float64Array.of(x[0]! - 5, x[1]! + x[2]! - 3, x[1]! + x[2]! - 3),
				values: Float64Array.of(1, 1, 1, 1, 1),
			}),
			sd: Float64Array.of(1, 1, 1),
		}
		const fit = sparseFit(sum, Float64Array.of(0, 0, 0), OPTIONS)!
		expect(fit.undetermined).toEqual([1, 2])
		expect(fit.x[0]).toBeCloseTo(5, 9)
	})

	/** One unknown read n times with equal sd: r = 1 - 1/n, and two tests go together by -1 / (n - 1); closed form. */
	test('tests of one length read several times', () => {
		const read = [10, 10.4, 9.8, 13]
		const problem: SparseProblem = {
			structure: structureOf(
				read.map(() => [0]),
				1,
			),
			model: (x) => ({ residuals: Float64Array.from(read, (v) => x[0]! - v), values: new Float64Array(4).fill(1) }),
			sd: new Float64Array(4).fill(0.5),
		}
		const all = rowTests(problem, Float64Array.of(0))!
		expect(all.redundancy[2]).toBeCloseTo(3 / 4, 12)
		expect(all.correlation(0, 3)).toBeCloseTo(-1 / 3, 12)
		expect(all.residuals[3]).toBeCloseTo((10.8 - 13) / 0.5, 12)
		// Left out, the last is judged by the mean of the others, whose variance is a third.
		const rest = all.without(3)!
		const mean = (10 + 10.4 + 9.8) / 3
		expect(rest.residuals[3]).toBeCloseTo((mean - 13) / 0.5, 12)
		expect(rest.standardised[3]).toBeCloseTo((mean - 13) / (0.5 * Math.sqrt(4 / 3)), 12)
		expect(rest.redundancy[2]).toBeCloseTo(2 / 3, 12)
		expect(rest.correlation(0, 2)).toBeCloseTo(-1 / 2, 12)
		expect(rest.without(2)!.residuals[0]).toBeCloseTo(0.2 / 0.5, 12)
		expect(rest.without(2)!.without(1)!.without(0)).toBeUndefined()
	})

	test('a model that is nowhere defined at the start has no fit; one that runs out of steps says so', () => {
		const problem: SparseProblem = {
			structure: structureOf([[0]], 1),
			model: (x) =>
				x[0]! > 0 ? { residuals: Float64Array.of(Math.log(x[0]!) - 3), values: Float64Array.of(1 / x[0]!) } : undefined,
			sd: Float64Array.of(1),
		}
		expect(sparseFit(problem, Float64Array.of(-1), OPTIONS)).toBeUndefined()
		expect(sparseFit(problem, Float64Array.of(0.01), { ...OPTIONS, maxSteps: 2 })?.converged).toBe(false)
		expect(sparseFit(problem, Float64Array.of(0.01), OPTIONS)?.x[0]).toBeCloseTo(Math.exp(3), 4)
	})
})
