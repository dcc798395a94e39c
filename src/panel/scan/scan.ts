import type { Outcome, Problem } from '../../job/problem.ts'
import type { ScanCapture } from '../../job/scanSchema.ts'
import type { ClosestOf } from './closest.ts'
import { type ScanDatum, scaleOf } from './datums.ts'
import { loadClosest } from './loadClosest.ts'
import { diagonalOf, scaled } from './mesh.ts'
import { type Placement, placeScan } from './place.ts'
import { readScan } from './read.ts'
import { repair, type SoundMesh } from './repair.ts'
import type { Triple } from './rigid.ts'
import { counted, said } from './said.ts'
import { type ScanSections, scanSections } from './scanSections.ts'
import { chooseUnit, type ScanUnit, UNIT_MM, type UnitChoice } from './unit.ts'

/** A scan made into sections, and what was found out about it on the way. */
export interface PreparedScan extends ScanSections {
	readonly unit: ScanUnit
	/** how the unit is known */
	readonly unitFrom: UnitChoice['from']
	readonly sizeMm: number
	readonly triangles: number
	readonly findings: SoundMesh['findings']
	/** lengths of the holes' edges, mm, longest first; the panel's own outline is not among them */
	readonly holesMm: readonly number[]
	readonly missesMm: readonly number[]
	readonly symmetry?: Placement['symmetry']
}

/** What tells a hole's edge from the panel's own outline: holes are shorter. A hole of less than 2 mm is a missing triangle. */
const HOLE_FROM_MM = 6

/**
 * From the bytes of a scan to sections in the vehicle's frame: read, mended, measured, placed by its datums and its own symmetry,
 * cut and smoothed. Everything that was guessed or mended is told of. The library for nearest places is loaded only where the
 * symmetry of the shape is wanted.
 * @param path JSON pointer to the capture, for problems
 */
export async function prepareScan(
	bytes: Uint8Array,
	capture: ScanCapture,
	hand: 'centre' | 'left' | 'right',
	path: string,
): Promise<Outcome<PreparedScan>> {
	const wanted = hand === 'centre' && capture.symmetry === 'shape'
	return prepareScanWith(bytes, capture, hand, path, wanted ? await loadClosest() : undefined)
}

/** As prepareScan, with the library for nearest places at hand (its absence leaves the middle to the datums). */
export function prepareScanWith(
	bytes: Uint8Array,
	capture: ScanCapture,
	hand: 'centre' | 'left' | 'right',
	path: string,
	closestOf: ClosestOf | undefined,
): Outcome<PreparedScan> {
	const problems: Problem[] = []
	const take = <T>(answer: Outcome<T>): T | undefined => {
		problems.push(...answer.problems)
		return answer.value
	}
	const raw = take(readScan(bytes, capture.file, `${path}/file`))
	const sound = raw && take(repair(raw, `${path}/file`))
	if (!sound) return { problems }
	const datums: ScanDatum[] = capture.datums.map(({ id, scan, vehicle }) => ({ id, scan, vehicle }))
	const chosen = take(chooseUnit(diagonalOf(sound.mesh), capture.unit, scaleOf(datums), path))
	if (!chosen) return { problems }
	const factor = UNIT_MM[chosen.unit]
	const inMm = datums.map((d) => ({ ...d, scan: d.scan.map((c) => c * factor) as unknown as Triple }))
	const placed = take(placeScan(scaled(sound.mesh, factor), inMm, path, closestOf))
	if (!placed) return { problems }
	const holesMm = sound.borders.slice(1).map((b) => b * factor)
	problems.push(...toldHoles(holesMm, `${path}/file`))
	const cut = take(
		scanSections(
			{ mesh: placed.mesh, other: sound.other },
			{
				hand,
				...(capture.stations ? { stations: capture.stations } : {}),
				...(capture.noise === undefined ? {} : { noiseMm: capture.noise }),
				path,
			},
		),
	)
	if (!cut) return { problems }
	const value: PreparedScan = {
		...cut,
		unit: chosen.unit,
		unitFrom: chosen.from,
		sizeMm: chosen.sizeMm,
		triangles: sound.mesh.triangles.length / 3,
		findings: sound.findings,
		holesMm,
		missesMm: placed.missesMm,
		...(placed.symmetry ? { symmetry: placed.symmetry } : {}),
	}
	return { value, problems }
}

function toldHoles(holes: readonly number[], path: string): Problem[] {
	const wide = holes.filter((h) => h >= HOLE_FROM_MM)
	if (wide.length === 0) return []
	const many = wide.length === 1 ? 'a hole' : `${counted(wide.length)} holes`
	return [
		said(
			'note',
			'SCAN_HOLES',
			path,
			`${many} beside its own outline; the longest is ${wide[0]!.toFixed(0)} mm round`,
			'a scan without holes, except those of the panel',
			'keep stripes off holes that are none of the panel, or scan it again',
		),
	]
}
