import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { frame } from '../../src/chart/curve.ts'
import { measure } from '../../src/chart/measure.ts'
import { nearestOn } from '../../src/chart/nearest.ts'
import type { Curve } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { lengthOf, pointInRegion } from '../../src/plane/polyline.ts'
import { developLine } from '../../src/template/developLine.ts'
import { edgeGuides, type GuideInput } from '../../src/template/guide.ts'
import { cutRun, dotsOn, guideRuns } from '../../src/template/guideCuts.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bow, guard, pulled, rolled, SPHERE_MM, sphere } from '../scheme/bench.ts'
import { foldBack } from './fold.ts'

const guides = (chart: Chart, curve: Curve, more: Partial<GuideInput> = {}, open: 1 | -1 = 1) =>
	guided(chart, curve, more, open).value as readonly Piece[]
const guided = (chart: Chart, curve: Curve, more: Partial<GuideInput> = {}, open: 1 | -1 = 1) =>
	edgeGuides({
		chart,
		edge: { id: 'st/left/1/near', name: 'stripe, inner edge', short: 'st inner', side: 'left', curve, open, colour: '#c9a227' },
		panel: 'panel',
		panelTitle: 'Panel',
		side: 'LEFT',
		firstNumber: 101,
		stations: STATIONS,
		bodyMm: 7,
		limitMm: 0.3,
		toleranceMm: 0.0005,
		unit: 'mm',
		...more,
	})
const STATIONS = [50, 150, 250, 350]
const left = panelFrame('panel', 'left')
const right = panelFrame('panel', 'right')
const panels: readonly (readonly [string, Chart])[] = [
	['revolved', guard],
	['sphere', sphere],
	['rolled', rolled],
	['revolved, left hand', revolvedChart(left, 310, circleProfile(62, 180), 0, 500)],
	['revolved, right hand', revolvedChart(right, 310, circleProfile(62, 180), 0, 500)],
	['rolled, right hand', rolledAlong(right, circleProfile(80, 240), 0, 400)],
]

