import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { toStl } from '../../scripts/fixtures/headlampScan.ts'
import { cursorOn, takeNumber } from '../../src/panel/scan/numbers.ts'
import { readScan } from '../../src/panel/scan/read.ts'

const bytes = (text: string) => new TextEncoder().encode(text)
const code = (data: Uint8Array, name = 'shell.stl') => readScan(data, name, '/found').problems[0]?.code
const tetra = {
	positions: Float64Array.of(0, 0, 0, 10, 0, 0, 0, 20, 0, 0, 0, 30.5),
	triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3),
}
const solid = (facets: number) =>
	`solid shell\n${'facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1e1 0 -0.5\nvertex 0 .25e+2 0\nendloop\nendfacet\n'.repeat(facets)}endsolid shell\n`
const plyText = (faces = '4 0 1 2 3\n') =>
	`ply\nformat ascii 1.0\ncomment made here\nelement vertex 4\nproperty double x\nproperty double y\nproperty double z\nproperty uchar red\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0 9\n10 0 0 9\n10 10 0 9\n0 10 0.5 9\n${faces}`

/** One triangle and one square as binary PLY, with a list of another name and a property to pass over. */
function plyBinary(little: boolean, floats: 'float' | 'double'): Uint8Array {
	const size = floats === 'float' ? 4 : 8
	const head = bytes(
		`ply\nformat binary_${little ? 'little' : 'big'}_endian 1.0\nelement vertex 5\nproperty ${floats} x\nproperty ${floats} y\nproperty ${floats} z\nproperty ushort quality\nelement face 2\nproperty list uchar float texcoord\nproperty list uchar uint vertex_index\nend_header\n`,
	)
	const view = new DataView(new ArrayBuffer(5 * (3 * size + 2) + 2 * (1 + 8 + 1) + 7 * 4))
	let at = 0
	const places = [0, 0, 0, 10, 0, 0, 10, 10, 0, 0, 10, 0.5, 5, 15, 1]
	for (let v = 0; v < 5; v++) {
		for (let k = 0; k < 3; k++, at += size) {
			if (floats === 'float') view.setFloat32(at, places[3 * v + k]!, little)
			else view.setFloat64(at, places[3 * v + k]!, little)
		}
		view.setUint16(at, 7, little)
		at += 2
	}
	for (const face of [
		[0, 1, 2, 3],
		[3, 2, 4],
	]) {
		view.setUint8(at++, 2)
		at += 8
		view.setUint8(at++, face.length)
		for (const index of face) {
			view.setUint32(at, index, little)
			at += 4
		}
	}
	const all = new Uint8Array(head.length + view.byteLength)
	all.set(head)
	all.set(new Uint8Array(view.buffer), head.length)
	return all
}

describe('each format', () => {
	test('binary STL, also where its header begins with "solid" and where it lies inside other bytes', () => {
		const file = toStl(tetra)
		file.set(bytes('solid of some program'))
		const inside = new Uint8Array(file.length + 6)
		inside.set(file, 3)
		const mesh = readScan(inside.subarray(3, 3 + file.length), 'x.stl', '').value
		expect(mesh?.triangles.length).toBe(12)
		expect([...(mesh?.positions.subarray(0, 9) ?? [])]).toEqual([0, 0, 0, 0, 20, 0, 10, 0, 0])
	})
	test('text STL', () => {
		const mesh = readScan(bytes(solid(2)), 'x.stl', '').value
		expect([...(mesh?.positions.subarray(9) ?? [])]).toEqual([0, 0, 0, 10, 0, -0.5, 0, 25, 0])
	})
	test('text PLY with doubles: a square becomes two triangles', () => {
		const mesh = readScan(bytes(plyText()), 'x.ply', '').value
		expect([...(mesh?.triangles ?? [])]).toEqual([0, 1, 2, 0, 2, 3])
		expect(mesh?.positions[11]).toBe(0.5)
	})
	test.each([
		[true, 'float'],
		[false, 'float'],
		[true, 'double'],
		[false, 'double'],
	] as const)('binary PLY, little endian %s, %s', (little, floats) => {
		const mesh = readScan(plyBinary(little, floats), 'x.ply', '').value
		expect([...(mesh?.triangles ?? [])]).toEqual([0, 1, 2, 0, 2, 3, 3, 2, 4])
		expect([...(mesh?.positions ?? [])]).toEqual([0, 0, 0, 10, 0, 0, 10, 10, 0, 0, 10, 0.5, 5, 15, 1])
	})
	test('OBJ with slashes, negative numbers, colours, groups and CRLF', () => {
		const text =
			'mtllib a.mtl\r\nv 0 0 0 1 0 0\r\nv 1 0 0\r\nvn 0 0 1\r\nv 1 1 0\r\nv 0 1 0.5\r\ng top\r\nf 1/1/1 2//1 3/2\r\n\r\nf -4 -2 -1\r\n'
		const mesh = readScan(bytes(text), 'x.obj', '').value
		expect([...(mesh?.triangles ?? [])]).toEqual([0, 1, 2, 0, 2, 3])
		expect(mesh?.positions.length).toBe(12)
	})
})

