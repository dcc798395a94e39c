import type { Outcome, Problem } from '../../job/problem.ts'
import type { ClosestOf } from './closest.ts'
import { type DatumFit, missesOf, placeByDatums, type ScanDatum } from './datums.ts'
import type { ScanMesh } from './mesh.ts'
import { after, moved, movedAll, type Rigid, turnOnto } from './rigid.ts'
import { said } from './said.ts'
import { type SymmetryPlane, symmetryPlane } from './symmetry.ts'

export interface Placement {
	/** the scan in the vehicle's frame: x rearward, y right, z up, mm */
	readonly mesh: ScanMesh
	readonly motion: Rigid
	/** mm between where the scan has each datum and where the vehicle has it */
	readonly missesMm: readonly number[]
	readonly symmetry?: SymmetryPlane
}

/** The shape's own middle and the one that the datums give part by datums read to a millimetre or two; beyond this something is wrong. */
const MIDDLE_OFF_MM = 5
const MIDDLE_OFF_DEG = 2

/**
 * The scan (mm) laid onto the vehicle by its datums; with `closestOf`, its middle then is its own plane of symmetry, and the
 * datums settle only what that leaves open: along, up, and the turn between the two. Fails as placeByDatums and symmetryPlane do.
 */
export function placeScan(scan: ScanMesh, datums: readonly ScanDatum[], path: string, closestOf?: ClosestOf): Outcome<Placement> {
	const byDatums = placeByDatums(datums, path)
	const fit = byDatums.value
	if (!fit) return { problems: byDatums.problems }
	const laid = { positions: movedAll(fit.motion, scan.positions), triangles: scan.triangles }
	if (!closestOf) return { value: { mesh: laid, motion: fit.motion, missesMm: fit.missesMm }, problems: byDatums.problems }
	const found = symmetryPlane(laid, { normal: [0, 1, 0], offset: 0 }, closestOf, path)
	const symmetry = found.value
	if (!symmetry) return { problems: [...byDatums.problems, ...found.problems] }
	const motion = middled(symmetry, fit.motion, datums)
	return {
		value: {
			mesh: { positions: movedAll(motion, scan.positions), triangles: scan.triangles },
			motion,
			missesMm: missesOf(motion, datums),
			symmetry,
		},
		problems: [...byDatums.problems, ...found.problems, ...apart(symmetry, fit, path)],
	}
}

/** The plane turned onto y = 0 by the shortest way, then the datums fitted again by a motion along that plane. */
function middled({ normal, offset }: SymmetryPlane, first: Rigid, datums: readonly ScanDatum[]): Rigid {
	const upright = after({ r: turnOnto(normal, [0, 1, 0]), t: Float64Array.of(0, -offset, 0) }, first)
	const here = datums.map((d) => moved(upright, d.scan))
	const n = datums.length
	const mean = (of: (i: number) => number) => here.reduce((sum, _, i) => sum + of(i), 0) / n
	const at = (i: number) => here[i]!
	const to = (i: number) => datums[i]!.vehicle
	const [ax, az] = [mean((i) => at(i)[0]), mean((i) => at(i)[2])]
	const [bx, bz] = [mean((i) => to(i)[0]), mean((i) => to(i)[2])]
	let [dot, turn] = [0, 0]
	for (let i = 0; i < n; i++) {
		const [px, pz] = [at(i)[0] - ax, at(i)[2] - az]
		const [qx, qz] = [to(i)[0] - bx, to(i)[2] - bz]
		dot += px * qx + pz * qz
		turn += px * qz - pz * qx
	}
	const angle = Math.atan2(turn, dot)
	const [c, s] = [Math.cos(angle), Math.sin(angle)]
	const level: Rigid = {
		r: Float64Array.of(c, 0, -s, 0, 1, 0, s, 0, c),
		t: Float64Array.of(bx - c * ax + s * az, 0, bz - s * ax - c * az),
	}
	return after(level, upright)
}

function apart({ normal, offset }: SymmetryPlane, { missesMm }: DatumFit, path: string): Problem[] {
	const deg = (Math.acos(Math.min(1, Math.abs(normal[1]))) * 180) / Math.PI
	const worst = Math.max(MIDDLE_OFF_MM, 2 * Math.max(...missesMm))
	if (deg <= MIDDLE_OFF_DEG && Math.abs(offset) <= worst) return []
	return [
		said(
			'warning',
			'SCAN_MIDDLE_OFF',
			`${path}/datums`,
			`a middle of the scanned shape that lies ${Math.abs(offset).toFixed(1)} mm and ${deg.toFixed(1)} degrees from the one its datums give; the shape's own was taken`,
			`within ${worst.toFixed(0)} mm and ${MIDDLE_OFF_DEG} degrees`,
			'measure the datums again from the middle of the vehicle, or set "symmetry" to "datums" if the panel is not symmetric',
		),
	]
}
