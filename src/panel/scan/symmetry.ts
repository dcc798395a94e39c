import type { Outcome } from '../../job/problem.ts'
import { symmetricEigen } from '../../numeric/symmetricEigen.ts'
import type { ClosestOf } from './closest.ts'
import { coarsened } from './coarsen.ts'
import { diagonalOf, type ScanMesh } from './mesh.ts'
import { type Plane, type Round, reflections, type Samples, samplesOf, solve3, turned } from './reflection.ts'
import type { Triple } from './rigid.ts'
import { refused } from './said.ts'

export interface SymmetryPlane extends Plane {
	/** half of the places lie within this of the mirror image of the other side, mm: noise, and how unlike the sides are */
	readonly unlikeMm: number
	/** of the places tried, the part that has a counterpart on the other side */
	readonly share: number
	/** from the scatter alone */
	readonly angleSdDeg: number
	readonly offsetSdMm: number
	readonly steps: number
}

/** More triangles than this make the tree slower to build and the plane no better. */
const MOST_TRIANGLES = 100_000
/** With 4000 places the plane of 100k triangles is known to 0.001 degrees; each costs 10 microseconds a step. */
const SAMPLES = 4000
/** While the plane is still being found every so many of them will do. */
const COARSE = 8
/** Three times what starts 5 degrees and 20 mm off took: what has not settled then is not symmetric. */
const MOST_STEPS = 40
/** A step within this part of the sd that the scatter leaves ends the search; smaller ones only follow the noise. */
const SMALL_SDS = 0.1
/** A place without a counterpart nearer than this part of the size is not used; the limit closes in by CLOSING at each step. */
const REACH = 0.1
const CLOSING = 0.5
/** Nearer counterparts are always used: slips of a datum are larger, noise is smaller. */
const LEAST_REACH_MM = 0.3
/** Mean of |normal deviate| is 0.67 of its sd: this many medians are 3 sd. */
const MEDIANS = 4.5
/** How far the panel is turned to try whether its shape holds the plane: well above noise, well below its size. */
const TRIAL_MM = 1
/** The panel turned by 1 mm about its loosest direction must come this far off itself, mm^2, or the shape does not say where the plane is. */
const LEAST_HOLD = 0.001
/** With fewer of the places than this having a counterpart the panel is not symmetric about that plane. */
const LEAST_SHARE = 0.5
/** Datums a few millimetres off turn a panel by some degrees; a plane further from the start than 15 is another one. */
const FURTHEST_COS = Math.cos(Math.PI / 12)

/**
 * The plane in which the mesh is its own mirror image, from a start within some degrees and a tenth of its size: places of it are
 * reflected and brought onto it, each along the normal there, by three unknowns (the iterated closest point with the
 * point-to-plane distances of Chen & Medioni, Image and Vision Computing 10, 1992, on a reflection instead of a motion). Places without a
 * counterpart (holes, one-sided fittings) drop out as the limit closes in. Fails when the shape does not hold the plane (a body
 * of revolution) or when too little of it has a counterpart.
 */
export function symmetryPlane(mesh: ScanMesh, start: Plane, closestOf: ClosestOf, path: string): Outcome<SymmetryPlane> {
	const small = coarsened(mesh, MOST_TRIANGLES)
	const size = diagonalOf(small)
	const samples = samplesOf(small, SAMPLES)
	const problem = reflections(samples, closestOf(small))
	let plane = start
	let reach = REACH * size
	let steps = 0
	let settled = 0
	let round = problem(plane, reach, COARSE)
	// A limit on the reach that still closes in moves the plane: only steps after it has closed count.
	while (steps < MOST_STEPS && settled < 2) {
		const step = solve3(round.matrix, round.side)
		if (!step) break
		plane = turned(plane, step, samples.middle)
		steps++
		const floor = Math.max(LEAST_REACH_MM, MEDIANS * round.median)
		const closed = reach <= floor
		reach = Math.max(floor, reach * CLOSING)
		settled = closed && sdsOf(step, round) < SMALL_SDS ? settled + 1 : 0
		round = problem(plane, reach, closed ? 1 : COARSE)
	}
	const wandered = start.normal[0] * plane.normal[0] + start.normal[1] * plane.normal[1] + start.normal[2] * plane.normal[2]
	const lost = settled < 2 || wandered < FURTHEST_COS
	return judged(plane, round, { samples, problem, reach, steps, size, lost, path })
}

/** Length of a step in the sd of what is being looked for. */
function sdsOf(step: Triple, { matrix, meanSquare }: Round): number {
	let sum = 0
	for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) sum += step[a]! * matrix[3 * a + b]! * step[b]!
	return Math.sqrt(sum / meanSquare)
}

interface Found {
	readonly samples: Samples
	readonly problem: (plane: Plane, reach: number, every: number) => Round
	readonly reach: number
	readonly steps: number
	readonly size: number
	/** the search did not end, or led away from its start */
	readonly lost: boolean
	readonly path: string
}

function judged(plane: Plane, round: Round, { samples, problem, reach, steps, size, lost, path }: Found): Outcome<SymmetryPlane> {
	const { share } = round
	const byDatums = 'set "symmetry" to "datums"'
	// In a turn of 1 mm at the panel's own radius a shape that holds the plane comes off itself by about as much.
	const radius = size / 4
	const scale = Float64Array.of(TRIAL_MM / radius, TRIAL_MM / radius, TRIAL_MM)
	const scaledMatrix = round.matrix.map((m, k) => m * scale[Math.floor(k / 3)]! * scale[k % 3]!)
	const { vectors } = symmetricEigen(scaledMatrix, 3)
	const wide = reach + TRIAL_MM * 2
	const there = problem(plane, wide, COARSE).meanSquare
	for (const vector of vectors) {
		const step = [0, 1, 2].map((k) => vector[k]! * scale[k]!) as unknown as Triple
		const back = step.map((s) => -s) as unknown as Triple
		const off = [step, back].map((s) => problem(turned(plane, s, samples.middle), wide, COARSE))
		const hold = off.reduce((sum, r) => sum + r.meanSquare, 0) / 2 - there
		if (hold < LEAST_HOLD) {
			return refused(
				'SCAN_SYMMETRY_OPEN',
				`${path}/symmetry`,
				'a shape that can be turned without changing, so that its middle cannot be found from it',
				'a panel whose shape tells its left from its right',
				byDatums,
			)
		}
	}
	if (share < LEAST_SHARE || lost) {
		return refused(
			'SCAN_NOT_SYMMETRIC',
			`${path}/symmetry`,
			lost
				? 'a scan whose two sides do not come onto each other'
				: `a scan of which ${Math.round(share * 100)} % has a counterpart on the other side of its middle`,
			'a panel with a left and a right side alike',
			`look at the datums, which place the middle; where the panel has no plane of symmetry, ${byDatums}`,
		)
	}
	const noise = round.meanSquare
	const inverse = symmetricEigen(round.matrix, 3)
	const variance = (k: number) =>
		inverse.vectors.reduce((sum, vector, i) => sum + (vector[k]! ** 2 * noise) / inverse.values[i]!, 0)
	return {
		value: {
			...plane,
			unlikeMm: round.median,
			share,
			angleSdDeg: (Math.sqrt(variance(0) + variance(1)) * 180) / Math.PI,
			offsetSdMm: Math.sqrt(variance(2)),
			steps,
		},
		problems: [],
	}
}
