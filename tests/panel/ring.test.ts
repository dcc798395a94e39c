/** Closed sections against surfaces of revolution in closed form, and a stripe once round them. */
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { startOf } from '../../src/chart/curve.ts'
import type { TextItem } from '../../src/drawing/drawing.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { chartOf } from '../scheme/jobs.ts'

const R = 60
/** Radius of the ring at a place along, its widest in the middle, 75 mm along. */
type Shape = (along: number) => number
const tube: Shape = () => R
const BULGE = 300
const barrel: Shape = (along) => R - BULGE + Math.sqrt(BULGE ** 2 - (along - 75) ** 2)
const bowl: Shape = (along) => 30 + along / 2

/** Readings from the top round by the right, `off` the straight-edge; the middle stands off to one side, as no gauge is centred. */
function section(along: number, radius: number, count = 24) {
	const points = Array.from({ length: count + 1 }, (_, k) => {
		const turn = (2 * Math.PI * k) / count
		return [radius * Math.sin(turn) + 3, 70 - radius * Math.cos(turn)]
	})
	points[count] = points[0] as number[]
	return { along, points }
}
const ALONG = [0, 15, 30, 45, 60, 75, 90, 105, 120, 135, 150]

function job(shape: Shape, more: object = {}, panel: object = {}) {
	return {
		format: 1,
		title: 'ring',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				id: 'ring',
				hand: 'left',
				found: { kind: 'sections', closed: true, sd: 0.02, sections: ALONG.map((a) => section(a, shape(a))), ...more },
				...panel,
			},
		],
	}
}
/** Marks at even stations round the ring, and a band once round through them. */
const striped = (girths: readonly number[], lay: string, width: number, more: object = {}) => ({
	readings: girths.map((g, i) => ({
		...{ kind: 'square', mark: `m${i}`, station: 20 + (i * 2 * Math.PI * R) / girths.length, girth: Math.abs(g) },
		...{ side: g < 0 ? 'below' : 'above', sd: 0.01 },
	})),
	edges: [{ id: 'round', through: girths.map((_, i) => `m${i}`), closed: true }],
	stripes: [{ id: 'band', edge: 'round', lay, bands: [{ paint: 'gold', width }] }],
	...more,
})

function made(of: object): Result {
	const { value, problems } = loadJob(JSON.stringify(of))
	if (!value) throw new Error(problems.map((p) => p.found).join('; '))
	return compute(value.job, defaultShop())
}
const errorsOf = (of: object) => {
	const { value, problems } = loadJob(JSON.stringify(of))
	return [...problems, ...(value ? compute(value.job, defaultShop()).problems : [])].filter(
		({ severity }) => severity === 'error',
	)
}
/** Area of its first band or field, mm^2. */
const mm2Of = (result: Result, of: 'bands' | 'fields' = 'bands') =>
	area(chartOf(result), result.panels[0]?.schemes?.[0]?.scheme[of][0]?.region ?? [])

describe.each([
	['a tube', tube, () => 1],
	// do Carmo 4-4: J is the distance from the axis over that of the baseline.
	['a barrel', barrel, (g: number) => (R - BULGE + BULGE * Math.cos(g / BULGE)) / R],
] as const)('%s', (_, shape, scale) => {
	const chart = chartOf(made(job(shape)))

	test('its station repeats after once round its widest', () => {
		expect(Math.abs((chart.periodS ?? 0) - 2 * Math.PI * R)).toBeLessThan(0.01)
		expect(chart.sMax - chart.sMin).toBeCloseTo(chart.periodS ?? 0, 9)
		for (const s of [0, 77, 200]) {
			expect(chart.metric(s, 20).j).toBeCloseTo(chart.metric(s + (chart.periodS ?? 0), 20).j, 9)
			for (const g of [-60, -25, 0, 30, 60]) expect(Math.abs(chart.metric(s, g).j - scale(g))).toBeLessThan(5e-4)
		}
	})

	test('a worse gauge draws the ring in by nothing', () => {
		const worse = chartOf(made(job(shape, { sd: 0.5 })))
		expect(Math.abs((worse.periodS ?? 0) - 2 * Math.PI * R)).toBeLessThan(0.05)
	})

	test('stations run from the top over the left, girths to the rear, seen from outside', () => {
		const at = (s: number, g: number) => chart.embed?.({ s, g }) as { x: number; y: number; z: number }
		const top = at(chart.sMin, 0)
		const side = at(chart.sMin + (chart.periodS ?? 0) / 4, 0)
		expect(Math.abs(top.x - 75)).toBeLessThan(0.1)
		expect(Math.abs(top.y - 3)).toBeLessThan(0.1)
		expect(Math.abs(top.z - (-70 + R))).toBeLessThan(0.1)
		expect(Math.abs(side.y - (3 - R))).toBeLessThan(0.1)
		expect(at(chart.sMin, 30).x).toBeGreaterThan(top.x + 25)
	})
})

