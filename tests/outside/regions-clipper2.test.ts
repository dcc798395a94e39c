/** Bands and fields against another library's booleans and offsets (clipper2-ts, a port of Clipper2 by A. Johnson). */
import { Clipper, EndType, FillRule, JoinType, type Path64 } from 'clipper2-ts'
import { expect, test } from 'vitest'
import type { ChartRegion } from '../../src/chart/point.ts'
import { polyline } from '../../src/chart/region.ts'
import { fieldRegion } from '../../src/scheme/field.ts'
import { band, bow, flat, lineThrough } from '../scheme/bench.ts'

const PER_MM = 1e5
const path = (points: readonly { s: number; g: number }[]): Path64 =>
	points.map((p) => ({ x: Math.round(p.s * PER_MM), y: Math.round(p.g * PER_MM) })) as Path64
const paths = (region: ChartRegion) => region.map(path)
const areaOf = (list: Path64[]) => list.reduce((sum, p) => sum + Clipper.area(p), 0) / PER_MM ** 2

test('a centred band is the line inflated by half its width, butt ends', () => {
	const base = lineThrough(flat, [
		[0, 0],
		[80, 25],
		[160, 10],
		[240, 40],
	])
	const mine = paths(band(flat, base, -6, 6).region)
	const theirs = Clipper.inflatePaths([path(polyline(flat, base, 1e-4))], 6 * PER_MM, JoinType.Round, EndType.Butt, 2, 30)
	const apart = areaOf(Clipper.xor(mine, theirs, FillRule.NonZero))
	expect(areaOf(mine)).toBeGreaterThan(2900)
	// Half a thousandth of a millimetre along both edges, and the first chord's direction at the ends.
	expect(apart).toBeLessThan(0.5)
})

test('two fields on either side of a line share nothing and miss nothing', () => {
	const panel: ChartRegion = [
		[
			{ s: -20, g: -50 },
			{ s: 380, g: -50 },
			{ s: 380, g: 90 },
			{ s: -20, g: 90 },
		],
	]
	const curve = bow(flat)
	const [up, down] = [
		fieldRegion(flat, panel, [{ curve, towards: { s: 200, g: 80 } }]),
		fieldRegion(flat, panel, [{ curve, towards: { s: 200, g: -40 } }]),
	].map((r) => paths(r)) as [Path64[], Path64[]]
	expect(areaOf(Clipper.intersect(up, down, FillRule.NonZero))).toBeLessThan(0.01)
	expect(areaOf(Clipper.union(up, down, FillRule.NonZero))).toBeCloseTo(400 * 140, 1)
	const off = Clipper.difference(paths(panel), Clipper.union(up, down, FillRule.NonZero), FillRule.NonZero)
	expect(areaOf(off)).toBeLessThan(0.05)
})