describe('what cannot be read is said', () => {
	test('empty', () => expect(code(new Uint8Array())).toBe('SCAN_EMPTY'))
	test('a header that claims 2 GB in a short file asks for no memory', () => {
		const file = new Uint8Array(284)
		new DataView(file.buffer).setUint32(80, 42_949_672, true)
		const [problem] = readScan(file, 'shell.stl', '/found/file').problems
		expect(problem).toMatchObject({ code: 'SCAN_TRUNCATED', path: '/found/file' })
		expect(problem?.found).toBe('a header that claims 42,949,672 triangles (2.1 GB) in a file of 284 bytes, where 4 find room')
		const ply = plyText().replace('element vertex 4', 'element vertex 99999999')
		expect(readScan(bytes(ply), 'x.ply', '').problems[0]?.found).toContain('at least 800.0 MB')
		expect(code(bytes(ply), 'x.ply')).toBe('SCAN_TRUNCATED')
	})
	test('broken off', () => {
		expect(code(toStl(tetra).subarray(0, 200))).toBe('SCAN_TRUNCATED')
		expect(code(bytes(solid(3).slice(0, 250)))).toMatch(/SCAN_(TRUNCATED|DAMAGED)/)
		expect(code(bytes(plyText('')), 'x.ply')).toBe('SCAN_TRUNCATED')
		expect(code(bytes(plyText().slice(0, 90)), 'x.ply')).toBe('SCAN_TRUNCATED')
		const ply = plyBinary(true, 'double')
		for (let cut = 1; cut < 60; cut += 7)
			expect(code(ply.subarray(0, ply.length - cut), 'x.ply')).toMatch(/SCAN_(TRUNCATED|DAMAGED)/)
	})
	test('not a mesh', () => {
		expect(code(bytes('dear reader'), 'letter.txt')).toBe('SCAN_NOT_A_MESH')
		expect(code(bytes('v 0 0 0\nv 1 0 0\nv 0 1 0\n'), 'x.obj')).toBe('SCAN_NOT_A_MESH')
		expect(code(bytes('solid x\nendsolid x\n'))).toBe('SCAN_NOT_A_MESH')
		expect(code(Uint8Array.of(137, 80, 78, 71, 0, 1, 2), 'photo.png')).toBe('SCAN_NOT_A_MESH')
	})
	test('points or strips without triangles', () => {
		const points =
			'ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n0 0 0\n'
		expect(code(bytes(points), 'x.ply')).toBe('SCAN_POINTS_ONLY')
		expect(
			code(bytes(points.replace('end_header', 'element tristrips 1\nproperty list int int vertex_indices\nend_header')), 'x.ply'),
		).toBe('SCAN_STRIPS')
	})
	test('corners that do not exist', () => {
		expect(code(bytes(plyText('3 0 1 7\n')), 'x.ply')).toBe('SCAN_DAMAGED')
		expect(code(bytes('v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n'), 'x.obj')).toBe('SCAN_DAMAGED')
		expect(code(bytes('v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 x\n'), 'x.obj')).toBe('SCAN_DAMAGED')
	})
	test('a few corners without a place are left out and told of; many are a damaged file', () => {
		const text = (bad: number) =>
			Array.from({ length: 300 }, (_, i) => `v ${i < bad ? 'nan' : i} 0 0\nv ${i} 1 0\nv ${i} 0 1\nf -1 -2 -3\n`).join('')
		const answer = readScan(bytes(text(2)), 'x.obj', '')
		expect(answer.value?.triangles.length).toBe(3 * 298)
		expect(answer.problems[0]).toMatchObject({ code: 'SCAN_WITHOUT_PLACE', severity: 'warning' })
		expect(code(bytes(text(30)), 'x.obj')).toBe('SCAN_DAMAGED')
		expect(code(bytes(text(2).replaceAll('nan', '1e999')), 'x.obj')).toBe('SCAN_WITHOUT_PLACE')
	})
})

test('whatever the bytes are, the answer is a mesh with a place for every corner, or a problem', () => {
	const start = fc.constantFrom('', 'solid a\nfacet\nvertex ', 'ply\nformat binary_little_endian 1.0\n', 'v 1 2 3\nf ', plyText())
	fc.assert(
		fc.property(start, fc.uint8Array({ maxLength: 400 }), fc.constantFrom('a.stl', 'a.ply', 'a.obj', 'a'), (text, rest, name) => {
			const head = bytes(text)
			const file = new Uint8Array(head.length + rest.length)
			file.set(head)
			file.set(rest, head.length)
			const { value, problems } = readScan(file, name, '')
			if (!value) expect(problems.length).toBeGreaterThan(0)
			else
				for (const v of value.triangles)
					for (let k = 0; k < 3; k++) expect(Number.isFinite(value.positions[3 * v + k])).toBe(true)
		}),
		{ numRuns: 400 },
	)
})

test('a damaged copy of a good file never throws', () => {
	const files = [toStl(tetra), plyBinary(true, 'double'), bytes(plyText()), bytes(solid(2))]
	fc.assert(
		fc.property(fc.constantFrom(...files), fc.nat(), fc.nat(255), fc.nat(), (file, at, byte, cut) => {
			const copy = file.slice(0, file.length - (cut % 40))
			copy[at % copy.length] = byte
			expect(readScan(copy, 'a.ply', '')).toBeDefined()
		}),
		{ numRuns: 600 },
	)
})

// ECMAScript's own conversion is the reference: it rounds correctly (ECMA-262, StringToNumber).
test('numbers are read as the language reads them, to the last bit', () => {
	const read = (word: string) => takeNumber(cursorOn(bytes(`${word} `)))
	for (const word of [
		'0',
		'-0.0',
		'1.',
		'.5',
		'+7',
		'1e3',
		'-1.25E-3',
		'123456789012345678',
		'1e-30',
		'0.000123456789',
		'4.35',
		'1e23',
	]) {
		expect(read(word)).toBe(Number(word))
	}
	for (const word of ['', 'nan', '1.2.3', '--1', 'e5', '1e', '0x10', 'inf']) expect(read(word)).toBeNaN()
	fc.assert(
		fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.nat(12), (x, digits) => {
			for (const word of [String(x), x.toExponential(digits), x.toPrecision(digits + 1)]) expect(read(word)).toBe(Number(word))
		}),
		{ numRuns: 2000 },
	)
})
