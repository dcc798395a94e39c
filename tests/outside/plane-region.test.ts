import { Clipper, ClipType, EndType, FillRule, JoinType, type PathsD } from 'clipper2-ts'
import fc from 'fast-check'
import * as native from 'js-angusj-clipper'
import { beforeAll, describe, expect, test } from 'vitest'
import { circleCubics } from '../../src/plane/arc.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { flatten } from '../../src/plane/flatten.ts'
import { offsetCubics } from '../../src/plane/offset.ts'
import type { Region } from '../../src/plane/point.ts'
import { perimeter } from '../../src/plane/polyline.ts'
import { areaOf, intersect, normalise, offsetRegion, subtract, union, xor } from '../../src/plane/region.ts'
import { distanceToPolyline, ellipseJet } from '../plane/curves.ts'

// Two independent programs: clipper2-ts (Clipper2 in TypeScript) and js-angusj-clipper (the C++ original as WebAssembly).

const coordinate = fc.integer({ min: -5000, max: 5000 }).map((n) => n / 100)
const loop = fc.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 3, maxLength: 14 })
const region = fc.array(loop, { minLength: 1, maxLength: 3 })

const DECIMALS = 4
const toPaths = (r: Region): PathsD => r.map((l) => l.map((p) => ({ x: p.x, y: p.y })))
const areaOfPaths = (paths: PathsD) => Math.abs(areaOf(paths as unknown as Region))
const length = (r: Region) => r.reduce((sum, l) => sum + perimeter(l), 0)
/** Each program snaps its crossings to the grid of 1e-4 in its own way: areas differ by a step along all edges at most. */
const slack = (...regions: Region[]) => 2e-4 * regions.reduce((sum, r) => sum + length(r), 0)

const apart = (p: { readonly x: number; readonly y: number }, q: typeof p) => Math.hypot(q.x - p.x, q.y - p.y)

let wasm: native.ClipperLibWrapper
beforeAll(async () => {
	wasm = await native.loadNativeClipperLibInstanceAsync(native.NativeClipperLibRequestedFormat.WasmWithAsmJsFallback)
})
const toInts = (r: Region) => r.map((l) => l.map((p) => ({ x: Math.round(p.x * 1e4), y: Math.round(p.y * 1e4) })))
const areaOfInts = (paths: readonly (readonly { x: number; y: number }[])[]) =>
	areaOf(paths.map((l) => l.map((p) => ({ x: p.x / 1e4, y: p.y / 1e4 }))))

describe('booleans of random polygons', () => {
	test.each([
		['union', ClipType.Union, native.ClipType.Union, (a: Region, b: Region) => union([a, b])],
		['intersect', ClipType.Intersection, native.ClipType.Intersection, intersect],
		['subtract', ClipType.Difference, native.ClipType.Difference, subtract],
		['xor', ClipType.Xor, native.ClipType.Xor, xor],
	] as const)('%s', (_, type2, type1, ours) => {
		fc.assert(
			fc.property(region, region, (a, b) => {
				// normalised first: a union of unlike windings is not the same question to all three
				const [p, q] = [normalise(a), normalise(b)]
				const area = areaOf(ours(p, q))
				const two = Clipper.booleanOpD(type2, toPaths(p), toPaths(q), FillRule.NonZero, DECIMALS)
				expect(Math.abs(area - areaOfPaths(two))).toBeLessThan(slack(p, q))
				const one = wasm.clipToPaths({
					clipType: type1,
					subjectInputs: [{ data: toInts(p), closed: true }],
					clipInputs: [{ data: toInts(q) }],
					subjectFillType: native.PolyFillType.NonZero,
				})
				expect(Math.abs(area - areaOfInts(one))).toBeLessThan(slack(p, q))
			}),
			{ numRuns: 60 },
		)
	})
})

describe('offsets', () => {
	test('of random polygons, mitred, grown and shrunk', () => {
		fc.assert(
			fc.property(region, fc.integer({ min: -60, max: 60 }), (shape, tenths) => {
				fc.pre(tenths !== 0)
				const d = tenths / 10
				const start = normalise(shape)
				// An edge of a few hundredths takes its direction, and so its mitre, from the grid that each program snaps to.
				fc.pre(start.every((loop) => loop.every((p, i) => apart(p, loop[(i + 1) % loop.length]!) > 0.05)))
				const ours = areaOf(offsetRegion(start, d, { join: 'mitre', mitreLimit: 4 }))
				const two = Clipper.inflatePathsD(toPaths(start), d, JoinType.Miter, EndType.Polygon, 4, DECIMALS)
				expect(Math.abs(ours - areaOfPaths(two))).toBeLessThan(0.002 * length(start) + 0.01)
			}),
			{ numRuns: 60 },
		)
	})

	test('an exact offset of a smooth edge lies on the offsets that the polygon programs make of it, to their own error', () => {
		const edges = [
			{ cubics: circleCubics({ x: 0, y: 0 }, 50, 1e-6).cubics, d: -10 },
			{ cubics: fitCubics(ellipseJet(60, 35), 0, 2 * Math.PI, { toleranceMm: 1e-5 }).cubics, d: -10 },
			{ cubics: fitCubics(ellipseJet(60, 35), 0, 2 * Math.PI, { toleranceMm: 1e-5 }).cubics, d: 25 },
		]
		for (const { cubics, d } of edges) {
			const exact = flatten(offsetCubics(cubics, d, { toleranceMm: 0.0005, closed: true }).paths[0]?.cubics ?? [], 0.0005)
			const polygon = [flatten(cubics, 0.0005).slice(0, -1)]
			const two = Clipper.inflatePathsD(toPaths(polygon), -d, JoinType.Round, EndType.Polygon, 2, DECIMALS, 0.0005)
			const one = wasm.offsetToPaths({
				offsetInputs: [{ data: toInts(polygon), joinType: native.JoinType.Round, endType: native.EndType.ClosedPolygon }],
				delta: -d * 1e4,
				arcTolerance: 5,
			}) as { x: number; y: number }[][]
			for (const other of [
				two[0] ?? [],
				(one[0] ?? []).map((p) => ({ x: p.x / 1e4, y: p.y / 1e4 })),
				offsetRegion(polygon, -d, { join: 'round', arcToleranceMm: 0.0005 })[0] ?? [],
			]) {
				// their input sagitta 0.0005, their arcs 0.0005, our chords and fit 0.001
				const worst = Math.max(...exact.filter((_, i) => i % 7 === 0).map((p) => distanceToPolyline(p, other, true)))
				expect(worst).toBeLessThan(0.002)
			}
		}
	})
})
