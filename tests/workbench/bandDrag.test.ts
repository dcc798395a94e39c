// Edges of bands taken hold of and dragged, on spreads whose bands are known in closed form: straight, round, and drawn smaller
// than they are; and once on a scene of the engine.
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { dragged, gripAt, partsOf } from '../../src/workbench/bandDrag.ts'
import type { Area, Line } from '../../src/workbench/scene.ts'
import { viewOf } from '../../src/workbench/view.ts'

/** A stripe off a straight line along x, away from it downwards, as a left side is drawn; `drawn` mm on the spread for each mm of width. */
function straight(stripe: Readonly<Record<string, unknown>>, { drawn = 1 } = {}) {
	const parts = partsOf(stripe, 'mm')
	const total = parts.parts.reduce((sum, { mm = 0 }) => sum + mm, 0)
	let at = parts.offsetMm - (parts.centred ? total / 2 : 0)
	const level = (mm: number): readonly Line[] => [[0, 100 - drawn * mm, 90, 100 - drawn * mm, 200, 100 - drawn * mm]]
	const bands: Area[] = []
	parts.parts.forEach(({ kind, mm = 0 }) => {
		const near = at
		at += mm
		if (kind === 'gap') return
		const edges = { number: bands.length + 1, near: level(near), far: level(at) }
		bands.push({ path: '/panels/0/stripes/0', side: 'left', what: '', paint: '', colour: '', loops: [], edges })
	})
	return { parts, bands }
}

const GROUP = {
	...{ lay: 'outboard', offset: 4 },
	bands: [{ paint: 'gold', width: 3 }, { gap: 2 }, { paint: 'ivory', width: 20 }, { gap: 2 }, { paint: 'gold', width: '3 mm' }],
}

describe('the edge that is taken hold of', () => {
	test.each([
		['the first edge is the offset', 4, ['offset'], 4],
		['the far edge of a band is its width', 7, ['bands', 0, 'width'], 3],
		['the near edge of a later band is the gap before it', 9, ['bands', 1, 'gap'], 2],
		['a far edge farther out is the width of its own band', 29, ['bands', 2, 'width'], 20],
		['so is the last', 34, ['bands', 4, 'width'], 3],
	])('%s', (_, off, key, startMm) => {
		const { parts, bands } = straight(GROUP)
		expect(gripAt(parts, bands, 50, 100 - off + 0.4, 1)).toMatchObject({ key, startMm })
	})

	test('is none beyond reach, on a stripe that is not drawn, and where a width tapers', () => {
		const { parts, bands } = straight(GROUP)
		expect(gripAt(parts, bands, 50, 60, 1)).toBeUndefined()
		expect(gripAt(parts, [], 50, 96, 1)).toBeUndefined()
		const taper = {
			...GROUP,
			bands: [{ paint: 'gold', width: [{ along: 0, width: 2 }] }, { gap: 2 }, { paint: 'gold', width: 3 }],
		}
		expect(gripAt(partsOf(taper, 'mm'), straight(GROUP).bands, 50, 93, 1)).toBeUndefined()
	})

	test('is the nearest of those in reach', () => {
		const { parts, bands } = straight(GROUP)
		expect(gripAt(parts, bands, 50, 92.2, 5)?.key).toEqual(['bands', 0, 'width'])
		expect(gripAt(parts, bands, 50, 91.8, 5)?.key).toEqual(['bands', 1, 'gap'])
	})
})

