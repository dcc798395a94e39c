import { describe, expect, test } from 'vitest'
import { frame } from '../../src/chart/curve.ts'
import { measure } from '../../src/chart/measure.ts'
import { nearestOn } from '../../src/chart/nearest.ts'
import type { Curve } from '../../src/chart/point.ts'
import { pulledRun, type Run, smoothRing, smoothRun } from '../../src/line/run.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { flatChart, sphereChart } from '../survey/bench.ts'
import { curvatureInSpace, mark, normal, random, trueLine } from './lines.ts'

const TOLERANCE = 0.0005
const FREE = { pinStart: false, pinEnd: false }
const asCurve = (run: Pick<Run, 'cubics' | 'maxErrorMm'> | undefined, closed = false): Curve => {
	if (!run) throw new Error('no line')
	return { id: 'line', cubics: run.cubics, closed, maxErrorMm: run.maxErrorMm }
}
const guard = revolvedChart(panelFrame('guard', 'centre'), 310, circleProfile(62), 0, 500)

describe('a smooth line', () => {
	test('through noisy marks comes nearer to the true line than the marks do (200 seeds)', () => {
		const chart = flatChart()
		const sigma = 0.5
		let squares = 0
		let count = 0
		const worst: { seed: number; mm: number }[] = []
		for (let seed = 1; seed <= 200; seed++) {
			const r = random(seed)
			const line = trueLine(r)
			const n = 8 + Math.floor(r() * 7)
			const marks = Array.from({ length: n }, (_, i) => {
				const s = (line.length * i) / (n - 1)
				return mark(`m${i}`, s + sigma * normal(r), line.at(s) + sigma * normal(r))
			})
			const foot = nearestOn(chart, asCurve(smoothRun(chart, marks, FREE, TOLERANCE)))
			let mm = 0
			for (let i = 1; i < 60; i++) {
				const s = (line.length * i) / 60
				const off = Math.abs(foot({ s, g: line.at(s) })?.offsetMm ?? Number.NaN)
				squares += off * off
				count++
				mm = Math.max(mm, off)
			}
			worst.push({ seed, mm })
		}
		worst.sort((a, b) => a.mm - b.mm)
		const at95 = worst[189] as { seed: number; mm: number }
		// Quintic smoothing by Cp of such lines leaves about three quarters of the marks' own error.
		expect(Math.sqrt(squares / count)).toBeLessThan(0.38)
		expect(at95.mm, `seed ${at95.seed}`).toBeLessThan(1.2)
	})

	test('says how well it is known: the true line lies within its 95 % for 95 % of it (200 seeds)', () => {
		const chart = flatChart()
		const sigma = 0.5
		let within = 0
		let count = 0
		for (let seed = 1; seed <= 200; seed++) {
			const r = random(seed)
			const line = trueLine(r)
			const n = 8 + Math.floor(r() * 7)
			const marks = Array.from({ length: n }, (_, i) => {
				const s = (line.length * i) / (n - 1)
				return mark(`m${i}`, s + sigma * normal(r), line.at(s) + sigma * normal(r))
			})
			for (const { at, angle, sdMm } of smoothRun(chart, marks, FREE, TOLERANCE)?.known ?? []) {
				// Across the line: the true line met along the normal, its slope taken as the fitted one's.
				const off = (line.at(at.s) - at.g) * Math.cos(angle)
				if (Math.abs(off) < 1.96 * sdMm) within++
				count++
			}
		}
		expect(count).toBeGreaterThan(200 * 8 * 4)
		expect(within / count).toBeGreaterThan(0.92)
		expect(within / count).toBeLessThan(0.98)
	})

	test('as a taut tape lies is known as a straight line from its ends is', () => {
		const known = smoothRun(flatChart(), [mark('a', 0, 0), mark('b', 300, 400)], FREE, TOLERANCE)?.known ?? []
		expect(known.map(({ at }) => at.s)).toEqual([0, 75, 150, 225, 300].map((s) => expect.closeTo(s, 6)))
		// Marks known alike in both directions: sigma at the ends, sigma / sqrt 2 half-way.
		expect(known[0]?.sdMm).toBeCloseTo(0.5, 9)
		expect(known[2]?.sdMm).toBeCloseTo(0.5 / Math.SQRT2, 9)
	})

	test('names the one mark that does not belong, and seldom a good one (200 seeds)', () => {
		const chart = flatChart()
		let right = 0
		let accused = 0
		const missed: number[] = []
		for (let seed = 1; seed <= 200; seed++) {
			for (const bad of [0, 5]) {
				const r = random(seed)
				const line = trueLine(r)
				const n = 8 + Math.floor(r() * 7)
				const k = Math.floor(r() * n)
				const marks = Array.from({ length: n }, (_, i) => {
					const s = (line.length * i) / (n - 1)
					return mark(`m${i}`, s + 0.5 * normal(r), line.at(s) + 0.5 * normal(r) + (i === k ? bad : 0))
				})
				const odd = smoothRun(chart, marks, FREE, TOLERANCE)?.odd ?? []
				if (bad === 0) accused += odd.length
				else if (odd.some((o) => o.key === `m${k}`)) right++
				else missed.push(seed)
			}
		}
		expect(right, `missed: seeds ${missed.join(' ')}`).toBeGreaterThan(170)
		expect(accused).toBeLessThan(16)
	})

	test('through marks without noise on a circle lies on that circle, closed without a corner', () => {
		const chart = flatChart()
		const n = 16
		const marks = Array.from({ length: n }, (_, i) => {
			const a = (2 * Math.PI * i) / n
			return mark(`m${i}`, 200 + 60 * Math.cos(a), 60 * Math.sin(a), { sdS: 0.1, sdG: 0.1 })
		})
		const ring = asCurve(smoothRing(chart, marks, TOLERANCE), true)
		for (let i = 0; i <= 160; i++) {
			const { at, curvature } = frame(chart, ring, (ring.cubics.length * i) / 160)
			expect(Math.abs(Math.hypot(at.s - 200, at.g) - 60)).toBeLessThan(0.1)
			expect(curvature).toBeCloseTo(1 / 60, 2)
		}
		const [first, last] = [frame(chart, ring, 0), frame(chart, ring, ring.cubics.length)]
		expect(Math.hypot(first.at.s - last.at.s, first.at.g - last.at.g)).toBeLessThan(1e-9)
		expect(Math.cos(first.angle - last.angle)).toBeCloseTo(1, 9)
		// The circumference, less what smoothing takes.
		expect(measure(chart, ring).length).toBeCloseTo(2 * Math.PI * 60, 0)
	})
})

