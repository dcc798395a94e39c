import { normalDeviates, seeded } from '../../scripts/fixtures/headlampScan.ts'
import type { ScanMesh } from '../../src/panel/scan/mesh.ts'

/** A grid of places, cut into triangles that run round outward where the place's two directions and outward are left-handed. */
export interface Patch {
	readonly rows: number
	readonly columns: number
	/** 0 to 1 along and across */
	at(i: number, j: number): readonly [number, number, number]
	/** square to the surface; noise goes along it */
	out?(i: number, j: number): readonly [number, number, number]
	readonly noiseMm?: number
	readonly seed?: number
	/** the last column is the first one again */
	readonly ring?: boolean
	/** cells to leave out */
	hole?(i: number, j: number): boolean
}

/** Places are moved within their cells, so that no corner faces its own mirror image. */
export function patch({ rows, columns, at, out, noiseMm = 0, seed = 1, ring = false, hole }: Patch): ScanMesh {
	const random = seeded(seed)
	const deviate = normalDeviates(random)
	const width = ring ? columns : columns + 1
	const positions = new Float64Array(3 * (rows + 1) * width)
	const jitter = (k: number, last: number) => (k === 0 || k === last ? 0 : 0.4 * (random() - 0.5))
	for (let i = 0; i <= rows; i++) {
		for (let j = 0; j < width; j++) {
			const u = (i + jitter(i, rows)) / rows
			const v = (j + (ring ? 0.4 * (random() - 0.5) : jitter(j, columns))) / columns
			const p = at(u, v)
			const n = noiseMm > 0 ? (out?.(u, v) ?? [0, 0, 1]) : [0, 0, 0]
			const off = noiseMm > 0 ? noiseMm * deviate() : 0
			positions.set([p[0] + off * n[0]!, p[1] + off * n[1]!, p[2] + off * n[2]!], 3 * (i * width + j))
		}
	}
	const list: number[] = []
	for (let i = 0; i < rows; i++) {
		for (let j = 0; j < columns; j++) {
			if (hole?.((i + 0.5) / rows, (j + 0.5) / columns)) continue
			const next = (j + 1) % width
			const [a, b, c, d] = [i * width + j, i * width + next, (i + 1) * width + j, (i + 1) * width + next]
			list.push(a, d, c, a, b, d)
		}
	}
	return { positions, triangles: Uint32Array.from(list) }
}

/** The upper part of an ellipsoid with its axes along x, y, z: across to 1.25 radians on the left and `right` on the right. */
export function ellipsoid(
	size: number,
	[a, b, c]: readonly [number, number, number],
	options: {
		readonly noiseMm?: number
		readonly seed?: number
		readonly right?: number
		hole?(i: number, j: number): boolean
	} = {},
): ScanMesh {
	const { right = 1.25 } = options
	const place = (i: number, j: number) => {
		const u = -1.2 + 2.4 * i
		const v = -1.25 + (1.25 + right) * j
		return [a * Math.sin(u), b * Math.cos(u) * Math.sin(v), c * Math.cos(u) * Math.cos(v)] as const
	}
	return patch({
		rows: size,
		columns: size,
		at: place,
		out(i, j) {
			const [x, y, z] = place(i, j)
			const n = [x / a ** 2, y / b ** 2, z / c ** 2] as const
			const length = Math.hypot(...n)
			return [n[0] / length, n[1] / length, n[2] / length]
		},
		...options,
	})
}

/** A unit cube of 12 triangles, outward. */
export const cube = (size: number, [x, y, z]: readonly [number, number, number] = [0, 0, 0]): ScanMesh => ({
	positions: Float64Array.from({ length: 24 }, (_, i) => [x, y, z][i % 3]! + ((Math.floor(i / 3) >> (i % 3)) & 1) * size),
	triangles: Uint32Array.of(
		...[0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4],
		...[2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5],
	),
})

/** Both in one, the second behind the first. */
export function together(one: ScanMesh, two: ScanMesh): ScanMesh {
	const positions = new Float64Array(one.positions.length + two.positions.length)
	positions.set(one.positions)
	positions.set(two.positions, one.positions.length)
	const triangles = new Uint32Array(one.triangles.length + two.triangles.length)
	triangles.set(one.triangles)
	triangles.set(
		two.triangles.map((v) => v + one.positions.length / 3),
		one.triangles.length,
	)
	return { positions, triangles }
}

/** Every triangle with corners of its own, as STL writes it. */
export const loose = ({ positions, triangles }: ScanMesh): ScanMesh => ({
	positions: Float64Array.from(
		{ length: 3 * triangles.length },
		(_, i) => positions[3 * triangles[Math.floor(i / 3)]! + (i % 3)]!,
	),
	triangles: Uint32Array.from({ length: triangles.length }, (_, i) => i),
})
