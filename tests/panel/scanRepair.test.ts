import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { headlampScan, seeded } from '../../scripts/fixtures/headlampScan.ts'
import { BORDER, pairEdges } from '../../src/panel/scan/edges.ts'
import type { ScanMesh } from '../../src/panel/scan/mesh.ts'
import { repair } from '../../src/panel/scan/repair.ts'
import { chooseUnit } from '../../src/panel/scan/unit.ts'
import { weld } from '../../src/panel/scan/weld.ts'
import { cube, loose, patch, together } from './scanShapes.ts'

const codes = (mesh: ScanMesh) => repair(mesh, '/found/file').problems.map((p) => p.code)
const sheet = (hole?: (i: number, j: number) => boolean) =>
	patch({ rows: 20, columns: 30, at: (i, j) => [200 * i, 300 * j - 150, 0], ...(hole ? { hole } : {}) })

/** Six times the volume within: only right when all triangles run outward. */
function volume6({ positions: p, triangles }: ScanMesh): number {
	let sum = 0
	for (let t = 0; t < triangles.length; t += 3) {
		const [a, b, c] = [0, 1, 2].map((k) => 3 * triangles[t + k]!) as [number, number, number]
		sum += p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!)
		sum -= p[a + 1]! * (p[b]! * p[c + 2]! - p[b + 2]! * p[c]!)
		sum += p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!)
	}
	return sum
}

describe('weld', () => {
	test('corners of STL become those of the mesh they came from (a cube: 8; V - E + F = 2)', () => {
		const { positions, triangles } = weld(loose(cube(10)))
		expect(positions.length / 3).toBe(8)
		expect(8 - (3 * triangles.length) / 3 / 2 + triangles.length / 3).toBe(2)
	})
	test('-0 and 0 are one place; places a bit apart are two, unless within the cell', () => {
		const mesh = { positions: Float64Array.of(0, 0, 1, -0, 0, 1, 0, 0, 1 + 1e-9), triangles: Uint32Array.of(0, 1, 2) }
		expect(weld(mesh).positions.length).toBe(6)
		expect(weld(mesh, 1e-6).positions.length).toBe(3)
	})
	test('agrees with a table of texts on random places, many of them the same', () => {
		fc.assert(
			fc.property(
				fc.array(
					fc.tuple(fc.integer({ min: -3, max: 3 }), fc.integer({ min: -3, max: 3 }), fc.double({ min: -1, max: 1, noNaN: true })),
					{ minLength: 3, maxLength: 3000 },
				),
				(list) => {
					const positions = Float64Array.from(list.flat())
					const triangles = Uint32Array.from({ length: 3 * Math.floor(list.length / 3) }, (_, i) => i)
					const out = weld({ positions, triangles })
					const known = new Map<string, number>()
					for (const v of triangles) {
						const name = list[v]!.map((x) => x + 0).join(' ')
						if (!known.has(name)) known.set(name, known.size)
						expect(out.triangles[v]).toBe(known.get(name))
					}
					expect(out.positions.length / 3).toBe(known.size)
				},
			),
			{ numRuns: 30 },
		)
	})
})

test('edges pair with those of the neighbour, the other way round', () => {
	const mesh = cube(1)
	const other = pairEdges(mesh)
	other.forEach((f, e) => {
		expect(f).not.toBe(BORDER)
		expect(other[f]).toBe(e)
	})
})

