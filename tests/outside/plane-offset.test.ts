import paper from 'paper'
import { describe, expect, test } from 'vitest'
import { closestOnCubics } from '../../src/plane/closest.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { flatten } from '../../src/plane/flatten.ts'
import { cubicsLength } from '../../src/plane/length.ts'
import { offsetCubics } from '../../src/plane/offset.ts'
import type { Cubic, PlanePoint } from '../../src/plane/point.ts'
import { selfIntersections } from '../../src/plane/polyline.ts'
import { distanceToCurve, ellipseJet, sampleCubics, sCurve } from '../plane/curves.ts'

paper.setup(new paper.Size(100, 100))

const TOLERANCE = 0.0005
const A = 60
const B = 35

/** Parallel curve of an ellipse, inward by d (closed form: P + d N with N the inner unit normal). */
const parallel = (d: number) => (t: number) => {
	const w = Math.hypot(B * Math.cos(t), A * Math.sin(t))
	return { x: A * Math.cos(t) - (d * B * Math.cos(t)) / w, y: B * Math.sin(t) - (d * A * Math.sin(t)) / w }
}
const ellipse = fitCubics(ellipseJet(A, B), 0, 2 * Math.PI, { toleranceMm: 1e-5 }).cubics

const paperPath = (cubics: readonly Cubic[], closed: boolean) => {
	const path = new paper.Path()
	cubics.forEach((c, i) => {
		const before = cubics[i - 1]
		path.add(
			new paper.Segment([c[0].x, c[0].y], before ? [before[2].x - c[0].x, before[2].y - c[0].y] : [0, 0], [
				c[1].x - c[0].x,
				c[1].y - c[0].y,
			]),
		)
	})
	const last = cubics[cubics.length - 1] as Cubic
	if (closed) path.closed = true
	else path.add(new paper.Segment([last[3].x, last[3].y], [last[2].x - last[3].x, last[2].y - last[3].y], [0, 0]))
	return path
}

describe('parallel curves of an ellipse of 120 x 70 mm, closed form', () => {
	test('outward by 10 mm, both ways within 0.0005 mm', () => {
		const offset = offsetCubics(ellipse, -10, { toleranceMm: TOLERANCE, closed: true })
		const closedForm = parallel(-10)
		const cubics = offset.paths[0]?.cubics ?? []
		for (const p of sampleCubics(cubics, 3)) expect(distanceToCurve(p, closedForm, 0, 2 * Math.PI)).toBeLessThan(TOLERANCE)
		for (let k = 0; k < 100; k++) {
			const p = closedForm((2 * Math.PI * k) / 100)
			expect(closestOnCubics(p, cubics).distance).toBeLessThan(TOLERANCE)
		}
	})

	test('inward beyond the smallest radius of curvature: what is left, and where it is cut', () => {
		for (const d of [21, 25, 30, 34]) {
			const offset = offsetCubics(ellipse, d, { toleranceMm: TOLERANCE, closed: true })
			// the branches meet on the long axis where y = 0: w = d A / B
			const sin2 = ((d * A) / B) ** 2
			const t = Math.asin(Math.sqrt((sin2 - B * B) / (A * A - B * B)))
			const tip = parallel(d)(t)
			expect(Math.abs(tip.y)).toBeLessThan(1e-9)
			const cubics = offset.paths[0]?.cubics ?? []
			const farthest = cubics.flat().reduce((m, p) => (p.x > m.x ? p : m), { x: 0, y: 1 } as PlanePoint)
			expect(Math.abs(farthest.x - tip.x)).toBeLessThan(TOLERANCE)
			expect(Math.abs(farthest.y)).toBeLessThan(TOLERANCE)
			for (let k = 0; k <= 50; k++) {
				const p = parallel(d)(t + ((Math.PI - 2 * t) * k) / 50)
				expect(closestOnCubics(p, cubics).distance).toBeLessThan(TOLERANCE)
			}
			for (const p of sampleCubics(cubics, 3)) {
				const onUpper = distanceToCurve({ x: p.x, y: Math.abs(p.y) }, parallel(d), t, Math.PI - t)
				expect(onUpper).toBeLessThan(TOLERANCE)
			}
		}
	})

	test('its length is that of the ellipse plus a circle of radius d (Steiner)', () => {
		const offset = offsetCubics(ellipse, -10, { toleranceMm: 1e-5, closed: true })
		expect(cubicsLength(offset.paths[0]?.cubics ?? [])).toBeCloseTo(cubicsLength(ellipse) + 20 * Math.PI, 3)
	})
})

describe('against the paper library', () => {
	test('nearest place, length and distance achieved', () => {
		const edge = paperPath(sCurve, false)
		const offset = offsetCubics(sCurve, 6, { toleranceMm: TOLERANCE })
		const cubics = offset.paths[0]?.cubics ?? []
		for (const p of sampleCubics(cubics, 5)) {
			const near = edge.getNearestPoint(new paper.Point(p.x, p.y))
			expect(Math.abs(near.getDistance(new paper.Point(p.x, p.y)) - 6)).toBeLessThan(TOLERANCE)
			expect(closestOnCubics(p, sCurve).distance).toBeCloseTo(near.getDistance(new paper.Point(p.x, p.y)), 6)
		}
		expect(cubicsLength(sCurve)).toBeCloseTo(edge.length, 6)
	})

	test('a trimmed offset does not cross itself, by its crossings and by ours', () => {
		for (const d of [25, 30, 60, -60]) {
			const [edge, closed] = Math.abs(d) === 60 ? [sCurve, false] : [ellipse, true]
			const offset = offsetCubics(edge, d, { toleranceMm: TOLERANCE, closed: closed as boolean })
			for (const path of offset.paths) {
				const drawn = paperPath(path.cubics, path.closed)
				expect(drawn.getCrossings(drawn).length).toBe(0)
				expect(
					selfIntersections(flatten(path.cubics, 0.001), false).filter((c) => c.j - c.i > 1 && c.i > 0).length,
				).toBeLessThanOrEqual(0)
			}
		}
	})
})
