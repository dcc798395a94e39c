// Artwork by its measures, against closed forms.
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { artworkOf } from '../../src/artwork/artwork.ts'
import { artworkNeedsReading } from '../../src/artwork/withArtwork.ts'
import { crossCheck } from '../../src/job/crossCheck.ts'
import type { Region } from '../../src/plane/point.ts'
import { boxOf, pointInRegion } from '../../src/plane/polyline.ts'
import { areaOf, subtract } from '../../src/plane/region.ts'
import { jobWith, made, whole } from './entries.ts'

const SEED = 7417

/** Perimeter of an ellipse by its series in h = ((a - b) / (a + b))^2 (Abramowitz & Stegun 17.3.12 by way of Ivory 1796), from memory. */
function ellipsePerimeter(a: number, b: number): number {
	const h = ((a - b) / (a + b)) ** 2
	let [sum, factor] = [1, 1]
	for (let n = 1; n < 200; n++) {
		// binomial(1/2, n)
		factor *= (1.5 - n) / n
		sum += factor * factor * h ** n
	}
	return Math.PI * (a + b) * sum
}

/** Distance from a place to the nearest edge of a region. */
function toEdge(region: Region, x: number, y: number): number {
	let best = Number.POSITIVE_INFINITY
	for (const loop of region) {
		loop.forEach((p, i) => {
			const q = loop[(i + 1) % loop.length]!
			const [vx, vy] = [q.x - p.x, q.y - p.y]
			const t = Math.min(1, Math.max(0, ((x - p.x) * vx + (y - p.y) * vy) / (vx * vx + vy * vy)))
			best = Math.min(best, Math.hypot(p.x + t * vx - x, p.y + t * vy - y))
		})
	}
	return best
}

describe('by measures', () => {
	test('a rectangle is one: four corners, its area, in the middle', async () => {
		const art = await whole({ kind: 'rectangle', width: 80, height: '3 cm', colour: '#aa0000' }, { title: 'Plate', margin: 2 })
		expect(art).toMatchObject({ id: 'a', title: 'Plate', parts: 1, lettering: false })
		expect(art.outline.flat().length).toBe(4)
		expect(art.areaMm2).toBeCloseTo(2400, 6)
		expect(art.perimeterMm).toBeCloseTo(220, 6)
		expect(boxOf(art.outline.flat())).toEqual({ minX: -40, maxX: 40, minY: -15, maxY: 15 })
		// rounded at a radius of 2 mm outside the corners
		expect(areaOf(art.carrier)).toBeCloseTo(2400 + 220 * 2 + Math.PI * 4, 1)
		expect(art.inks.map(({ colour }) => colour)).toEqual(['#aa0000'])
	})

	test(`rounded rectangles and ellipses by closed forms (seed ${SEED})`, async () => {
		const size = fc.double({ min: 5, max: 300, noNaN: true })
		await fc.assert(
			fc.asyncProperty(size, size, fc.double({ min: 0.01, max: 0.49, noNaN: true }), async (width, height, part) => {
				const corner = part * Math.min(width, height)
				const plate = await whole({ kind: 'rectangle', width, height, corner })
				const oval = await whole({ kind: 'ellipse', width, height })
				for (const [art, area, round] of [
					[plate, width * height - (4 - Math.PI) * corner ** 2, 2 * (width + height) - (8 - 2 * Math.PI) * corner],
					[oval, (Math.PI / 4) * width * height, ellipsePerimeter(width / 2, height / 2)],
				] as const) {
					expect(art.maxErrorMm).toBeLessThan(0.0201)
					// an outline moved by the error all round gains as much as its length times the error
					expect(Math.abs(art.areaMm2 - area)).toBeLessThan(round * art.maxErrorMm)
					expect(art.perimeterMm).toBeLessThan(round + 0.01)
					expect(art.perimeterMm).toBeGreaterThan(round * (1 - 0.01))
					expect(Math.abs(art.width - width)).toBeLessThan(2 * art.maxErrorMm)
				}
				// on the ellipse itself, not only as large: places of it lie within the error of the outline
				for (let k = 0; k < 50; k++) {
					const t = (2 * Math.PI * k) / 50 + 0.01
					const [x, y] = [(width / 2) * Math.cos(t), (height / 2) * Math.sin(t)]
					expect(toEdge(oval.outline, x, y)).toBeLessThan(oval.maxErrorMm + 0.001)
				}
			}),
			{ seed: SEED, numRuns: 40 },
		)
	})

	test('a finer tolerance makes a finer outline, and is kept', async () => {
		const counts: number[] = []
		for (const tolerance of [0.2, 0.02, 0.002]) {
			const art = await whole({ kind: 'ellipse', width: 100, height: 60 }, { tolerance })
			expect(art.maxErrorMm).toBeLessThan(tolerance + 2e-4)
			for (let k = 0; k < 300; k++) {
				const t = (2 * Math.PI * k) / 300
				expect(toEdge(art.outline, 50 * Math.cos(t), 30 * Math.sin(t))).toBeLessThan(tolerance)
			}
			counts.push(art.outline.flat().length)
		}
		expect(counts[1]).toBeGreaterThan(2 * counts[0]!)
		expect(counts[2]).toBeGreaterThan(2 * counts[1]!)
	})

	test('corners rounder than the plate is high', async () => {
		const { artwork, problems } = await made({ kind: 'rectangle', width: 20, height: 8, corner: 5 })
		expect(artwork).toBeUndefined()
		expect(problems).toMatchObject([
			{ code: 'CORNER_TOO_ROUND', path: '/artwork/0/shape/corner', expected: 'at most 4 mm, half the shorter side' },
		])
	})
})

