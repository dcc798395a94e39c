/**
 * A seam between two rings, and lines over it. A tube laid flat is a plane, and looks the same however it is turned: the figures are
 * those of plane geometry wherever round it stations begin.
 */
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { onceRound } from '../../src/scheme/outline.ts'

const R = 60
const ROUND = 2 * Math.PI * R
const section = (along: number) => ({
	along,
	points: Array.from({ length: 25 }, (_, k) => {
		const turn = (2 * Math.PI * (k % 24)) / 24
		return [R * Math.sin(turn), R - R * Math.cos(turn)]
	}),
})
const found = { kind: 'sections', closed: true, sd: 0.01, sections: [0, 30, 60, 90, 120, 150].map(section) }

/** The seam at a girth of 40 on one ring and of -40 on the other; a line that rises by 7 for 3 round goes over it. */
function made(turnedBy: number) {
	const place = (s: number, g: number) => ({
		...{ station: (((s + turnedBy) % ROUND) + ROUND) % ROUND, girth: Math.abs(g), side: g < 0 ? 'below' : 'above' },
	})
	const panel = (id: string, seamG: number, marks: readonly (readonly [number, number])[], more: object = {}) => ({
		...{ id, hand: 'left', found },
		datums: [
			{ id: 'a', ...place(80, seamG) },
			{ id: 'b', ...place(160, seamG) },
		],
		readings: marks.map(([s, g], i) => ({ kind: 'square', mark: `m${i}`, ...place(s, g), sd: 0.01 })),
		edges: [{ id: 'line', through: marks.map((_, i) => `m${i}`) }],
		stripes: [
			{ id: 'band', edge: 'line', lay: 'centred', bands: [{ paint: 'gold', width: 6 }], front: { shape: 'pointed', length: 20 } },
		],
		strips: { stations: [place((marks[1] as readonly [number, number])[0], 0).station] },
		...more,
	})
	const seam = {
		with: 'rim',
		datums: [
			['a', 'a'],
			['b', 'b'],
		],
		lines: [['line', 'line']],
	}
	const own = [
		[100, -30],
		[115, 5],
		[142, 68],
	] as const
	const theirs = [
		[115, -75],
		[130, -40],
		[160, 30],
	] as const
	const job = {
		format: 1,
		title: 'two tubes',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [panel('shell', 40, own, { seams: [seam] }), panel('rim', -40, theirs)],
	}
	const { value, problems } = loadJob(JSON.stringify(job))
	if (!value) throw new Error(problems.map((p) => p.found).join('; '))
	return compute(value.job, defaultShop(), { until: 'pieces' })
}

/** The line over where stations begin; the seam's datums over it; its first or its last place upon it; neither. */
const turns = [0, -115, -150, -100, -80]
const results = turns.map((by) => [by, made(by)] as const)

describe.each(results)('turned by %d', (_, result) => {
	test('the seam has its length and the line meets it where it does in the plane', () => {
		expect(result.problems).toEqual([])
		const [seam] = result.seams ?? []
		for (const mm of seam?.lengths[0]?.mm ?? []) expect(Math.abs(mm - 80)).toBeLessThan(0.02)
		const [meeting, ...more] = seam?.meetings ?? []
		expect(more).toEqual([])
		for (const along of meeting?.alongMm ?? []) expect(Math.abs(along - 50)).toBeLessThan(0.02)
		for (const angle of meeting?.angleDeg ?? []) expect(Math.abs(angle - (Math.atan2(7, 3) * 180) / Math.PI)).toBeLessThan(0.02)
		expect(meeting?.ledMm).toEqual([0, 0])
	})

	test('the band ends at it: a strip 6 mm wide, pointed at its front, cut along the seam', () => {
		const [shell, rim] = result.panels
		const lengths = [Math.hypot(30, 70), Math.hypot(30, 70)]
		for (const [i, panel] of [shell, rim].entries()) {
			const chart = panel?.shape?.now[0]?.chart
			const band = panel?.schemes?.[0]?.scheme.bands[0]
			if (!chart || !band) throw new Error('the band is laid')
			// The point is a triangle 20 mm long in place of 20 mm of strip; on the rim it lies beyond the seam.
			const whole = 6 * (lengths[i] as number) - (i === 0 ? 60 : 0)
			expect(Math.abs(area(chart, band.region) - whole)).toBeLessThan(0.3)
		}
	})

	test('its guides carry the same ticks on both panels', () => {
		const ticks = result.panels.map(({ pieces = [] }) =>
			pieces
				.flatMap(({ kind, items }) =>
					kind === 'guide' ? items.flatMap((i) => (i.kind === 'text' && /^A\d/.test(i.text) ? [i.text] : [])) : [],
				)
				.sort(),
		)
		expect(ticks[0]).toHaveLength(2)
		expect(ticks[1]).toEqual(ticks[0])
	})

	test('a strip where it crosses says the same girths', () => {
		const texts = (result.panels[0]?.pieces ?? []).flatMap(({ kind, items }) =>
			kind === 'strip' ? items.flatMap((i) => (i.kind === 'text' ? [i.text] : [])) : [],
		)
		// At the middle mark (5) the edges lie 3 mm off the line, square: 3 sqrt(1 + (7/3)^2) along the girth.
		const off = 3 * Math.sqrt(1 + (7 / 3) ** 2)
		for (const g of [5 - off, 5 + off]) {
			expect(texts.some((text) => text.startsWith('band ') && text.endsWith(` ${Math.abs(g).toFixed(1)}`))).toBe(true)
		}
	})

	test('as it is drawn on the panel it is as large, and nothing of it lies beyond where stations end', () => {
		const chart = result.panels[0]?.shape?.now[0]?.chart
		const band = result.panels[0]?.schemes?.[0]?.scheme.bands[0]
		if (!chart || !band) throw new Error('the band is laid')
		const drawn = onceRound(chart, band.region)
		expect(Math.abs(area(chart, drawn) - area(chart, band.region))).toBeLessThan(0.01)
		for (const { s } of drawn.flat()) {
			expect(s).toBeGreaterThan(chart.sMin - 1e-3)
			expect(s).toBeLessThan(chart.sMax + 1e-3)
		}
	})
})
