// The readers of scans against those of three (examples/jsm/loaders), which read the same files in another way. three holds places in single precision.

import type { BufferGeometry, Mesh } from 'three'
import { OBJLoader } from 'three/examples/jsm/loaders/OBJLoader.js'
import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js'
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js'
import { expect, test } from 'vitest'
import { headlampScan, toStl } from '../../scripts/fixtures/headlampScan.ts'
import type { ScanMesh } from '../../src/panel/scan/mesh.ts'
import { readScan } from '../../src/panel/scan/read.ts'

const { mesh } = headlampScan({ triangles: 2000, seed: 11 })
const bytes = (text: string) => new TextEncoder().encode(text)
const triples = (list: ArrayLike<number>) =>
	Array.from({ length: list.length / 3 }, (_, i) => [list[3 * i], list[3 * i + 1], list[3 * i + 2]])
const stlText = () =>
	`solid lamp\n${triples(mesh.triangles)
		.map(
			(t) =>
				`facet normal 0 0 0\nouter loop\n${t.map((v) => `vertex ${mesh.positions.slice(3 * v!, 3 * v! + 3).join(' ')}\n`).join('')}endloop\nendfacet\n`,
		)
		.join('')}endsolid lamp\n`
const ply = (body: string) =>
	`ply\nformat ${body} 1.0\nelement vertex ${mesh.positions.length / 3}\nproperty float x\nproperty float y\nproperty float z\nelement face ${mesh.triangles.length / 3}\nproperty list uchar int vertex_indices\nend_header\n`
const plyText = () =>
	`${ply('ascii')}${triples(mesh.positions)
		.map((p) => p.join(' '))
		.join('\n')}\n${triples(mesh.triangles)
		.map((t) => `3 ${t.join(' ')}`)
		.join('\n')}\n`
function plyBinary(little: boolean): Uint8Array {
	const head = bytes(ply(`binary_${little ? 'little' : 'big'}_endian`))
	const file = new Uint8Array(head.length + 4 * mesh.positions.length + (13 * mesh.triangles.length) / 3)
	file.set(head)
	const view = new DataView(file.buffer)
	let at = head.length
	for (const c of mesh.positions) {
		view.setFloat32(at, c, little)
		at += 4
	}
	mesh.triangles.forEach((v, i) => {
		if (i % 3 === 0) view.setUint8(at++, 3)
		view.setInt32(at, v, little)
		at += 4
	})
	return file
}
const obj = () =>
	`${triples(mesh.positions)
		.map((p) => `v ${p.join(' ')}`)
		.join('\n')}\n${triples(mesh.triangles)
		.map((t) => `f ${t.map((v) => v! + 1).join(' ')}`)
		.join('\n')}\n`

/** Corners of all triangles, one after the other, in single precision. */
const flat = ({ positions, triangles }: ScanMesh) =>
	Float32Array.from({ length: 3 * triangles.length }, (_, i) => positions[3 * triangles[Math.floor(i / 3)]! + (i % 3)]!)
const cornersOf = (geometry: BufferGeometry) => {
	const loose = geometry.index ? geometry.toNonIndexed() : geometry
	return loose.getAttribute('position').array as Float32Array
}

test.each([
	['binary STL', () => toStl(mesh), (b: Uint8Array) => new STLLoader().parse(b.buffer as ArrayBuffer)],
	['text STL', () => bytes(stlText()), (b: Uint8Array) => new STLLoader().parse(b.buffer as ArrayBuffer)],
	['text PLY', () => bytes(plyText()), (b: Uint8Array) => new PLYLoader().parse(b.buffer as ArrayBuffer)],
	['binary PLY, little endian', () => plyBinary(true), (b: Uint8Array) => new PLYLoader().parse(b.buffer as ArrayBuffer)],
	['binary PLY, big endian', () => plyBinary(false), (b: Uint8Array) => new PLYLoader().parse(b.buffer as ArrayBuffer)],
	[
		'OBJ',
		() => bytes(obj()),
		(b: Uint8Array) => (new OBJLoader().parse(new TextDecoder().decode(b)).children[0] as Mesh).geometry,
	],
] as const)('%s', (_, make, theirs) => {
	const file = make()
	const ours = readScan(file, 'lamp', '').value
	expect(ours).toBeDefined()
	expect(flat(ours as ScanMesh)).toEqual(Float32Array.from(cornersOf(theirs(file.slice()))))
})