test('on a right panel stations run over the right', () => {
	const chart = chartOf(made(job(tube, {}, { hand: 'right' })))
	expect(chart.embed?.({ s: chart.sMin + (chart.periodS ?? 0) / 4, g: 0 }).y).toBeCloseTo(3 + R, 1)
	expect(chart.orientation).toBe(-1)
})

test('readings given as halves, or the half that is mirrored, are the same ring', () => {
	const whole = chartOf(made(job(barrel)))
	const half = (a: number) =>
		section(a, barrel(a))
			.points.slice(0, 13)
			.map(([x, d]) => [(x ?? 0) - 3, d])
	const mirrored = chartOf(made(job(barrel, { sections: ALONG.map((along) => ({ along, half: true, points: half(along) })) })))
	const apart = chartOf(made(job(barrel, { sections: ALONG.map((along) => ({ along, left: half(along), right: half(along) })) })))
	for (const chart of [mirrored, apart]) {
		expect(chart.periodS).toBeCloseTo(whole.periodS ?? 0, 2)
		for (const g of [-40, 40]) expect(chart.metric(100, g).j).toBeCloseTo(whole.metric(100, g).j, 3)
	}
})

test('a gauge that is out by a tenth leaves the way round true to as much as the readings say', () => {
	// Errors that repeat: sines of incommensurate phase, 0.1 mm in size.
	const sections = ALONG.map((a, i) => {
		const { points } = section(a, tube(a))
		const off = points.map(([x, d], k) => [
			(x ?? 0) + 0.1 * Math.sin(12.9898 * (i * 31 + k)),
			(d ?? 0) + 0.1 * Math.cos(78.233 * (i * 17 + k)),
		])
		off[off.length - 1] = off[0] as number[]
		return { along: a, points: off }
	})
	const chart = chartOf(made(job(tube, { sections, sd: 0.1 })))
	expect(Math.abs((chart.periodS ?? 0) - 2 * Math.PI * R)).toBeLessThan(0.3)
	for (const s of [10, 150, 300]) for (const g of [-50, 50]) expect(Math.abs(chart.metric(s, g).j - 1)).toBeLessThan(0.01)
})

describe('a band once round a barrel at a girth of 20, 8 mm wide', () => {
	const result = made(job(barrel, {}, striped([20, 20, 20, 20, 20], 'outboard', 8, { strips: { stations: [0, 90, 180, 270] } })))
	const [panel] = result.panels
	const band = panel?.schemes?.[0]?.scheme.bands[0]
	const chart = chartOf(result)
	const period = chart.periodS ?? 0

	test('is laid without a word', () => {
		expect(result.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
	})

	test('has the area between two circles of latitude', () => {
		const to = (g: number) => 2 * Math.PI * ((R - BULGE) * g + BULGE ** 2 * Math.sin(g / BULGE))
		const between = to(28) - to(20)
		expect(Math.abs(mm2Of(result) - between) / between).toBeLessThan(5e-4)
	})

	test('comes back into itself at the seam, in its own direction', () => {
		for (const curve of [band?.near[0], band?.far[0]]) {
			if (!curve) throw new Error('no edge')
			const [first, last] = [curve.cubics[0], curve.cubics.at(-1)]
			const [a, b] = [startOf(curve), last?.[3]]
			expect((b?.s ?? 0) - a.s).toBeCloseTo(period, 6)
			expect(b?.g).toBeCloseTo(a.g, 6)
			const lean = [(first?.[1].g ?? 0) - a.g, (b?.g ?? 0) - (last?.[2].g ?? 0)]
			expect(Math.abs((lean[0] ?? 0) - (lean[1] ?? 0))).toBeLessThan(0.01)
		}
	})

	test('its guides go round without a gap and without one of them twice', () => {
		for (const [which, g] of [
			['near', 20],
			['far', 28],
		] as const) {
			const guides = (panel?.pieces ?? []).filter(({ id }) => id.includes(`/${which}/guide/`))
			const round = 2 * Math.PI * (R - BULGE + BULGE * Math.cos(g / BULGE))
			const total = guides
				.flatMap(({ working }) => working)
				.reduce(
					(sum, line) =>
						sum + line.slice(1).reduce((l, q, i) => l + Math.hypot(q.x - (line[i]?.x ?? 0), q.y - (line[i]?.y ?? 0)), 0),
					0,
				)
			// Each goes on into the next, the last into the first: by 20 mm, or by 8 where a dot is on both.
			expect(guides.length).toBeGreaterThan(1)
			expect(total - round).toBeGreaterThan(8 * guides.length - 0.1)
			expect(total - round).toBeLessThan(20 * guides.length + 0.1)
			const words = guides.map(({ items }) => items.flatMap((i) => (i.kind === 'text' ? [(i as TextItem).text] : [])).join(' '))
			expect(words[0]).toContain(`joins ${guides.at(-1)?.number}`)
			expect(words.at(-1)).toContain(`joins ${guides[0]?.number}`)
		}
	})

	test('a strip on the seam has each edge once, as every other has', () => {
		const strips = (panel?.pieces ?? []).filter(({ kind }) => kind === 'strip')
		expect(strips).toHaveLength(4)
		for (const { items } of strips) {
			const names = items
				.flatMap((item) => (item.kind === 'text' ? [(item as TextItem).text] : []))
				.filter((t) => t.startsWith('band '))
			expect(names).toHaveLength(2)
		}
	})
})

test('a wavy band round a tube has its length times its width for an area, whatever its marks', () => {
	// Gauss-Bonnet on a flat ring: a closed line turns by nothing in all, so that its parallels are as long as it is.
	const result = made(job(tube, {}, striped([10, 16, 18, 12, 4, -2, 2], 'centred', 6)))
	const curve = result.panels[0]?.lines?.edges[0]?.fitted.curve
	const points = (curve?.cubics ?? []).flatMap(([a, b, c, d]) =>
		Array.from({ length: 200 }, (_, i) => i / 200).map((t) => {
			const w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3] as const
			return { s: w[0] * a.s + w[1] * b.s + w[2] * c.s + w[3] * d.s, g: w[0] * a.g + w[1] * b.g + w[2] * c.g + w[3] * d.g }
		}),
	)
	const length = points.slice(1).reduce((sum, q, i) => sum + Math.hypot(q.s - (points[i]?.s ?? 0), q.g - (points[i]?.g ?? 0)), 0)
	expect(Math.abs(mm2Of(result) - 6 * length) / (6 * length)).toBeLessThan(1e-3)
	// The line passes its marks, also those about the seam.
	for (const { offMm } of result.panels[0]?.lines?.edges[0]?.fitted.passes ?? []) expect(Math.abs(offMm)).toBeLessThan(0.1)
	expect(result.panels[0]?.lines?.edges[0]?.fitted.passes).toHaveLength(7)
})