describe('an edge guide', () => {
	test.each(panels)('laid back on the panel lies on its line: %s', (_, chart) => {
		const curve = bow(chart)
		const foot = nearestOn(chart, curve)
		for (const piece of guides(chart, curve)) {
			const printed = piece.working[0] as readonly PlanePoint[]
			const start = startOn(chart, curve, piece.id)
			const reached = foldBack(chart, printed, start.at, firstHeading(chart, curve, start.u, printed))
			for (const p of reached) expect(Math.abs(foot(p)?.offsetMm as number)).toBeLessThan(0.03)
		}
	})

	test.each(panels)('has the length of its line: %s', (_, chart) => {
		const curve = bow(chart)
		const length = measure(chart, curve).length
		const printed = guides(chart, curve).map((p) => lengthOf(p.working[0] as readonly PlanePoint[]))
		const cuts = cutsOf(chart, curve)
		expect(printed).toHaveLength(cuts.length)
		cuts.forEach(({ from, to }, i) => {
			expect(printed[i]).toBeCloseTo(to - from, 2)
			const before = cuts[i - 1]
			// Guides overlap by 20 mm, or meet about a dot that both have.
			const both = before?.dots.some((d) => cuts[i]?.dots.includes(d))
			if (before) expect(before.to - from).toBeGreaterThan((both ? 8 : 20) - 1e-6)
		})
		expect(cuts[0]?.from).toBe(0)
		expect(cuts.at(-1)?.to).toBeCloseTo(length, 6)
	})

	test.each(panels)('has its body on the open side, paint outward: %s', (_, chart) => {
		const curve = bow(chart)
		for (const open of [1, -1] as const) {
			const line = developLine(chart, curve, 0.0005)
			const piece = guides(chart, curve, { limitMm: 50 }, open)[0]
			const inBody = line.at(60, open * 3.5)
			const outside = line.at(60, open * -1)
			expect(pointInRegion(inBody, piece?.knife ?? [])).toBe(true)
			expect(pointInRegion(outside, piece?.knife ?? [])).toBe(false)
			// +g is up on paper whatever the hand, and the line runs rearward: its plus side is up.
			expect(Math.sign(inBody.y - line.at(60).y)).toBe(open)
		}
	})

	test('stations run to the right on paper, to the left on a right-hand panel', () => {
		for (const [name, chart] of panels) {
			const printed = guides(chart, bow(chart))[0]?.working[0] ?? []
			const [a, b] = [printed[0], printed[printed.length - 1]] as [PlanePoint, PlanePoint]
			expect(Math.sign(b.x - a.x), name).toBe(name.includes('right') ? -1 : 1)
		}
	})

	test('of a small circle on a sphere is an arc of radius R tan(theta)', () => {
		// The cone that touches the sphere along the circle, unrolled (Snyder, Map Projections, USGS PP 1395, ch. 16: the
		// polyconic parallel of latitude phi has radius R cot(phi); theta is the distance from the pole, 90 degrees less phi).
		for (const g of [30, 60, 100]) {
			const theta = Math.PI / 2 - g / SPHERE_MM
			const curve: Curve = {
				id: 'parallel',
				cubics: [
					[
						{ s: 0, g },
						{ s: 100, g },
						{ s: 200, g },
						{ s: 300, g },
					],
				],
				closed: false,
				maxErrorMm: 0,
			}
			const piece = guides(sphere, curve, { limitMm: 50 })[0]
			const printed = piece?.working[0] as readonly PlanePoint[]
			// It bends away from the pole's side: the centre lies towards +g.
			const centre = { x: 0, y: SPHERE_MM * Math.tan(theta) }
			for (const p of printed) {
				expect(Math.hypot(p.x - centre.x, p.y - centre.y)).toBeCloseTo(SPHERE_MM * Math.tan(theta), 3)
			}
		}
	})

	test('goes round a slight corner by the corner, and ends at a sharp one', () => {
		const slight = pulled(guard, [20, 20], [160, 24], [300, 32])
		const piece = guides(guard, slight, { limitMm: 50 })
		expect(piece).toHaveLength(1)
		const printed = piece[0]?.working[0] as readonly PlanePoint[]
		const foot = nearestOn(guard, slight)
		for (const p of foldBack(guard, printed, { s: 20, g: 20 }, frame(guard, slight, 0).angle)) {
			expect(Math.abs(foot(p)?.offsetMm as number)).toBeLessThan(0.03)
		}
		const sharp = guides(guard, pulled(guard, [20, 20], [160, 24], [170, 70]), { limitMm: 50 })
		expect(sharp).toHaveLength(2)
		expect(sharp.map((p) => p.title)).toEqual(['Edge guide 1 of 2, stripe, inner edge', 'Edge guide 2 of 2, stripe, inner edge'])
	})

	test('is no longer than what the body and the shape of the panel allow', () => {
		const loose = { ...guard, curvatureSd: 1e-4 }
		for (const piece of guides(loose, bow(guard))) {
			const length = lengthOf(piece.working[0] as readonly PlanePoint[])
			expect((1e-4 * length ** 2) / 8).toBeLessThan(0.3 + 1e-9)
			expect(piece.errorMm).toBeLessThan(0.3)
		}
	})
})

/** How a line is cut into guides under the bench's limit. */
function cutsOf(chart: Chart, curve: Curve) {
	return guideRuns({ chart, curve, open: 1, bodyMm: 7, limitMm: 0.3 }).flatMap((run) => cutRun(run, dotsOn(chart, run, STATIONS)))
}

/** Where a guide starts on its line. */
function startOn(chart: Chart, curve: Curve, id: string) {
	const cut = cutsOf(chart, curve)[Number(id.slice(id.lastIndexOf('/') + 1)) - 1]
	if (!cut) throw new Error('no such guide')
	const u = measure(chart, curve).at(cut.from)
	return { u, at: frame(chart, curve, u).at }
}

/** The first chord leaves the line's direction by half of what the arc over it turns. */
function firstHeading(chart: Chart, curve: Curve, u: number, printed: readonly PlanePoint[]) {
	const { angle, curvature } = frame(chart, curve, u)
	const [a, b] = [printed[0], printed[1]] as [PlanePoint, PlanePoint]
	return angle + (curvature * Math.hypot(b.x - a.x, b.y - a.y)) / 2
}