describe('what is mended is told', () => {
	test('a sound sheet: nothing, and its border is its outline (2 x 200 + 2 x 300 mm)', () => {
		const { value, problems } = repair(loose(sheet()), '')
		expect(problems).toEqual([])
		expect(value?.borders.length).toBe(1)
		expect(value?.borders[0]).toBeCloseTo(1000, 6)
	})
	test('a closed body has no border', () => expect(repair(cube(50), '').value?.borders).toEqual([]))
	test('holes, by the length of their edges (4 x 3 cells of 10 mm)', () => {
		const flat = patch({
			rows: 20,
			columns: 30,
			at: (i, j) => [200 * i, 300 * j, 0],
			hole: (i, j) => i > 0.4 && i < 0.6 && j > 0.5 && j < 0.6,
		})
		const borders = repair(flat, '').value?.borders as number[]
		expect(borders.length).toBe(2)
		// the edges of the cells are moved by up to a fifth of a cell each way
		expect(borders[1]).toBeGreaterThan(130)
		expect(borders[1]).toBeLessThan(170)
	})
	test('triangles the other way round are turned: a cube has its volume again', () => {
		fc.assert(
			fc.property(fc.subarray([...Array(12).keys()], { minLength: 1, maxLength: 5 }), (some) => {
				const mesh = cube(10)
				const triangles = mesh.triangles.slice()
				for (const t of some) [triangles[3 * t], triangles[3 * t + 1]] = [triangles[3 * t + 1]!, triangles[3 * t]!]
				const { value, problems } = repair({ ...mesh, triangles }, '')
				expect(volume6((value as { mesh: ScanMesh }).mesh)).toBeCloseTo(6000, 9)
				expect(value?.findings.turned).toBe(some.length)
				expect(problems.map((p) => p.code)).toEqual(['SCAN_TURNED_TRIANGLES'])
			}),
		)
	})
	test('second copies, whichever way round, and triangles without area', () => {
		const mesh = cube(10)
		const triangles = Uint32Array.of(...mesh.triangles, 2, 1, 0, 0, 1, 2, 5, 5, 7, 0, 0, 0)
		const { value, problems } = repair({ ...mesh, triangles }, '')
		expect(value?.mesh.triangles.length).toBe(36)
		expect(value?.findings).toMatchObject({ repeated: 2, flat: 2, turned: 0, fins: 0 })
		expect(problems.map((p) => p.code)).toEqual(['SCAN_FLAT_TRIANGLES', 'SCAN_REPEATED_TRIANGLES'])
	})
	test('the largest piece by area is kept, not the one with most triangles', () => {
		const crumbs = patch({ rows: 40, columns: 40, at: (i, j) => [5 * i, 5 * j, 90] })
		const { value, problems } = repair(together(crumbs, sheet()), '')
		expect(value?.mesh.triangles.length).toBe(3 * 1200)
		expect(value?.findings).toMatchObject({ pieces: 2, leftOut: 3200 })
		expect(problems[0]?.found).toContain('2 pieces')
		expect(problems[0]?.severity).toBe('note')
		expect(
			repair(together(sheet(), patch({ rows: 4, columns: 4, at: (i, j) => [80 * i, 80 * j, 90] })), '').problems[0]?.severity,
		).toBe('warning')
	})
	test('three sheets at one edge', () => {
		const fin = {
			positions: Float64Array.of(0, 0, 0, 0, 9, 0, 9, 0, 0, -9, 0, 0, 0, 0, 9),
			triangles: Uint32Array.of(0, 1, 2, 1, 0, 3, 0, 1, 4),
		}
		// the first two lie in one plane, the third stands on it
		expect([...pairEdges(fin)].slice(0, 7)).toEqual([3, -1, -1, 0, -1, -1, -2])
		expect(repair(fin, '').value?.findings).toMatchObject({ fins: 1, pieces: 2, leftOut: 1 })
		expect(codes(fin)).toContain('SCAN_FINS')
	})
	test('a strip with one side (Moebius)', () => {
		const band = patch({
			rows: 2,
			columns: 40,
			ring: true,
			at: (i, j) => {
				const [a, w] = [2 * Math.PI * j, 20 * (i - 0.5)]
				return [(80 + w * Math.cos(a / 2)) * Math.cos(a), (80 + w * Math.cos(a / 2)) * Math.sin(a), w * Math.sin(a / 2)]
			},
		})
		// joined the wrong way at the end, which is what makes it a Moebius strip
		const triangles = band.triangles.map((v, i) =>
			i % 3 >= 0 && Math.floor(i / 6) % 40 === 39 && v % 40 === 0 ? 80 - Math.floor(v / 40) * 40 : v,
		)
		expect(codes({ ...band, triangles })).toContain('SCAN_TWISTED')
	})
	test('corners that differ in the last digits of a text are joined', () => {
		const random = seeded(3)
		const apart = loose(sheet())
		const positions = apart.positions.map((c) => c + 2e-6 * (random() - 0.5))
		const { value, problems } = repair({ ...apart, positions }, '')
		expect(problems.map((p) => p.code)).toContain('SCAN_LOOSE_TRIANGLES')
		expect(value?.findings.pieces).toBeLessThan(5)
	})
	test('nothing but triangles without area', () => {
		expect(codes({ positions: Float64Array.of(0, 0, 0, 1, 0, 0, 2, 0, 0), triangles: Uint32Array.of(0, 1, 2) })).toEqual([
			'SCAN_NOT_A_MESH',
		])
	})
	test('the headlamp with its faults', () => {
		const { value } = repair(loose(headlampScan({ triangles: 20_000 }).mesh), '')
		expect(value?.findings).toMatchObject({ repeated: 30, pieces: 2, leftOut: 2, fins: 0, twisted: 0 })
		// the rim, the grommet and the hole for the bracket
		expect(value?.borders.length).toBe(3)
		// edges were carried over; paired anew they are the same
		expect(value?.other).toEqual(pairEdges((value as { mesh: ScanMesh }).mesh))
	})
})

describe('the unit', () => {
	const code = (...args: Parameters<typeof chooseUnit>) => chooseUnit(...args).problems[0]?.code
	test('given', () => expect(chooseUnit(420, 'mm', undefined, '').value).toEqual({ unit: 'mm', sizeMm: 420, from: 'given' }))
	test('by the datums, whatever the size allows', () => {
		expect(chooseUnit(20, undefined, 25.2, '').value).toMatchObject({ unit: 'in', from: 'datums' })
		expect(chooseUnit(0.42, undefined, 1003, '').value).toMatchObject({ unit: 'm' })
		expect(chooseUnit(42, undefined, 9.97, '').value).toMatchObject({ unit: 'cm' })
	})
	test('by its size, and said, with what else it could be', () => {
		expect(chooseUnit(420, undefined, undefined, '').problems).toMatchObject([{ code: 'SCAN_UNIT_GUESSED', severity: 'note' }])
		expect(chooseUnit(100, undefined, undefined, '').problems).toMatchObject([{ code: 'SCAN_UNIT_GUESSED', severity: 'warning' }])
		expect(chooseUnit(420, undefined, undefined, '').value).toMatchObject({ unit: 'mm', sizeMm: 420 })
		expect(chooseUnit(0.42, undefined, undefined, '').problems).toMatchObject([{ severity: 'note' }])
		expect(chooseUnit(0.42, undefined, undefined, '').problems[0]?.found).toContain('taken as m by its size: 420 mm')
		expect(chooseUnit(20, undefined, undefined, '').problems[0]?.found).toContain('in cm it would be 200 mm')
	})
	test('contradicted by the datums', () => {
		expect(code(420, 'cm', 1.01, '')).toBe('SCAN_UNIT_WRONG')
		expect(code(420, 'mm', 3, '')).toBe('SCAN_DATUMS_SCALE')
	})
	test('absurd', () => {
		expect(code(4e-7, undefined, undefined, '')).toBe('SCAN_SIZE')
		expect(code(0.4, 'mm', undefined, '')).toBe('SCAN_SIZE')
		expect(code(3e9, undefined, 1, '')).toBe('SCAN_SIZE')
	})
})
