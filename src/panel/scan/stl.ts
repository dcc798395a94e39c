import type { Outcome } from '../../job/problem.ts'
import type { ScanMesh } from './mesh.ts'
import { cursorOn, growingFloats, skipLine, takeNumber, takeWord, toWord } from './numbers.ts'
import { bytesOf, counted, damaged, notAMesh, truncated } from './said.ts'

const HEADER = 80
const TRIANGLE = 50

/** Whether the length of the file is what the count in a binary header makes it: then it is binary, whatever the header says. */
export function isBinaryStl(bytes: Uint8Array): boolean {
	return bytes.length >= HEADER + 4 && claimed(bytes) * TRIANGLE + HEADER + 4 === bytes.length
}

const claimed = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset).getUint32(HEADER, true)

/**
 * Binary STL (3D Systems, StereoLithography Interface Specification, 1989): three corners of its own for each triangle.
 * The normals in the file are not believed and not read. The count is held against the file's length before memory is asked for.
 */
export function readBinaryStl(bytes: Uint8Array, path: string): Outcome<ScanMesh> {
	if (bytes.length < HEADER + 4) return notAMesh(path, `a file of ${bytesOf(bytes.length)}, too short for any scan`)
	const count = claimed(bytes)
	const needed = count * TRIANGLE + HEADER + 4
	if (needed > bytes.length) {
		const there = Math.floor((bytes.length - HEADER - 4) / TRIANGLE)
		const words = `a header that claims ${counted(count)} triangles (${bytesOf(needed)}) in a file of ${bytesOf(bytes.length)}`
		return truncated(path, `${words}, where ${counted(there)} find room`)
	}
	const view = new DataView(bytes.buffer, bytes.byteOffset)
	const positions = new Float64Array(9 * count)
	let to = 0
	for (let t = 0; t < count; t++) {
		const from = HEADER + 4 + t * TRIANGLE + 12
		for (let k = 0; k < 36; k += 4) positions[to++] = view.getFloat32(from + k, true)
	}
	return { value: { positions, triangles: ownCorners(count) }, problems: [] }
}

/** Text STL: "vertex x y z" three times between "facet" and "endfacet". */
export function readTextStl(bytes: Uint8Array, path: string): Outcome<ScanMesh> {
	const c = cursorOn(bytes)
	const positions = growingFloats()
	let facets = 0
	let ended = false
	skipLine(c)
	while (toWord(c)) {
		const word = takeWord(c).toLowerCase()
		if (word === 'vertex') {
			const p = [0, 0, 0]
			for (let k = 0; k < 3; k++) p[k] = toWord(c) ? takeNumber(c) : Number.NaN
			positions.push(p[0]!, p[1]!, p[2]!)
		} else if (word === 'facet') {
			if (positions.length() !== 9 * facets) return damaged(path, `facet ${counted(facets)} without three corners`, 'triangles')
			facets++
			ended = false
		} else if (word === 'endsolid') {
			ended = true
			skipLine(c)
		} else if (word === 'solid' || word === 'normal') skipLine(c)
	}
	if (facets === 0) return notAMesh(path, 'a text that begins with "solid" and has no facet')
	if (!ended || positions.length() !== 9 * facets) {
		return truncated(path, `a text that breaks off after ${counted(facets)} facets, without "endsolid"`)
	}
	return { value: { positions: positions.take(), triangles: ownCorners(facets) }, problems: [] }
}

const ownCorners = (count: number) => {
	const triangles = new Uint32Array(3 * count)
	for (let i = 0; i < triangles.length; i++) triangles[i] = i
	return triangles
}
