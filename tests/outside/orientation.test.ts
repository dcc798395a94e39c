// There is nothing to look this up in but the vehicle itself: x rearward, y to the driver's right, z up; a person stands outside
// and reads what is on the panel. The viewer's right hand is (direction of sight) x (up), as in any book of vectors.
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import type { ChartPoint, SpacePoint } from '../../src/chart/point.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { developLine } from '../../src/template/developLine.ts'
import { unroll } from '../../src/template/unroll.ts'
import { curve, type Hand, KINDS, type Kind, straight } from '../chart/panels.ts'

/** The outline of a capital F, 14 high and 10 wide: anticlockwise where it reads right. */
const F: readonly (readonly [number, number])[] = [
	[0, 0],
	[3, 0],
	[3, 6],
	[8, 6],
	[8, 9],
	[3, 9],
	[3, 11],
	[10, 11],
	[10, 14],
	[0, 14],
]

const times = (a: SpacePoint, b: SpacePoint): SpacePoint => ({
	x: a.y * b.z - a.z * b.y,
	y: a.z * b.x - a.x * b.z,
	z: a.x * b.y - a.y * b.x,
})
const dot = (a: SpacePoint, b: SpacePoint) => a.x * b.x + a.y * b.y + a.z * b.z
const less = (a: SpacePoint, b: SpacePoint): SpacePoint => ({ x: a.x - b.x, y: a.y - b.y, z: a.z - b.z })
const unit = (a: SpacePoint): SpacePoint => {
	const n = Math.sqrt(dot(a, a))
	return { x: a.x / n, y: a.y / n, z: a.z / n }
}

/** Outward is up on the centreline, and away from the vehicle on its sides. */
const OUTWARD: Record<Hand, SpacePoint> = {
	centre: { x: 0, y: 0, z: 1 },
	left: { x: 0, y: -1, z: 0 },
	right: { x: 0, y: 1, z: 0 },
}
/** What is up for the person looking: the front, looking down on a centreline panel; else up is up. */
const UP: Record<Hand, SpacePoint> = { centre: { x: -1, y: 0, z: 0 }, left: { x: 0, y: 0, z: 1 }, right: { x: 0, y: 0, z: 1 } }

/** Normal of the surface by plain differences, on the outer side. */
function normalAt(chart: Chart, p: ChartPoint, hand: Hand): SpacePoint {
	const at = chart.embed as (p: ChartPoint) => SpacePoint
	const h = 1e-4
	const n = unit(
		times(
			less(at({ s: p.s + h, g: p.g }), at({ s: p.s - h, g: p.g })),
			less(at({ s: p.s, g: p.g + h }), at({ s: p.s, g: p.g - h })),
		),
	)
	return dot(n, OUTWARD[hand]) > 0 ? n : { x: -n.x, y: -n.y, z: -n.z }
}

/** What a person outside sees of places on the panel: x to their right, y up, along the normal at `middle`. */
function seen(chart: Chart, hand: Hand, middle: ChartPoint, places: readonly ChartPoint[]): PlanePoint[] {
	const at = chart.embed as (p: ChartPoint) => SpacePoint
	const n = normalAt(chart, middle, hand)
	const sight = { x: -n.x, y: -n.y, z: -n.z }
	const right = unit(times(sight, UP[hand]))
	const up = times(right, sight)
	return places.map((p) => {
		const v = less(at(p), at(middle))
		return { x: dot(v, right), y: dot(v, up) }
	})
}

const signed = (loop: readonly PlanePoint[]) =>
	loop.reduce((sum, p, i) => {
		const q = loop[(i + 1) % loop.length] as PlanePoint
		return sum + (p.x * q.y - q.x * p.y) / 2
	}, 0)

/** The ways from the panel to paper: whole, or about a line along the baseline. */
function papers(chart: Chart, kind: Kind): ((p: ChartPoint) => PlanePoint)[] {
	const line = curve([straight({ s: kind.box.s0, g: 0 }, { s: kind.box.s1, g: 0 })])
	const flat = developLine(chart, line, 1e-6)
	return [(p) => flat.at(p.s - kind.box.s0, p.g), ...(chart.developable ? [unroll(chart, 1e-6)] : [])]
}

