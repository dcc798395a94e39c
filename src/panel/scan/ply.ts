import type { Outcome } from '../../job/problem.ts'
import type { ScanMesh } from './mesh.ts'
import { cursorOn, type Growing, growingFloats, growingIndices, takeNumber, toWord } from './numbers.ts'
import { type PlyElement, type PlyHeader, type PlyType, readPlyHeader } from './plyHeader.ts'
import { bytesOf, counted, damaged, notAMesh, refused, truncated } from './said.ts'

const INDICES = ['vertex_indices', 'vertex_index']
/** A face with more corners is a damaged count. */
const MOST_CORNERS = 1000

/** Numbers one after the other, as text or as bytes; `left` is how many more bytes there are. */
interface Source {
	next(type: PlyType): number
	left(): number
}

/** PLY, text or binary of either byte order (Turk 1994): elements "vertex" (x, y, z of any type) and "face"; others are passed over. */
export function readPly(bytes: Uint8Array, path: string): Outcome<ScanMesh> {
	const answer = readPlyHeader(bytes, path)
	const header = answer.value
	if (!header) return { problems: answer.problems }
	const unfit = misfit(header, bytes.length, path)
	if (unfit) return unfit
	const source = header.format === 'ascii' ? textSource(bytes, header.length) : byteSource(bytes, header)
	const positions = growingFloats()
	const triangles = growingIndices()
	for (const element of header.elements) {
		const faulty =
			element.name === 'vertex'
				? readVertices(element, source, positions, path)
				: element.name === 'face'
					? readFaces(element, source, triangles, path)
					: passOver(element, source, path)
		if (faulty) return faulty
	}
	return { value: { positions: positions.take(), triangles: triangles.take() }, problems: [] }
}

function misfit({ format, elements, length }: PlyHeader, bytes: number, path: string): Outcome<never> | undefined {
	const vertex = elements.find((e) => e.name === 'vertex')
	const face = elements.find((e) => e.name === 'face')
	if (!vertex || !['x', 'y', 'z'].every((axis) => vertex.properties.some((p) => p.name === axis && !p.list))) {
		return notAMesh(path, 'a PLY file without corners x, y, z')
	}
	if (!face) {
		if (elements.some((e) => e.name === 'tristrips')) {
			return refused(
				'SCAN_STRIPS',
				path,
				'triangles as strips',
				'triangles as faces',
				'export the scan with plain triangle faces',
			)
		}
		return refused(
			'SCAN_POINTS_ONLY',
			path,
			`${counted(vertex.count)} points without a triangle`,
			'a triangle mesh',
			'make a mesh of the points in the scanning program and export that',
		)
	}
	if (!face.properties.some((p) => p.list && INDICES.includes(p.name)))
		return notAMesh(path, 'a PLY file whose faces have no corners')
	// as text every number takes a digit and a space
	const least = (e: PlyElement) =>
		format === 'ascii' ? 2 * e.properties.length : e.properties.reduce((n, p) => n + p.leastBytes, 0)
	const needed = length + elements.reduce((sum, e) => sum + e.count * least(e), 0)
	if (needed - 1 <= bytes) return undefined
	const words = `a header that claims ${counted(vertex.count)} corners and ${counted(face.count)} faces`
	return truncated(path, `${words} (at least ${bytesOf(needed)}) in a file of ${bytesOf(bytes)}`)
}

const shortOf = (element: PlyElement, i: number, path: string) =>
	truncated(path, `a file that breaks off at ${element.name} ${counted(i + 1)} of ${counted(element.count)}`)

