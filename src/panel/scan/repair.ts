import type { Outcome, Problem } from '../../job/problem.ts'
import { plural } from '../../job/say.ts'
import { clean } from './clean.ts'
import { BORDER, FIN, pairEdges } from './edges.ts'
import { diagonalOf, type ScanMesh, triangleCount } from './mesh.ts'
import { borderLoops, findPieces, onePiece } from './pieces.ts'
import { counted, refused, said } from './said.ts'
import { weld } from './weld.ts'

/** A mesh whose triangles hang together and run alike, with its edges paired. */
export interface SoundMesh {
	readonly mesh: ScanMesh
	/** for each edge the same one in the neighbour (see pairEdges) */
	readonly other: Int32Array
	/** lengths of the loops of its border in the unit of the mesh, the longest first: an open panel's own outline, then holes */
	readonly borders: readonly number[]
	readonly findings: ScanFindings
}

/** What was wrong with a scan, and mended. */
export interface ScanFindings {
	readonly flat: number
	readonly repeated: number
	readonly turned: number
	/** triangles too many at edges where three or more meet */
	readonly fins: number
	readonly twisted: number
	readonly pieces: number
	/** triangles of the pieces that were left out, and their share of the area */
	readonly leftOut: number
	readonly leftOutShare: number
	/** corners were welded within this, in the mesh's unit; 0: only where they were the same */
	readonly weldedWithin: number
}

/** Corners that differ by less than this part of the scan's size are one, where the file does not give them alike: rounding of 6 digits. */
const LOOSE_WELD = 2e-6
/** Of edges without a neighbour, more than this says that corners were not given alike. */
const LOOSE_SHARE = 0.2
/** A piece that was left out is a warning when it was more of the panel than this. */
const SMALL_SHARE = 0.01

/**
 * A scan made fit to cut: corners welded, triangles without area and second copies left out, all run round the same way, the
 * largest piece kept. All that was mended is told of in `problems` and counted in `findings`; holes and edges where three
 * triangles meet are told of and stay. Fails when nothing is left.
 */
export function repair(raw: ScanMesh, path: string): Outcome<SoundMesh> {
	let weldedWithin = 0
	let { mesh, flat, repeated } = clean(weld(raw))
	let other = pairEdges(mesh)
	if (share(other, BORDER) > LOOSE_SHARE) {
		weldedWithin = LOOSE_WELD * diagonalOf(mesh)
		;({ mesh, flat, repeated } = clean(weld(raw, weldedWithin)))
		other = pairEdges(mesh)
	}
	if (triangleCount(mesh) === 0) {
		return refused('SCAN_NOT_A_MESH', path, `${counted(flat)} triangles without area`, 'a surface', 'export the scan again')
	}
	const found = findPieces(mesh, other)
	const all = triangleCount(mesh)
	const fins = count(other, FIN)
	const largest = found.areas.indexOf(found.areas.reduce((a, b) => Math.max(a, b), 0))
	const total = found.areas.reduce((a, b) => a + b, 0)
	if (found.turnedCount > 0 || found.areas.length > 1) ({ mesh, other } = onePiece(mesh, other, found, largest))
	const findings: ScanFindings = {
		flat,
		repeated,
		turned: found.turnedCount,
		fins,
		twisted: found.twisted,
		pieces: found.areas.length,
		leftOut: all - triangleCount(mesh),
		leftOutShare: total > 0 ? 1 - found.areas[largest]! / total : 0,
		weldedWithin,
	}
	const sound = { mesh, other, borders: borderLoops(mesh, other), findings }
	return { value: sound, problems: told(sound, path) }
}

function count(other: Int32Array, kind: number): number {
	let n = 0
	for (let e = 0; e < other.length; e++) if (other[e] === kind) n++
	return n
}
const share = (other: Int32Array, kind: number) => count(other, kind) / Math.max(1, other.length)

function told({ findings: f }: SoundMesh, path: string): Problem[] {
	const out: Problem[] = []
	const tell = (severity: 'note' | 'warning', code: string, found: string, expected: string, fix: string) =>
		out.push(said(severity, code, path, found, expected, fix))
	const nothing = 'nothing, unless the panel looks wrong'
	const triangles = (n: number) => `${counted(n)} ${n === 1 ? 'triangle' : 'triangles'}`
	if (f.flat > 0)
		tell('note', 'SCAN_FLAT_TRIANGLES', `${triangles(f.flat)} without area, left out`, 'triangles with three corners', nothing)
	if (f.repeated > 0) {
		tell(
			'note',
			'SCAN_REPEATED_TRIANGLES',
			`${triangles(f.repeated)} given twice; the second copies were left out`,
			'each triangle once',
			nothing,
		)
	}
	if (f.turned > 0) {
		tell(
			'note',
			'SCAN_TURNED_TRIANGLES',
			`${triangles(f.turned)} the other way round than the rest, turned`,
			'one outside for all',
			nothing,
		)
	}
	if (f.weldedWithin > 0) {
		tell(
			'note',
			'SCAN_LOOSE_TRIANGLES',
			'neighbouring triangles whose corners differ in the last digits; they were joined',
			'corners given alike',
			nothing,
		)
	}
	if (f.pieces > 1) {
		const percent = f.leftOutShare * 100
		tell(
			f.leftOutShare > SMALL_SHARE ? 'warning' : 'note',
			'SCAN_PIECES',
			`${plural(f.pieces, 'piece')} that do not hang together; all but the largest were left out (${triangles(f.leftOut)}, ${percent.toFixed(percent < 1 ? 2 : 0)} % of the area)`,
			'the panel in one piece',
			'if a part of the panel is missing, close the gaps in the scanning program; else cut away what is not the panel',
		)
	}
	if (f.fins > 0) {
		tell(
			'warning',
			'SCAN_FINS',
			`${plural(f.fins, 'triangle')} at edges where two others already meet; the two that bend least were taken as the panel there`,
			'at most two triangles at every edge',
			'have the scanning program repair the mesh if the panel looks wrong there',
		)
	}
	if (f.twisted > 0) {
		tell(
			'warning',
			'SCAN_TWISTED',
			'triangles that cannot all be turned the same way round: somewhere outside runs into inside',
			'a sheet with an outside',
			'have the scanning program repair the mesh',
		)
	}
	return out
}
