import { describe, expect, test } from 'vitest'
import { cornersOf, endOf, evaluateCubic, frame, frameOf, startOf } from '../../src/chart/curve.ts'
import { beyond } from '../../src/chart/limits.ts'
import type { ChartCubic } from '../../src/chart/point.ts'
import { fitEdge } from '../../src/line/edge.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { flatChart, sphereChart } from '../survey/bench.ts'
import { edgeInput, mark } from './lines.ts'

const fitted = (outcome: ReturnType<typeof fitEdge>) => {
	if (!outcome.value) throw new Error(`no line: ${JSON.stringify(outcome.problems)}`)
	return outcome.value
}
const bow = [mark('a', 0, 20), mark('b', 80, 32), mark('c', 160, 36), mark('d', 240, 32), mark('e', 320, 20)]

describe('corners', () => {
	test('are met to the last digit and turn, the rest does not', () => {
		const chart = sphereChart(300)
		const marks = bow.map((m) => (m.key === 'c' ? { ...m, at: { s: 160, g: 50 }, corner: true } : m))
		const { curve } = fitted(fitEdge(chart, edgeInput(marks)))
		const corners = cornersOf(chart, curve)
		expect(corners).toHaveLength(1)
		expect(curve.cubics[corners[0]?.u as number]?.[0]).toEqual({ s: 160, g: 50 })
		expect(curve.cubics[(corners[0]?.u as number) - 1]?.[3]).toEqual({ s: 160, g: 50 })
	})

	test('of a closed line: each where it was said, and the line comes back', () => {
		const chart = flatChart()
		const square = [mark('a', 0, 0), mark('b', 100, 0), mark('c', 100, 100), mark('d', 0, 100)].map((m) => ({
			...m,
			corner: true,
		}))
		const { curve } = fitted(fitEdge(chart, edgeInput(square, { closed: true })))
		const corners = cornersOf(chart, curve)
		expect(corners).toHaveLength(4)
		for (const c of corners) expect(c.turn).toBeCloseTo(Math.PI / 2, 9)
		expect(startOf(curve)).toEqual(endOf(curve))
	})

	test('a closed line that is pulled all round turns at each mark', () => {
		const chart = flatChart()
		const marks = [mark('a', 0, 0), mark('b', 100, 0), mark('c', 60, 80)].map((m) => ({ ...m, by: 'pulled' as const }))
		const { curve } = fitted(fitEdge(chart, edgeInput(marks, { closed: true })))
		expect(cornersOf(chart, curve)).toHaveLength(3)
	})

	test('a closed line with one corner turns there alone', () => {
		const chart = flatChart()
		const marks = Array.from({ length: 10 }, (_, i) => {
			const a = (2 * Math.PI * i) / 10
			return mark(`m${i}`, 50 * Math.cos(a) + (i === 3 ? -15 : 0), 50 * Math.sin(a) + (i === 3 ? 45 : 0), { corner: i === 3 })
		})
		const { curve } = fitted(fitEdge(chart, edgeInput(marks, { closed: true })))
		const corners = cornersOf(chart, curve)
		expect(corners).toHaveLength(1)
		expect(startOf(curve)).toEqual(marks[3]?.at)
		expect(endOf(curve)).toEqual(marks[3]?.at)
	})
})

describe('pulled runs in a line', () => {
	test('are left and met without a turn, at the marks themselves', () => {
		const chart = sphereChart(300)
		const marks = [
			mark('a', 0, 0),
			mark('b', 60, 10),
			mark('c', 130, 15, { by: 'pulled' }),
			mark('d', 200, 10),
			mark('e', 260, -10),
		]
		const { curve } = fitted(fitEdge(chart, edgeInput(marks)))
		expect(cornersOf(chart, curve)).toHaveLength(0)
		for (let i = 1; i < curve.cubics.length; i++) {
			const before = frameOf(chart, evaluateCubic(curve.cubics[i - 1] as ChartCubic, 1))
			const after = frameOf(chart, evaluateCubic(curve.cubics[i] as ChartCubic, 0))
			expect(Math.abs(before.angle - after.angle)).toBeLessThan(1e-4)
			expect(before.at).toEqual(after.at)
		}
		const joins = curve.cubics.map((c) => c[0])
		expect(joins).toContainEqual({ s: 60, g: 10 })
		expect(joins).toContainEqual({ s: 130, g: 15 })
	})
})