describe('a drag', () => {
	const drag = (stripe: Readonly<Record<string, unknown>>, from: number, to: number, drawn = 1) => {
		const { parts, bands } = straight(stripe, { drawn })
		const grip = gripAt(parts, bands, 50, 100 - drawn * from, 0.5)!
		// askew along the line: only what is square off it counts
		return dragged(grip, 83, 100 - drawn * to, 'mm').value
	}

	test('away from the line makes it wider, back makes it narrower, to half millimetres', () => {
		expect(drag(GROUP, 29, 32.1)).toBe(23)
		expect(drag(GROUP, 29, 31.8)).toBe(23)
		expect(drag(GROUP, 29, 25.9)).toBe(17)
		expect(drag(GROUP, 4, 6.4)).toBe(6.5)
		expect(drag(GROUP, 4, -3)).toBe(-3)
	})

	test('leaves a figure that is not whole steps as it is until it has moved by one', () => {
		const odd = { ...GROUP, bands: [{ paint: 'gold', width: 3.2 }] }
		expect(drag(odd, 7.2, 7.4)).toBe(3.2)
		expect(drag(odd, 7.2, 7.6)).toBe(3.5)
	})

	test('stops before a band has no width; a gap may close', () => {
		expect(drag(GROUP, 29, 2)).toBe(0.5)
		expect(drag(GROUP, 9, -40)).toBe(0)
	})

	test('of a centred stripe moves both of its sides, so that the edge stays under the finger', () => {
		const centred = { lay: 'centred', bands: [{ paint: 'gold', width: 6 }] }
		// edges lie 3 mm to each side
		expect(drag(centred, 3, 5)).toBe(10)
		expect(drag(centred, -3, -5)).toBe(10)
		expect(drag(centred, -3, -2)).toBe(4)
	})

	test('brings the edge to where it was dragged, however small the spread draws it there', () => {
		fc.assert(
			fc.property(
				fc.array(fc.integer({ min: 2, max: 60 }), { minLength: 1, maxLength: 7 }),
				fc.double({ min: 0.55, max: 1.6, noNaN: true }),
				fc.integer({ min: 0, max: 6 }),
				fc.integer({ min: -1, max: 40 }),
				(halves, drawn, which, more) => {
					const bands = halves.map((half, i) => (i % 2 === 0 ? { paint: 'gold', width: half / 2 } : { gap: half / 2 }))
					// the last part of a stripe that can be seen to end is a band
					const seen = bands.length % 2 === 1 ? bands : bands.slice(0, -1)
					const index = 2 * (which % Math.ceil(seen.length / 2))
					const far = halves.slice(0, index + 1).reduce((sum, half) => sum + half / 2, 0)
					const stripe = { lay: 'inboard', bands: seen }
					expect(drag(stripe, far, far + more / 2, drawn)).toBe((halves[index] as number) / 2 + more / 2)
				},
			),
			{ seed: 61, numRuns: 300 },
		)
	})

	test('off a round line counts along its radius', () => {
		const round = (radius: number): Line =>
			Array.from({ length: 181 }, (_, i) => i * 0.5).flatMap((deg) => [
				radius * Math.cos((deg * Math.PI) / 180),
				radius * Math.sin((deg * Math.PI) / 180),
			])
		const edges = { number: 1, near: [round(80)], far: [round(90)] }
		const bands: Area[] = [{ path: '', side: 'right', what: '', paint: '', colour: '', loops: [], edges }]
		const parts = partsOf({ lay: 'outboard', bands: [{ paint: 'gold', width: 10 }] }, 'mm')
		const [c, s] = [Math.cos(0.6), Math.sin(0.6)]
		const grip = gripAt(parts, bands, 90 * c, 90 * s, 1)!
		expect(dragged(grip, 97 * c, 97 * s, 'mm').value).toBe(17)
		// and 5 mm along the rim besides
		expect(dragged(grip, 97 * c - 5 * s, 97 * s + 5 * c, 'mm').value).toBe(17)
	})

	test('in inches goes by 1/32, written as a rule reads it', () => {
		const { parts, bands } = straight({ lay: 'outboard', bands: [{ paint: 'gold', width: '3.175 mm' }] })
		const grip = gripAt(parts, bands, 50, 100 - 3.175, 0.5)!
		expect(dragged(grip, 50, 100 - 3.175 - 0.8, 'in').value).toBe('5/32')
		expect(dragged(grip, 50, 100 - 25.3, 'in').value).toBe(1)
		expect(dragged(grip, 50, 100 - 1.06 * 25.4, 'in')).toEqual({ value: '1 1/16', mm: 26.9875 })
	})
})

test('the scene of a flat panel puts the edges of bands where they are laid', () => {
	const text = JSON.stringify({
		...{ format: 1, title: 'Cover', unit: 'mm', paints: ['gold', 'ivory'].map((id) => ({ id, name: id, colour: '#c9a227' })) },
		panels: [
			{
				...{ id: 'cover', hand: 'left', found: { kind: 'flat', length: 300, width: 120 } },
				datums: [{ id: 'stud', station: 0 }],
				readings: [20, 150, 280].map((station, i) => ({ kind: 'square', mark: `c${i}`, station, girth: 30, side: 'above' })),
				edges: [{ id: 'break', through: ['c0', 'c1', 'c2'] }],
				stripes: [{ id: 'coach', edge: 'break', ...GROUP }],
			},
		],
	})
	const { value } = loadJob(text)
	const view = viewOf(compute(value!.job, defaultShop(), { until: 'scheme' }), 'cover')
	const { bands } = view.panels[0]!.scenes[0]!
	expect(bands.map(({ edges }) => edges?.number)).toEqual([1, 2, 3])
	const parts = partsOf(GROUP, 'mm')
	// the line lies 30 mm above the baseline, and outboard is up
	for (const [off, key] of [
		[4, ['offset']],
		[7, ['bands', 0, 'width']],
		[9, ['bands', 1, 'gap']],
		[29, ['bands', 2, 'width']],
		[31, ['bands', 3, 'gap']],
		[34, ['bands', 4, 'width']],
	] as const) {
		const grip = gripAt(parts, bands, 140, 30 + off, 0.2)
		expect(grip?.key).toEqual(key)
		expect(grip?.awayY).toBeCloseTo(1, 6)
	}
	const grip = gripAt(parts, bands, 140, 59, 0.2)!
	expect(dragged(grip, 140, 64, 'mm').value).toBe(25)
})
