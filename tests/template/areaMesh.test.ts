import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { PlanePoint } from '../../src/plane/point.ts'
import { signedArea } from '../../src/plane/polyline.ts'
import { type Triangulation, triangulate } from '../../src/plane/triangulate.ts'
import { panelMesh } from '../../src/template/flattenMesh.ts'
import { KINDS } from '../chart/panels.ts'

const flat = KINDS[0]?.chart()

/** What triangles must be, measured on them alone: none upside down, and all together the area. */
function areas({ x, y, triangles }: Pick<Triangulation, 'x' | 'y' | 'triangles'>): { total: number; least: number } {
	let [total, least] = [0, Number.POSITIVE_INFINITY]
	for (let t = 0; t < triangles.length; t += 3) {
		const [a, b, c] = [0, 1, 2].map((k) => triangles[t + k] as number) as [number, number, number]
		const p = (v: number) => [x[v] as number, y[v] as number] as const
		const [[ax, ay], [bx, by], [cx, cy]] = [p(a), p(b), p(c)]
		const area = ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2
		total += area
		least = Math.min(least, area)
	}
	return { total, least }
}

/** Every pair of neighbours of a chain is an edge of a triangle. */
function follows({ triangles }: Triangulation, chain: readonly number[], closed: boolean): boolean {
	const edges = new Set<string>()
	for (let e = 0; e < triangles.length; e++) {
		const [a, b] = [triangles[e] as number, triangles[e % 3 === 2 ? e - 2 : e + 1] as number]
		edges.add(`${a} ${b}`).add(`${b} ${a}`)
	}
	return chain.every((a, i) => {
		const b = chain[i + 1] ?? (closed ? chain[0] : undefined)
		return b === undefined || edges.has(`${a} ${b}`)
	})
}

const star = (radii: readonly number[], scale = 1, way: 1 | -1 = 1): PlanePoint[] =>
	radii.map((r, i) => {
		const a = (way * 2 * Math.PI * i) / radii.length
		return { x: scale * r * Math.cos(a), y: scale * r * Math.sin(a) }
	})

test('triangles fill a region with a hole and a slit, and keep its edges', () => {
	const radius = fc.double({ min: 30, max: 90, noNaN: true })
	fc.assert(
		fc.property(
			fc.array(radius, { minLength: 5, maxLength: 24 }),
			fc.double({ min: 4, max: 12, noNaN: true }),
			(radii, edgeMm) => {
				const outer = star(radii)
				const hole = star([8, 8, 8, 8, 8, 8, 8], 1, -1)
				const mouth = outer[0] as PlanePoint
				// From the rim half-way towards the hole, along the ray on which the star is.
				const slit = [mouth, { x: (mouth.x + 12) / 2, y: 0 }]
				const mesh = triangulate({ loops: [outer, hole], lines: [slit], edgeMm })
				if (!mesh) throw new Error('no mesh')
				const { total, least } = areas(mesh)
				expect(total).toBeCloseTo(signedArea(outer) + signedArea(hole), 6)
				expect(least).toBeGreaterThan(0)
				for (const loop of mesh.loops) expect(follows(mesh, loop, true)).toBe(true)
				for (const line of mesh.lines) expect(follows(mesh, line, false)).toBe(true)
				if (!flat) throw new Error('no chart')
				const cut = panelMesh(flat, mesh, 1)
				// The slit is part of the rim with both its sides: all of it but its tip is there twice.
				expect(cut.vertices).toBe(mesh.x.length + (mesh.lines[0]?.length ?? 0) - 1)
				expect(cut.rim).toHaveLength(2)
				expect(cut.rim.flatMap((r) => r.slit).filter(Boolean)).toHaveLength(2 * ((mesh.lines[0]?.length ?? 0) - 1))
			},
		),
		{ numRuns: 60 },
	)
})

test('a sharp corner and a thin tongue are filled too', () => {
	for (const loop of [
		[
			{ x: 0, y: 0 },
			{ x: 200, y: 0 },
			{ x: 0, y: 0.3 },
		],
		[
			{ x: 0, y: 0 },
			{ x: 50, y: 0 },
			{ x: 50, y: 20 },
			{ x: 120, y: 20.5 },
			{ x: 50, y: 21 },
			{ x: 50, y: 50 },
			{ x: 0, y: 50 },
		],
	]) {
		const mesh = triangulate({ loops: [loop], edgeMm: 4 })
		if (!mesh) throw new Error('no mesh')
		expect(areas(mesh).total).toBeCloseTo(signedArea(loop), 6)
	}
})

test('what crosses itself or is nothing has no triangles', () => {
	const bow = [
		{ x: 0, y: 0 },
		{ x: 60, y: 40 },
		{ x: 60, y: 0 },
		{ x: 0, y: 50 },
	]
	expect(triangulate({ loops: [bow], edgeMm: 5 })).toBeUndefined()
	expect(triangulate({ loops: [], edgeMm: 5 })).toBeUndefined()
	expect(triangulate({ loops: [star([50, 50, 50, 50])], edgeMm: 1e-3 })).toBeUndefined()
})
