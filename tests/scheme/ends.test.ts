import { expect, test } from 'vitest'
import type { JobInput } from '../../src/job/schema.ts'
import { areaOf, intersect } from '../../src/plane/region.ts'
import { jobOf, marked, mm2, schemeOf } from './jobs.ts'

type Stripe = NonNullable<JobInput['panels'][number]['stripes']>[number]

const laid = (
	width: number,
	ends: Pick<Stripe, 'front' | 'rear'>,
	places: readonly (readonly [string, number, number])[] = STRAIGHT,
	bands: Stripe['bands'] = [{ paint: 'gold', width }],
) => {
	const result = schemeOf(
		jobOf([
			{
				readings: marked(places),
				edges: [{ id: 'line', through: places.map(([name]) => name) }],
				stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands, ...ends }],
			},
		]),
	)
	return { codes: result.problems.map((p) => p.code), bands: result.panels[0]?.schemes?.[0]?.scheme.bands ?? [] }
}
const STRAIGHT = [
	['a', 0, 100],
	['b', 100, 100],
	['c', 200, 100],
] as const

test('rounded ends that meet are a problem and no band', () => {
	for (const width of [200, 300]) {
		const { codes, bands } = laid(width, { front: { shape: 'rounded' }, rear: { shape: 'rounded' } })
		expect(codes).toEqual(['BAND_ENDS_MEET'])
		expect(bands).toEqual([])
	}
	// A stadium, closed form: 180 by 20, and a circle of 20 across.
	const { codes, bands } = laid(20, { front: { shape: 'rounded' }, rear: { shape: 'rounded' } })
	expect(codes).toEqual([])
	// Chords lie inside their arcs by at most a thousandth.
	const missing = 180 * 20 + Math.PI * 100 - mm2(bands[0])
	expect(missing).toBeGreaterThan(0)
	expect(missing).toBeLessThan(0.001 * Math.PI * 20)
})

test('a point longer than half the line says that it was shortened', () => {
	const { codes, bands } = laid(20, { front: { shape: 'pointed', length: 150 } })
	expect(codes).toEqual(['POINT_SHORTENED'])
	// A triangle of 100 and a rectangle of 100.
	expect(mm2(bands[0])).toBeCloseTo(1000 + 2000, 1)
	expect(laid(20, { front: { shape: 'pointed', length: 100 } }).codes).toEqual([])
})

test('all bands of a stripe come to one point, in proportion: triangles of a plane', () => {
	const bands = [{ paint: 'gold', width: 4 }, { gap: 3 }, { paint: 'green', width: 2 }]
	const ends = { front: { shape: 'pointed' as const, length: 40 }, rear: { shape: 'pointed' as const, length: 60 } }
	const { codes, bands: made } = laid(0, ends, STRAIGHT, bands)
	expect(codes).toEqual([])
	expect(made).toHaveLength(2)
	for (const [i, width] of [4, 2].entries()) {
		const band = made[i]
		if (!band) throw new Error('no band')
		// A rectangle of 100, and what is left of it towards either point by half the length.
		expect(mm2(band)).toBeCloseTo(width * (100 + 20 + 30), 2)
		for (const curve of [...band.near, ...band.far]) {
			const [p, q] = [curve.cubics[0]?.[0], curve.cubics.at(-1)?.[3]]
			expect([p?.s, p?.g, q?.s, q?.g].map((x) => expect.closeTo(x as number, 4))).toEqual([0, 104.5, 200, 104.5])
		}
	}
	const regions = made.map(({ region }) => region.map((loop) => loop.map(({ s, g }) => ({ x: s, y: g }))))
	expect(areaOf(intersect(regions[0] ?? [], regions[1] ?? []))).toBeLessThan(0.01)
})

test('raked ends that cross leave no band, and say so', () => {
	const { codes, bands } = laid(150, { front: { shape: 'raked', angleDeg: 140 }, rear: { shape: 'raked', angleDeg: 140 } })
	expect(codes).toEqual(['RAKE_MISSES_EDGE'])
	expect(bands).toEqual([])
	expect(laid(20, { front: { shape: 'raked', angleDeg: 140 } }).codes).toEqual([])
})
