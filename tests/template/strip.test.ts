import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { crossStation } from '../../src/chart/cross.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { pointInRegion } from '../../src/plane/polyline.ts'
import type { Piece } from '../../src/template/piece.ts'
import { girthStrip } from '../../src/template/strip.ts'
import { bow } from '../scheme/bench.ts'
import { clashes, paths, pointsOf, texts, words } from './printed.ts'

const charts: readonly (readonly ['left' | 'right' | 'centre', Chart])[] = (['left', 'right', 'centre'] as const).map((hand) => [
	hand,
	revolvedChart(panelFrame('panel', hand), 310, circleProfile(62, 180), 0, 500),
])
const strip = (chart: Chart, hand: string, station = 130): Piece => {
	const curve = bow(chart)
	const piece = girthStrip({
		chart,
		id: 'panel/strip/1',
		number: 101,
		panel: 'panel',
		panelTitle: 'Panel',
		side: hand === 'left' ? 'LEFT' : hand === 'right' ? 'RIGHT' : 'BOTH',
		halves: hand === 'centre' ? ['RIGHT', 'LEFT'] : ['ABOVE', 'BELOW'],
		station,
		edges: [{ id: 'st/near', name: 'stripe', short: 'st inner', side: 'left', curve, open: 1, colour: '#c9a227' }],
		features: [{ name: 'rim', g: 80 }],
		unit: 'mm',
	})
	if (!piece) throw new Error('no strip')
	return piece
}

describe('a girth strip', () => {
	test.each(charts)('has its tick at the true girth and angle: %s', (hand, chart) => {
		const piece = strip(chart, hand)
		const hit = crossStation(chart, bow(chart), 130)[0]
		if (!hit) throw new Error('no crossing')
		const tick = paths(piece.items)
			.filter((i) => i.role === 'tick')
			.map(pointsOf)
			.find(([p]) => p !== undefined && Math.abs(p.y - hit.at.g) < 1e-9 && Math.abs(p.x) < 1e-9)
		const [a, b] = tick as [PlanePoint, PlanePoint]
		const way = chart.orientation
		// Along the line on the panel: cos, sin of its angle; on paper x runs with stations, the other way on a right-hand panel.
		expect((b.y - a.y) / (b.x - a.x)).toBeCloseTo(way * Math.tan(hit.angle), 9)
		expect(Math.sign(b.x - a.x)).toBe(way)
		// The working edge is the girth line: straight, on x = 0, from past the baseline to past the tick.
		const ys = piece.working.flat().map((p) => p.y)
		for (const p of piece.working.flat()) expect(Math.abs(p.x)).toBeLessThan(1e-9)
		expect(Math.max(...ys)).toBeGreaterThan(80)
	})

	test.each(charts)('has its body behind the working edge, on the side of higher stations: %s', (hand, chart) => {
		const piece = strip(chart, hand)
		expect(pointInRegion({ x: chart.orientation * 10, y: 60 }, piece.knife)).toBe(true)
		expect(pointInRegion({ x: -chart.orientation * 10, y: 60 }, piece.knife)).toBe(false)
	})

	test.each(charts)('says number, side, station, and which half is which: %s', (hand, chart) => {
		const piece = strip(chart, hand)
		const said = words(piece)
		for (const word of ['101', 'FRONT', 'this face up', 'station 130', '50 mm', 'rim 80']) expect(said).toContain(word)
		expect(said).toContain(hand === 'centre' ? 'RIGHT' : 'ABOVE')
		if (hand !== 'centre') expect(said).toContain(piece.side)
		for (const t of texts(piece.items)) expect(Math.cos(t.angle)).toBeCloseTo(1, 9)
		expect(clashes(piece)).toEqual([])
	})
})

test('the patch of paint lies along its tick however steep the line is, within the piece', () => {
	const chart = charts[2]?.[1] as Chart
	// Nearly along the girth line.
	const steep = {
		id: 'steep',
		cubics: [[0, 1, 2, 3].map((i) => ({ s: 129 + i, g: 20 + 20 * i }))] as never,
		closed: false,
		maxErrorMm: 0,
	}
	const piece = girthStrip({
		chart,
		id: 'panel/strip/1',
		number: 101,
		panel: 'panel',
		panelTitle: 'Panel',
		side: 'BOTH',
		halves: ['RIGHT', 'LEFT'],
		station: 130,
		edges: [{ id: 'st/near', name: 'stripe', short: 'st inner', side: 'right', curve: steep, open: 1, colour: '#c9a227' }],
		features: [],
		unit: 'mm',
	})
	const patches = paths(piece?.items ?? []).filter((i) => i.fill)
	expect(patches).toHaveLength(1)
	// The tick is 9 mm long and starts at girth 40.
	for (const p of patches.flatMap(pointsOf)) expect(Math.hypot(p.x, p.y - 40)).toBeLessThan(9)
})