describe('a line that runs off', () => {
	test('goes on past the panel, no farther than it need, in the same direction', () => {
		const chart = flatChart()
		const onPanel = (p: { s: number; g: number }) => p.s > -33 && p.s < 400 && Math.abs(p.g) < 200
		const { curve } = fitted(fitEdge(chart, edgeInput(bow, { runsOff: { front: true, rear: true }, onPanel })))
		const [front, rear] = [startOf(curve), endOf(curve)]
		expect(front.s).toBeLessThan(-33 - 20)
		expect(front.s).toBeGreaterThan(-33 - 31)
		expect(rear.s).toBeGreaterThan(400 + 20)
		expect(rear.s).toBeLessThan(400 + 31)
		expect(cornersOf(chart, curve)).toHaveLength(0)
	})

	test('over the rim of what was captured is no fault', () => {
		const chart = revolvedChart(panelFrame('guard', 'centre'), 310, circleProfile(62, 180), 0, 500)
		const marks = [mark('a', 100, 10), mark('b', 110, 40), mark('c', 115, 70)]
		const onPanel = (p: { g: number }) => Math.abs(p.g) <= 90
		const outcome = fitEdge(chart, edgeInput(marks, { runsOff: { front: false, rear: true }, onPanel }))
		expect(outcome.problems).toEqual([])
		expect(beyond(chart, endOf(fitted(outcome).curve))).toBeGreaterThan(20)
	})

	test('ends somewhere even where the panel never does', () => {
		const { curve } = fitted(fitEdge(flatChart(), edgeInput(bow, { runsOff: { front: false, rear: true } })))
		expect(endOf(curve).s).toBeGreaterThan(1000)
		expect(endOf(curve).s).toBeLessThan(4000)
	})
})

describe('what is said of marks', () => {
	test('a mark 6 mm off is named, once, at its place in the list', () => {
		const marks = Array.from({ length: 9 }, (_, i) =>
			mark(`m${i}`, 40 * i, 30 * Math.sin(i / 3) + (i === 5 ? 6 : 0), { sdS: 0.3, sdG: 0.3 }),
		)
		const { problems } = fitEdge(flatChart(), edgeInput(marks))
		const about = problems.filter((p) => p.path === '/panels/0/edges/0/through/5')
		expect(about.map((p) => p.code)).toEqual(['EDGE_ODD_MARK'])
		expect(about[0]?.found).toMatch(/mark m5 stands [56]\.\d mm off/)
		expect(about[0]?.place).toMatchObject({ panel: 'panel', s: 200 })
	})

	test('a mark that the line passes farther than its tolerance is named with that distance', () => {
		const marks = bow.map((m) => (m.key === 'c' ? { ...m, at: { s: 160, g: 37 }, tolerance: 0.05 } : m))
		const outcome = fitEdge(flatChart(), edgeInput(marks))
		const off = fitted(outcome).passes.find((p) => p.key === 'c')?.offMm as number
		expect(Math.abs(off)).toBeGreaterThan(0.05)
		expect(outcome.problems.map((p) => [p.code, p.path])).toContainEqual(['EDGE_LEAVES_MARK', '/panels/0/edges/0/through/2'])
		expect(outcome.problems.find((p) => p.code === 'EDGE_LEAVES_MARK')?.found).toContain(`${Math.abs(off).toFixed(1)} mm`)
	})

	test('positive is the plus side of the line', () => {
		const straight = [mark('a', 0, 0), mark('b', 50, 4, { by: 'pulled' }), mark('c', 100, 0, { by: 'pulled' })]
		const { passes, curve } = fitted(fitEdge(flatChart(), edgeInput(straight)))
		expect(frame(flatChart(), curve, 0).angle).toBeCloseTo(0, 12)
		expect(passes.find((p) => p.key === 'b')?.offMm).toBeCloseTo(4, 9)
	})

	test('good marks raise nothing', () => {
		expect(fitEdge(flatChart(), edgeInput(bow)).problems).toEqual([])
	})

	test('a mark beyond what was captured says so, with the distance', () => {
		const chart = flatChart({ gMin: () => -30, gMax: () => 30 })
		const problem = fitEdge(chart, edgeInput(bow)).problems.find((p) => p.code === 'CHART_LIMIT')
		expect(problem?.found).toMatch(/goes 6\.\d mm beyond/)
		expect(problem?.place).toMatchObject({ panel: 'panel' })
	})
})
