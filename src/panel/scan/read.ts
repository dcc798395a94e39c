import type { Outcome, Problem } from '../../job/problem.ts'
import { type ScanMesh, triangleCount, vertexCount } from './mesh.ts'
import { readObj } from './obj.ts'
import { readPly } from './ply.ts'
import { bytesOf, counted, damaged, notAMesh, refused, said } from './said.ts'
import { isBinaryStl, readBinaryStl, readTextStl } from './stl.ts'

/** More than any panel needs (0.1 mm between points on a tank), and what two gigabytes of memory hold while it is checked. */
const MOST_TRIANGLES = 8_000_000
/** A few corners without a place are a scanner's slip and are left out; more is a damaged file. */
const MOST_WITHOUT_PLACE = 0.01

/**
 * The triangles of a scan out of the bytes of its file, in the file's own unit and frame: STL (binary, text), PLY (text, binary of
 * either byte order) or OBJ, told by what the file holds; its name decides only between what text could be either.
 * Every corner has a place and every triangle has corners; what had none is left out and told of. Fails on an empty, cut off or
 * damaged file, on points without triangles, and on more than 8 million triangles.
 * @param name the file's name, for its ending
 * @param path JSON pointer to the capture, for problems
 */
export function readScan(bytes: Uint8Array, name: string, path: string): Outcome<ScanMesh> {
	if (bytes.length === 0) {
		return refused('SCAN_EMPTY', path, `${name}, an empty file`, 'a scan', 'export the scan again, or name another file')
	}
	const answer = parse(bytes, name, path)
	return answer.value ? checked(answer.value, path) : answer
}

function parse(bytes: Uint8Array, name: string, path: string): Outcome<ScanMesh> {
	if (isBinaryStl(bytes)) return readBinaryStl(bytes, path)
	const start = new TextDecoder('latin1').decode(bytes.subarray(0, 2048)).replace(/^\xef\xbb\xbf/, '')
	if (/^ply\s/.test(start)) return readPly(bytes, path)
	const text = !start.includes('\0')
	if (text && /^\s*solid\b/i.test(start)) return readTextStl(bytes, path)
	if (text && (/\.obj$/i.test(name) || /^\s*v\s+[-+.\d]/m.test(start))) return readObj(bytes, path)
	// A binary STL may begin with anything, so its name must speak for it where its length does not.
	if (/\.stl$/i.test(name) && !text) return readBinaryStl(bytes, path)
	return notAMesh(path, `${name}, a file of ${bytesOf(bytes.length)} that is none of these`)
}

function checked(mesh: ScanMesh, path: string): Outcome<ScanMesh> {
	const count = triangleCount(mesh)
	const corners = vertexCount(mesh)
	if (count === 0) return notAMesh(path, `${counted(corners)} points and no triangle`)
	if (count > MOST_TRIANGLES) {
		return refused(
			'SCAN_TOO_FINE',
			path,
			`${counted(count)} triangles`,
			`at most ${counted(MOST_TRIANGLES)}`,
			'cut the panel out of the scan, or thin it in the scanning program to 0.5 mm between points',
		)
	}
	const { positions, triangles } = mesh
	let kept = 0
	const good = new Uint32Array(triangles.length)
	for (let t = 0; t < triangles.length; t += 3) {
		let fine = true
		for (let k = 0; k < 3; k++) {
			const v = triangles[t + k]!
			if (v >= corners)
				return damaged(
					path,
					`triangle ${counted(t / 3 + 1)} with corner ${counted(v + 1)} of ${counted(corners)}`,
					'corners that the file has',
				)
			const sum = positions[3 * v]! + positions[3 * v + 1]! + positions[3 * v + 2]!
			// a coordinate that is no number, or infinite, makes the sum so (opposite infinities make it no number)
			if (!Number.isFinite(sum)) fine = false
		}
		if (!fine) continue
		good[kept] = triangles[t]!
		good[kept + 1] = triangles[t + 1]!
		good[kept + 2] = triangles[t + 2]!
		kept += 3
	}
	const lost = (triangles.length - kept) / 3
	if (lost === 0) return { value: mesh, problems: [] }
	if (lost > MOST_WITHOUT_PLACE * count) {
		return damaged(path, `${counted(lost)} of ${counted(count)} triangles with a corner whose place is not a number`, 'numbers')
	}
	const told: Problem = said(
		'warning',
		'SCAN_WITHOUT_PLACE',
		path,
		`${counted(lost)} of ${counted(count)} triangles with a corner whose place is not a number; they were left out`,
		'numbers',
		'look at the holes that this leaves, or export the scan again',
	)
	return { value: { positions, triangles: good.slice(0, kept) }, problems: [told] }
}
