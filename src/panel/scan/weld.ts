import type { ScanMesh } from './mesh.ts'

/**
 * Corners at the same place made one, and corners of no triangle left out: STL gives every triangle corners of its own.
 * With `cell` 0 the places must be the same to the last bit; else all that fall into the same cell of that size become one, at
 * their mean. Open addressing over the coordinates' bits, with a load of at most one half (Knuth, The Art of Computer
 * Programming 3, 6.4).
 */
export function weld({ positions, triangles }: ScanMesh, cell = 0): ScanMesh {
	const keys = cell > 0 ? positions.map((p) => Math.round(p / cell)) : positions
	const to = new Int32Array(positions.length / 3).fill(-1)
	const first = new Uint32Array(to.length)
	const out = new Uint32Array(triangles.length)
	// in STL six triangles share a corner, so that far fewer slots than corners will do; it grows where they do not
	let table = new Int32Array(sizeFor(to.length / 6)).fill(-1)
	let welded = 0
	for (let i = 0; i < triangles.length; i++) {
		const v = triangles[i]!
		let at = to[v]!
		if (at < 0) at = amongLast(keys, triangles, out, i)
		if (at < 0) {
			if (2 * welded >= table.length) table = rehashed(keys, first, welded)
			const slot = find(keys, first, table, v)
			at = table[slot]!
			if (at < 0) {
				at = welded++
				table[slot] = at
				first[at] = v
			}
		}
		to[v] = at
		out[i] = at
	}
	const places = cell > 0 ? meanPlaces(positions, to, welded) : placesOf(positions, first, welded)
	return { positions: places, triangles: out }
}

/** Triangles are mostly written neighbour after neighbour: two of three corners were met within this many before. */
const LOOK_BACK = 6

function amongLast(keys: Float64Array, triangles: Uint32Array, out: Uint32Array, i: number): number {
	const v = 3 * triangles[i]!
	for (let k = i - 1; k >= 0 && k >= i - LOOK_BACK; k--) {
		const w = 3 * triangles[k]!
		if (keys[w] === keys[v] && keys[w + 1] === keys[v + 1] && keys[w + 2] === keys[v + 2]) return out[k]!
	}
	return -1
}

function sizeFor(places: number): number {
	let size = 1024
	while (size < 2 * places) size *= 2
	return size
}

function rehashed(keys: Float64Array, first: Uint32Array, welded: number): Int32Array<ArrayBuffer> {
	const table = new Int32Array(sizeFor(2 * welded)).fill(-1)
	for (let at = 0; at < welded; at++) table[find(keys, first, table, first[at]!)] = at
	return table
}

/** The slot that has v's place, or the empty one where it belongs: at most half are taken, so one comes. */
function find(keys: Float64Array, first: Uint32Array, table: Int32Array, v: number): number {
	const a = keys[3 * v]!
	const b = keys[3 * v + 1]!
	const c = keys[3 * v + 2]!
	const mask = table.length - 1
	let slot = hash(a, b, c) & mask
	for (;;) {
		const there = table[slot]!
		if (there < 0) return slot
		const w = 3 * first[there]!
		if (keys[w] === a && keys[w + 1] === b && keys[w + 2] === c) return slot
		slot = (slot + 1) & mask
	}
}

function placesOf(positions: Float64Array, first: Uint32Array, welded: number): Float64Array {
	const places = new Float64Array(3 * welded)
	for (let i = 0; i < welded; i++) {
		const v = 3 * first[i]!
		places[3 * i] = positions[v]!
		places[3 * i + 1] = positions[v + 1]!
		places[3 * i + 2] = positions[v + 2]!
	}
	return places
}

function meanPlaces(positions: Float64Array, to: Int32Array, welded: number): Float64Array {
	const places = new Float64Array(3 * welded)
	const members = new Uint32Array(welded)
	for (let v = 0; v < to.length; v++) {
		const at = to[v]!
		if (at < 0) continue
		members[at] = members[at]! + 1
		for (let k = 0; k < 3; k++) places[3 * at + k] = places[3 * at + k]! + positions[3 * v + k]!
	}
	for (let i = 0; i < places.length; i += 3) for (let k = 0; k < 3; k++) places[i + k] = places[i + k]! / members[i / 3]!
	return places
}

const one = new Float64Array(1)
const bits = new Int32Array(one.buffer)

/** Multiplicative mixing of the three doubles' bits (the finaliser of MurmurHash3, Appleby, public domain). */
function hash(a: number, b: number, c: number): number {
	let h = mixed(0x2545f491, a)
	h = mixed(h, b)
	h = mixed(h, c)
	h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
	h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
	return h ^ (h >>> 16)
}

function mixed(h: number, x: number): number {
	// -0 and 0 are one place
	one[0] = x + 0
	const k = Math.imul(bits[0]! ^ Math.imul(bits[1]!, 0x1b873593), 0xcc9e2d51)
	const g = h ^ ((k << 15) | (k >>> 17))
	return (Math.imul((g << 13) | (g >>> 19), 5) + 0x52dce729) | 0
}