describe('a pulled line', () => {
	test('bends to neither side, judged in space', () => {
		for (const chart of [guard, sphereChart(300)]) {
			const curve = asCurve(pulledRun(chart, { s: 20, g: -40 }, { s: 240, g: 55 }, TOLERANCE))
			for (let i = 1; i < 20; i++) {
				// Off the joins, where one-sided derivatives would be needed.
				const u = (curve.cubics.length * i) / 20 + 0.01
				expect(Math.abs(curvatureInSpace(chart, curve, u))).toBeLessThan(3e-5)
			}
		}
	})

	test('on a sphere is as long as the arc of a great circle between its ends', () => {
		const R = 300
		const chart = sphereChart(R)
		const [p, q] = [
			{ s: 10, g: -50 },
			{ s: 330, g: 120 },
		]
		const [a, b] = [chart.embed?.(p), chart.embed?.(q)]
		if (!a || !b) throw new Error('no place in space')
		const angle = Math.acos((a.x * b.x + a.y * b.y + a.z * b.z) / (R * R))
		const curve = asCurve(pulledRun(chart, p, q, TOLERANCE))
		expect(measure(chart, curve).length).toBeCloseTo(R * angle, 4)
	})

	test('is what two marks alone give', () => {
		const chart = sphereChart(300)
		const smooth = smoothRun(chart, [mark('a', 0, 20), mark('b', 250, 90)], FREE, TOLERANCE)
		const pulled = pulledRun(chart, { s: 0, g: 20 }, { s: 250, g: 90 }, TOLERANCE)
		expect(smooth?.cubics).toEqual(pulled?.cubics)
	})
})