describe.each(['centre', 'left', 'right'] as const)('an F printed face outward, %s', (hand) => {
	test.each(KINDS)('$name: reads on the panel as it reads on paper', (kind) => {
		const chart = kind.chart(hand)
		const middle = { s: (kind.box.s0 + kind.box.s1) / 2, g: 4 }
		for (const place of [middle, { ...middle, g: -25 }]) {
			for (const paper of papers(chart, kind)) {
				// As it is written in (s, g), and as seen once it is on the panel.
				const outline = F.map(([x, y]) => ({ s: place.s + x, g: place.g + y }))
				const printed = outline.map(paper)
				const worn = seen(chart, hand, place, outline)
				expect(Math.sign(signed(printed))).toBe(Math.sign(signed(worn)))
				// It is an F and not a line: 81 square mm, less what the panel's own curvature shows askew.
				expect(Math.abs(signed(worn))).toBeGreaterThan(60)
				expect(Math.abs(Math.abs(signed(printed)) - 81)).toBeLessThan(12)
			}
		}
	})

	test.each(KINDS)('$name: front, rear, left, right and up are where the person has them', (kind) => {
		const chart = kind.chart(hand)
		const at = { s: (kind.box.s0 + kind.box.s1) / 2, g: 0 }
		const [front, rear, plus, minus] = [
			{ s: at.s - 10, g: 0 },
			{ s: at.s + 10, g: 0 },
			{ s: at.s, g: 10 },
			{ s: at.s, g: -10 },
		] as const
		const view = seen(chart, hand, at, [front, rear, plus, minus]) as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
		for (const paper of papers(chart, kind)) {
			const [pf, pr, pp, pm] = [front, rear, plus, minus].map(paper) as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
			if (hand === 'centre') {
				// Looking down with the front at the top: +g is the right side, on the right hand.
				expect(view[0].y).toBeGreaterThan(view[1].y + 15)
				expect(view[2].x).toBeGreaterThan(view[3].x + 15)
				// Paper turned until its front is at the top has the right side on the right hand.
				const ahead = { x: pf.x - pr.x, y: pf.y - pr.y }
				const right = { x: ahead.y, y: -ahead.x }
				expect(right.x * (pp.x - pm.x) + right.y * (pp.y - pm.y)).toBeGreaterThan(0)
			} else {
				// From outside, the front of a right-hand panel is to the right, of a left-hand one to the left; +g is up.
				const way = hand === 'right' ? 1 : -1
				expect(way * (view[0].x - view[1].x)).toBeGreaterThan(15)
				expect(view[2].y).toBeGreaterThan(view[3].y + 15)
				expect(way * (pf.x - pr.x)).toBeGreaterThan(15)
				expect(pp.y).toBeGreaterThan(pm.y + 15)
			}
		}
	})

	test.each(KINDS)('$name: (s, g, outward) is right-handed exactly where the chart says so', (kind) => {
		const chart = kind.chart(hand)
		const at = { s: kind.box.s0 + 15, g: 9 }
		const embed = chart.embed as (p: ChartPoint) => SpacePoint
		const n = times(less(embed({ ...at, s: at.s + 1e-3 }), embed(at)), less(embed({ ...at, g: at.g + 1e-3 }), embed(at)))
		expect(Math.sign(dot(n, OUTWARD[hand]))).toBe(chart.orientation)
		expect(chart.orientation).toBe(hand === 'right' ? -1 : 1)
	})
})

test('left and right of a pair are mirror images in the vehicle', () => {
	for (const kind of KINDS) {
		const [left, right] = [kind.chart('left'), kind.chart('right')]
		for (const p of [
			{ s: 30, g: 12 },
			{ s: -20, g: -31 },
		]) {
			const [a, b] = [left.embed?.(p), right.embed?.(p)] as [SpacePoint, SpacePoint]
			expect([a.x, a.y, a.z]).toEqual([b.x, -b.y, b.z])
			expect(left.metric(p.s, p.g)).toEqual(right.metric(p.s, p.g))
		}
	}
})
