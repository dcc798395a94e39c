import { CHECKED, evaluate, linearise, type SparseProblem, statistics } from './sparseLinear.ts'

/** The tests of all rows of a problem made linear at one place, some of the rows left out. */
export interface RowTests {
	/** residual after a full step, over its sd; of a row that is left out by what the others say */
	readonly residuals: Float64Array
	/** r_i, 0 to 1; of a row that is left out above 1: 1 + its variance by the others, over its own */
	readonly redundancy: Float64Array
	/** residual / (sd * sqrt(r)); 0 where nothing checks the row */
	readonly standardised: Float64Array
	/** how the tests of two rows go together, -1 to 1 */
	correlation(row: number, other: number): number
	/** with one row more left out; undefined where the others do not determine the unknowns without it */
	without(row: number): RowTests | undefined
}

/**
 * Tests of single rows as if the whole problem were linear from `at`, so that none needs a new evaluation. Leaving out a row a
 * with residual v and redundancy r adds z z^T / r to the inverse Q of the normal matrix, z = Q a, and a_j . z v / r to the
 * residual of each row j (Sherman & Morrison, Ann. Math. Statist. 21, 1950). Undefined where the model is not, or leaves unknowns open.
 */
export function rowTests(problem: SparseProblem, at: Float64Array): RowTests | undefined {
	const here = evaluate(problem, at)
	if (!here) return undefined
	const linear = linearise(problem, here)
	if (linear.nudged) return undefined
	const { start, column, columns } = problem.structure.rows
	const { w } = here
	const along = (row: number, x: Float64Array) => {
		let sum = 0
		for (let a = start[row]!; a < start[row + 1]!; a++) sum += w[a]! * x[column[a]!]!
		return sum
	}
	const step = linear.step(0)
	const first = here.r.map((value, i) => value - along(i, step))
	const { redundancy } = statistics(problem, here, linear, first, 0)

	const tests = (v: Float64Array, r: Float64Array, left: readonly { z: Float64Array; share: number }[]): RowTests => {
		let asked = -1
		let answer = new Float64Array(columns)
		/** Q a of a row */
		const moved = (row: number): Float64Array => {
			if (row === asked) return answer
			answer = new Float64Array(columns)
			for (let a = start[row]!; a < start[row + 1]!; a++) answer[column[a]!]! += w[a]!
			linear.factors.solve(answer)
			for (const { z, share } of left) {
				const by = along(row, z) / share
				for (let j = 0; j < columns; j++) answer[j]! += by * z[j]!
			}
			asked = row
			return answer
		}
		return {
			residuals: v,
			redundancy: r,
			standardised: v.map((value, i) => (r[i]! > CHECKED ? value / Math.sqrt(r[i]!) : 0)),
			correlation(row, other) {
				const shared = (row === other ? 1 : 0) - along(other, moved(row))
				const scale = r[row]! * r[other]!
				return scale > 0 ? Math.max(-1, Math.min(1, shared / Math.sqrt(scale))) : 0
			},
			without(row) {
				const share = r[row]!
				if (!(share > CHECKED)) return undefined
				const z = moved(row)
				const by = v[row]! / share
				const towards = v.map((_, i) => along(i, z))
				const nextV = v.map((value, i) => value + towards[i]! * by)
				const nextR = r.map((value, i) => (i === row ? 1 + towards[i]! / share : Math.max(0, value - towards[i]! ** 2 / share)))
				return tests(nextV, nextR, [...left, { z, share }])
			},
		}
	}
	return tests(first, redundancy, [])
}
