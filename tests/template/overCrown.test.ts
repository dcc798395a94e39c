import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { mirrored } from '../../src/chart/curve.ts'
import { nearestOn } from '../../src/chart/nearest.ts'
import type { Curve } from '../../src/chart/point.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { pointInRegion } from '../../src/plane/polyline.ts'
import { type OverCrownInput, overCrown } from '../../src/template/overCrown.ts'
import type { PaintEdge } from '../../src/template/paintEdge.ts'
import { bow, guard, lineThrough, pulled, rolled, sphere } from '../scheme/bench.ts'
import { foldBack } from './fold.ts'

const edge = (curve: Curve, side: 'left' | 'right', open: 1 | -1): PaintEdge => ({
	id: `st/${side}/1/near`,
	name: 'stripe, inner edge',
	short: 'st inner',
	side,
	curve,
	open: side === 'right' ? open : (-open as 1 | -1),
	colour: '#c9a227',
})
const made = (chart: Chart, curve: Curve, open: 1 | -1 = 1, more: Partial<OverCrownInput> = {}) =>
	overCrown({
		chart,
		panel: 'panel',
		panelTitle: 'Panel',
		left: edge(mirrored(curve), 'left', open),
		right: edge(curve, 'right', open),
		firstNumber: 101,
		stations: [50, 150, 250, 350],
		interruptions: [],
		bodyMm: 7,
		limitMm: 0.3,
		toleranceMm: 0.0005,
		unit: 'mm',
		...more,
	})
const pieces = (...args: Parameters<typeof made>) => {
	const result = made(...args)
	if (!result.ok) throw new Error(result.why)
	return result.pieces
}

/** Both ways along a printed line from where it crosses the bridge's line, x = 0. */
function bothWays(line: readonly PlanePoint[]): readonly [readonly PlanePoint[], readonly PlanePoint[]] {
	const i = line.findIndex((p, k) => k > 0 && p.x >= 0 && (line[k - 1] as PlanePoint).x < 0)
	const [a, b] = [line[i - 1] as PlanePoint, line[i] as PlanePoint]
	const t = -a.x / (b.x - a.x)
	const at = { x: 0, y: a.y + t * (b.y - a.y) }
	return [
		[at, ...line.slice(i)],
		[at, ...line.slice(0, i).reverse()],
	]
}
const stationOf = (notes: readonly string[]) => Number(/bridge at station (-?\d+(?:\.\d+)?)/.exec(notes[0] ?? '')?.[1])

describe('a piece over the crown', () => {
	test.each([
		['revolved', guard],
		['sphere', sphere],
		['rolled', rolled],
	] as const)('laid back on the panel from its head has both edges on their lines: %s', (_, chart) => {
		const curve = bow(chart)
		const lines = [curve, mirrored(curve)].map((c) => nearestOn(chart, c))
		for (const piece of pieces(chart, curve)) {
			const s = stationOf(piece.notes)
			piece.working.forEach((printed, side) => {
				for (const way of bothWays(printed)) {
					const [p, q] = way as readonly [PlanePoint, PlanePoint]
					// The bridge is straight and square off the baseline: its girth is the paper's own length, its angles the paper's own.
					const reached = foldBack(chart, way, { s, g: p.y }, Math.atan2(q.y - p.y, q.x - p.x))
					for (const at of reached) expect(Math.abs(lines[side]?.(at)?.offsetMm ?? 99)).toBeLessThan(0.03)
				}
			})
		}
	})

	test('covers the whole line with its two sides alike', () => {
		const list = pieces(guard, bow(guard))
		expect(list.length).toBeGreaterThan(1)
		for (const piece of list) {
			const [right, left] = piece.working as readonly [readonly PlanePoint[], readonly PlanePoint[]]
			expect(left).toHaveLength(right.length)
			right.forEach((p, i) => {
				expect(left[i]?.x).toBeCloseTo(p.x, 6)
				expect(left[i]?.y).toBeCloseTo(-p.y, 6)
			})
			expect(piece.side).toBe('BOTH')
		}
	})

	test.each([1, -1] as const)('is one sheet of paper with its bodies on the open side (%i)', (open) => {
		for (const piece of pieces(guard, bow(guard), open)) {
			const outer = piece.knife.filter((loop) => loop.every((p) => p.y !== 0))
			expect(outer.length).toBeGreaterThan(0)
			const [right] = piece.working as readonly [readonly PlanePoint[]]
			const end = right[3] as PlanePoint
			expect(pointInRegion({ x: end.x, y: end.y + open * 3 }, piece.knife)).toBe(true)
			expect(pointInRegion({ x: end.x, y: end.y - open * 3 }, piece.knife)).toBe(false)
			// The knife goes round it in one: one outline and the head's windows.
			const windows = piece.knife.filter((loop) => loop.length === 4)
			expect(piece.knife.length - windows.length).toBe(1)
		}
	})

	test('says why it is not made', () => {
		const near = lineThrough(guard, [
			[0, 12],
			[200, 16],
			[400, 12],
		])
		expect(made(guard, near)).toEqual({ ok: false, why: 'near-crown' })
		const far = lineThrough(rolled, [
			[0, 112],
			[200, 116],
			[390, 112],
		])
		expect(made(rolled, far)).toEqual({ ok: false, why: 'far' })
		expect(made(rolled, pulled(rolled, [20, 40], [200, 80], [380, 40]))).toEqual({ ok: false, why: 'corners' })
		expect(made(guard, bow(guard), 1, { interruptions: [{ from: -100, to: 600 }] })).toEqual({ ok: false, why: 'interrupted' })
	})
})
