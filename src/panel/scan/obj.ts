import type { Outcome } from '../../job/problem.ts'
import type { ScanMesh } from './mesh.ts'
import { type Cursor, cursorOn, growingFloats, growingIndices, skipLine, skipWord, takeNumber, toWordOnLine } from './numbers.ts'
import { counted, damaged, notAMesh } from './said.ts'

const V = 118
const F = 102
const SPACE = 32
const MINUS = 45
const SLASH = 47
/** A face with more corners is no triangle that somebody split badly, but a damaged line. */
const MOST_CORNERS = 1000

/** OBJ (Wavefront, appendix B1, "v" and "f"): corners and faces, faces of more than three corners cut into a fan; the rest is passed over. */
export function readObj(bytes: Uint8Array, path: string): Outcome<ScanMesh> {
	const c = cursorOn(bytes)
	const positions = growingFloats()
	const triangles = growingIndices()
	const face: number[] = []
	let line = 0
	while (c.at < c.end) {
		line++
		if (toWordOnLine(c) && bytes[c.at + 1]! <= SPACE) {
			const kind = bytes[c.at]
			c.at++
			if (kind === V) {
				const p = [0, 0, 0]
				for (let k = 0; k < 3; k++) p[k] = toWordOnLine(c) ? takeNumber(c) : Number.NaN
				positions.push(p[0]!, p[1]!, p[2]!)
			} else if (kind === F) {
				face.length = 0
				const known = positions.length() / 3
				while (toWordOnLine(c)) {
					const corner = takeCorner(c)
					const index = corner < 0 ? known + corner : corner - 1
					if (!(index >= 0) || corner === 0 || face.length >= MOST_CORNERS) {
						return damaged(
							path,
							`face ${counted(triangles.length() / 3 + 1)} with a corner that cannot be read`,
							'corner numbers',
						)
					}
					face.push(index)
				}
				for (let k = 2; k < face.length; k++) triangles.push(face[0]!, face[k - 1]!, face[k]!)
			}
		}
		skipLine(c)
	}
	if (positions.length() === 0 && triangles.length() === 0)
		return notAMesh(path, `${counted(line)} lines without a corner or a face`)
	return { value: { positions: positions.take(), triangles: triangles.take() }, problems: [] }
}

/** "7", "7/1", "7//3" or "-2/1/1": the first number, 0 when it is none. */
function takeCorner(c: Cursor): number {
	const { bytes } = c
	const down = bytes[c.at] === MINUS
	if (down) c.at++
	let index = 0
	const from = c.at
	while (c.at < c.end && bytes[c.at]! >= 48 && bytes[c.at]! <= 57) index = index * 10 + (bytes[c.at++]! - 48)
	const whole = c.at > from && (c.at >= c.end || bytes[c.at]! <= SPACE || bytes[c.at] === SLASH)
	skipWord(c)
	return whole ? (down ? -index : index) : 0
}