describe('traced', () => {
	const circle = (r: number, n: number, off: (k: number) => number = () => 0) =>
		Array.from({ length: n }, (_, k) => {
			const [a, d] = [(2 * Math.PI * k) / n, r + off(k)]
			return [Number((d * Math.cos(a)).toFixed(4)), Number((d * Math.sin(a)).toFixed(4))]
		})

	test('a circle through 16 places of it is one, a hole in it is a hole', async () => {
		const art = await whole({ kind: 'traced', loops: [circle(40, 16), circle(15, 12)] })
		expect(Math.abs(art.areaMm2 / (Math.PI * 1375) - 1)).toBeLessThan(0.002)
		expect(art.parts).toBe(1)
		expect(pointInRegion({ x: 0, y: 0 }, art.outline)).toBe(false)
		// a margin of 1 mm; a smooth line through so few places is good to some hundredths
		expect(areaOf(art.carrier)).toBeGreaterThan(Math.PI * 40.95 ** 2)
	})

	test('corners stay corners, straight from one to the next', async () => {
		const at = (x: number, y: number) => ({ at: [x, y], corner: true })
		const art = await whole({ kind: 'traced', points: [at(0, 0), at(60, 0), at(60, 20), at(0, 20)] })
		expect(art.areaMm2).toBeCloseTo(1200, 3)
		const half = await whole({ kind: 'traced', points: [at(-30, 0), at(30, 0), [21.213, 21.213], [0, 30], [-21.213, 21.213]] })
		expect(Math.abs(half.areaMm2 / ((Math.PI / 2) * 900) - 1)).toBeLessThan(0.02)
	})

	test('a place that was read wrong is named, one that crosses is refused', async () => {
		const slip = await made({ kind: 'traced', points: circle(40, 24, (k) => (k === 7 ? 6 : 0)) })
		expect(slip.problems).toMatchObject([{ code: 'TRACED_ODD', severity: 'warning', path: '/artwork/0/shape/points/7' }])
		const crossed = circle(40, 8)
		const swapped = [crossed[0], crossed[4], crossed[2], crossed[6], crossed[1]]
		expect((await made({ kind: 'traced', points: swapped })).problems).toMatchObject([
			{ code: 'TRACED_CROSSES', severity: 'error' },
		])
		const twice = [...circle(40, 8), circle(40, 8)[0]]
		expect((await made({ kind: 'traced', points: twice })).problems).toMatchObject([{ code: 'TRACED_TWICE' }])
	})

	test('one outline, or several, not both and not none', () => {
		const points = circle(40, 8)
		for (const shape of [{ kind: 'traced' }, { kind: 'traced', points, loops: [points] }]) {
			expect(crossCheck(jobWith([{ id: 'a', shape }])).map(({ code }) => code)).toContain('TRACED_OUTLINE')
		}
		const shape = { kind: 'traced', points }
		expect(
			crossCheck(
				jobWith([
					{ id: 'a', shape },
					{ id: 'a', shape },
				]),
			).map(({ code }) => code),
		).toContain('NAME_TWICE')
	})
})

describe('the job', () => {
	test('one that is wrong is left out, the others come', () => {
		const good = { kind: 'rectangle', width: 20, height: 8 }
		const job = jobWith([
			{ id: 'bad', shape: { ...good, corner: 5 } },
			{ id: 'unread', shape: { kind: 'drawing', file: 'a.svg' } },
			{ id: 'good', shape: good },
		])
		const { value, problems } = artworkOf(job)
		expect([...(value?.keys() ?? [])]).toEqual(['good'])
		expect(problems.map(({ code }) => code)).toEqual(['CORNER_TOO_ROUND', 'ARTWORK_UNREAD'])
		expect(artworkNeedsReading(job)).toBe(true)
	})

	test('film round several parts keeps them together, its margin outside all ink', async () => {
		const dots = [0, 60].map((x) => ({ at: x }))
		const loops = dots.map(({ at }) =>
			[
				[at, 0],
				[at + 10, 0],
				[at + 10, 10],
				[at, 10],
			].map((p) => ({ at: p, corner: true })),
		)
		const art = await whole({ kind: 'traced', loops }, { margin: 3 })
		expect(art.parts).toBe(2)
		expect(art.carrier.length).toBe(1)
		expect(subtract(art.outline, art.carrier)).toEqual([])
		for (const p of art.outline.flat()) expect(toEdge(art.carrier, p.x, p.y)).toBeGreaterThan(3 - 0.01)
		expect(boxOf(art.carrier.flat())!.maxX).toBeCloseTo(38, 2)
	})

	test('inches, and words in what is not lettering', async () => {
		const [art] = [
			...artworkOf(
				jobWith([{ id: 'a', lettering: true, shape: { kind: 'ellipse', width: 2, height: '1/2' } }], 'in'),
			).value!.values(),
		]
		expect(art).toMatchObject({ lettering: true })
		expect(art!.width).toBeCloseTo(50.8, 1)
		expect(art!.height).toBeCloseTo(12.7, 1)
	})
})
