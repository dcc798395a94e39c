import type { Outcome } from '../../job/problem.ts'
import { damaged, notAMesh, truncated } from './said.ts'

/** Bytes of each type; both families of names are in use. */
const SIZES: Readonly<Record<string, number>> = {
	char: 1,
	uchar: 1,
	short: 2,
	ushort: 2,
	int: 4,
	uint: 4,
	float: 4,
	double: 8,
	int8: 1,
	uint8: 1,
	int16: 2,
	uint16: 2,
	int32: 4,
	uint32: 4,
	float32: 4,
	float64: 8,
}
const SHORT_NAMES: Readonly<Record<string, PlyType>> = {
	char: 'int8',
	uchar: 'uint8',
	short: 'int16',
	ushort: 'uint16',
	int: 'int32',
	uint: 'uint32',
	float: 'float32',
	double: 'float64',
}
export type PlyType = 'int8' | 'uint8' | 'int16' | 'uint16' | 'int32' | 'uint32' | 'float32' | 'float64'

export interface PlyProperty {
	readonly name: string
	readonly type: PlyType
	readonly bytes: number
	/** of a list: the type of its count */
	readonly list?: PlyType
	/** the least that one of it takes in a binary file */
	readonly leastBytes: number
}
export interface PlyElement {
	readonly name: string
	readonly count: number
	readonly properties: readonly PlyProperty[]
}
export interface PlyHeader {
	readonly format: 'ascii' | 'binary_little_endian' | 'binary_big_endian'
	readonly elements: readonly PlyElement[]
	/** where the data begin */
	readonly length: number
}

/** A header longer than this is none: the ones in use take a few hundred bytes. */
const MOST_HEADER = 65_536

/** Header of a PLY file (Turk, The PLY polygon file format, 1994). What it claims is held against the length of the file. */
export function readPlyHeader(bytes: Uint8Array, path: string): Outcome<PlyHeader> {
	const start = new TextDecoder('latin1').decode(bytes.subarray(0, MOST_HEADER))
	const end = /(^|[\r\n])end_header[^\S\r\n]*(\r\n|\r|\n)/.exec(start)
	if (!end) {
		const whole = bytes.length < MOST_HEADER
		return whole ? truncated(path, 'a PLY file whose header breaks off') : notAMesh(path, 'a PLY file without end of header')
	}
	const length = end.index + end[0].length
	let format: PlyHeader['format'] | undefined
	const elements: { name: string; count: number; properties: PlyProperty[] }[] = []
	for (const line of start.slice(0, end.index).split(/\r\n|\r|\n/)) {
		const words = line.trim().split(/\s+/)
		const bad = () => damaged(path, `a header with the line "${line.trim().slice(0, 60)}"`, 'a line that the PLY format knows')
		if (words[0] === 'format') {
			const name = words[1]
			if (name !== 'ascii' && name !== 'binary_little_endian' && name !== 'binary_big_endian') return bad()
			format = name
		} else if (words[0] === 'element') {
			const count = Number(words[2])
			if (!Number.isSafeInteger(count) || count < 0 || !words[1]) return bad()
			elements.push({ name: words[1], count, properties: [] })
		} else if (words[0] === 'property') {
			const property = propertyOf(words)
			const element = elements.at(-1)
			if (!property || !element) return bad()
			element.properties.push(property)
		}
	}
	if (!format) return damaged(path, 'a PLY header that does not say its format', 'a line "format ..."')
	return { value: { format, elements, length }, problems: [] }
}

function propertyOf(words: readonly string[]): PlyProperty | undefined {
	const list = words[1] === 'list'
	const [typeName, name] = list ? [words[3], words[4]] : [words[1], words[2]]
	const type = nameOf(typeName)
	const countType = list ? nameOf(words[2]) : undefined
	if (!type || !name || (list && !countType)) return undefined
	const bytes = SIZES[type]!
	return countType
		? { name, type, bytes, list: countType, leastBytes: SIZES[countType]! }
		: { name, type, bytes, leastBytes: bytes }
}

function nameOf(word: string | undefined): PlyType | undefined {
	if (word === undefined || !Object.hasOwn(SIZES, word)) return undefined
	return SHORT_NAMES[word] ?? (word as PlyType)
}