function readVertices(e: PlyElement, source: Source, out: Growing<Float64Array>, path: string): Outcome<never> | undefined {
	const [x, y, z] = ['x', 'y', 'z'].map((axis) => e.properties.findIndex((p) => p.name === axis)) as [number, number, number]
	const values = new Float64Array(e.properties.length)
	for (let i = 0; i < e.count; i++) {
		for (let k = 0; k < e.properties.length; k++) {
			const property = e.properties[k]!
			if (property.list) {
				const faulty = passList(property.list, property.type, source, path)
				if (faulty) return faulty
			} else {
				if (source.left() < 1) return shortOf(e, i, path)
				values[k] = source.next(property.type)
			}
		}
		out.push(values[x]!, values[y]!, values[z]!)
	}
	return undefined
}

function readFaces(e: PlyElement, source: Source, out: Growing<Uint32Array>, path: string): Outcome<never> | undefined {
	for (let i = 0; i < e.count; i++) {
		for (const property of e.properties) {
			if (source.left() < 1) return shortOf(e, i, path)
			if (!property.list) source.next(property.type)
			else if (!INDICES.includes(property.name)) {
				const faulty = passList(property.list, property.type, source, path)
				if (faulty) return faulty
			} else {
				const corners = source.next(property.list)
				if (!(corners >= 0 && corners <= MOST_CORNERS))
					return damaged(path, `face ${counted(i + 1)} of ${corners} corners`, 'triangles')
				let first = 0
				let last = 0
				for (let k = 0; k < corners; k++) {
					if (source.left() < 1) return shortOf(e, i, path)
					const index = source.next(property.type)
					if (!(index >= 0)) return damaged(path, `face ${counted(i + 1)} with corner ${index}`, 'corners counted from 0')
					if (k === 0) first = index
					// more than three corners: a fan
					if (k >= 2) out.push(first, last, index)
					last = index
				}
			}
		}
	}
	return undefined
}

function passOver(e: PlyElement, source: Source, path: string): Outcome<never> | undefined {
	for (let i = 0; i < e.count; i++) {
		for (const property of e.properties) {
			if (source.left() < 1) return shortOf(e, i, path)
			const faulty = property.list ? passList(property.list, property.type, source, path) : void source.next(property.type)
			if (faulty) return faulty
		}
	}
	return undefined
}

function passList(count: PlyType, type: PlyType, source: Source, path: string): Outcome<never> | undefined {
	const n = source.next(count)
	if (!(n >= 0 && n <= source.left())) return damaged(path, `a list of ${n} entries`, 'a list that fits into the file')
	for (let k = 0; k < n; k++) source.next(type)
	return undefined
}

function textSource(bytes: Uint8Array, at: number): Source {
	const c = cursorOn(bytes, at)
	return {
		next: () => (toWord(c) ? takeNumber(c) : Number.NaN),
		left: () => (toWord(c) ? c.end - c.at : 0),
	}
}

/** Past the end it gives NaN; the readers ask `left` before each item, so a broken end is told of and never read over. */
function byteSource(bytes: Uint8Array, { format, length }: PlyHeader): Source {
	const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
	const little = format === 'binary_little_endian'
	const end = bytes.length
	let at = length
	const step = (size: number) => {
		const from = at
		at += size
		return at <= end ? from : -1
	}
	return {
		left: () => end - at,
		next(type) {
			let from: number
			switch (type) {
				case 'float32':
					from = step(4)
					return from < 0 ? Number.NaN : view.getFloat32(from, little)
				case 'int32':
					from = step(4)
					return from < 0 ? Number.NaN : view.getInt32(from, little)
				case 'uint8':
					from = step(1)
					return from < 0 ? Number.NaN : view.getUint8(from)
				case 'float64':
					from = step(8)
					return from < 0 ? Number.NaN : view.getFloat64(from, little)
				case 'uint32':
					from = step(4)
					return from < 0 ? Number.NaN : view.getUint32(from, little)
				case 'int16':
					from = step(2)
					return from < 0 ? Number.NaN : view.getInt16(from, little)
				case 'uint16':
					from = step(2)
					return from < 0 ? Number.NaN : view.getUint16(from, little)
				case 'int8':
					from = step(1)
					return from < 0 ? Number.NaN : view.getInt8(from)
			}
		},
	}
}