test('a tape over the seam is the short way', () => {
	const { readings, ...rest } = striped([10, 10, 10, 10, 10], 'centred', 6)
	// On a tube laid flat: a fifth of the way round, at one girth.
	const tape = { kind: 'tape', from: 'm4', to: 'm0', length: (2 * Math.PI * R) / 5, sd: 0.1 }
	const result = made(job(tube, {}, { ...rest, readings: [...readings, tape] }))
	expect(result.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
})

test('a field between two lines round a tube is what lies between them', () => {
	const marks = [20, 140, 260].flatMap((station, i) => [
		{ kind: 'square', mark: `a${i}`, station, girth: 10, side: 'below' },
		{ kind: 'square', mark: `b${i}`, station, girth: 20, side: 'above' },
	])
	const edges = ['a', 'b'].map((id) => ({ id, through: [0, 1, 2].map((i) => `${id}${i}`), closed: true }))
	const result = made(job(tube, {}, { readings: marks, edges, fields: [{ id: 'belt', paint: 'gold', between: ['a', 'b'] }] }))
	const belt = 2 * Math.PI * R * 30
	expect(Math.abs(mm2Of(result, 'fields') - belt) / belt).toBeLessThan(1e-3)
})

describe('what cannot be a ring', () => {
	const open = ALONG.map((a) => ({ along: a, points: section(a, R).points.slice(0, -3) }))
	test.each([
		['a section that does not close', job(tube, { sections: open }), 'SECTION_NOT_CLOSED', '/panels/0/found/sections/0'],
		[
			'a half that ends off the centreline',
			job(tube, { sections: ALONG.map((along) => ({ along, half: true, points: section(along, R).points.slice(0, 10) })) }),
			'SECTION_NOT_CLOSED',
			'/panels/0/found/sections/0',
		],
		['a panel on the centreline', job(tube, {}, { hand: 'centre' }), 'RING_HAND', '/panels/0/found/closed'],
		['a bowl, round which a taut tape slips off', job(bowl), 'BASELINE_NOT_CLOSED', '/panels/0/found/baseline'],
		[
			'a crown',
			job(tube, {
				crown: {
					points: [
						[0, 0],
						[70, 0],
						[150, 0],
					],
				},
			}),
			'RING_CROWN',
			'/panels/0/found/crown',
		],
		[
			'readings out of order',
			job(tube, {
				sections: ALONG.map((a) => {
					const { points } = section(a, R)
					return { along: a, points: [points[0], points[9], points[2], ...points.slice(3)] }
				}),
			}),
			'SECTION_NOT_ROUND',
			'/panels/0/found/sections/0',
		],
	] as const)('%s', (_, of, code, path) => {
		const found = errorsOf(of).find((p) => p.code === code)
		expect(found?.path).toBe(path)
	})
})
