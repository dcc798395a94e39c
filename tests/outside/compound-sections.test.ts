import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { frame } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import { measure } from '../../src/chart/measure.ts'
import type { ChartPoint, Curve, SpacePoint } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { chartFromSurface } from '../../src/panel/fromSurface.ts'
import { type Loft, type LoftSection, loft } from '../../src/panel/loft.ts'
import { sectionsLoft, sectionsSurfaceChart } from '../../src/panel/sections.ts'
import { corners } from '../chart/panels.ts'
import { type Sections, tank } from '../panel/tank.ts'
import { layOn } from '../panel/walk.ts'

const centre = panelFrame('t', 'centre')

function made(capture: Sections, gridMm?: number) {
	const skin = sectionsLoft(capture, '').value as Loft
	const chart = sectionsSurfaceChart(centre, capture, skin, '', gridMm).value
	if (!chart) throw new Error('no chart')
	return { ...chart, skin }
}

const segment = (p: ChartPoint, q: ChartPoint): Curve =>
	corners([
		[p.s, p.g],
		[q.s, q.g],
	])

/** Lines of about 150 mm all over the tank, along it and across. */
const LINES: readonly Curve[] = [-130, -100, -60, -25, 25, 60, 100, 130].flatMap((g) =>
	[30, 160, 300].flatMap((s) => [segment({ s, g }, { s: s + 150, g }), segment({ s, g }, { s: s + 140, g: g * 0.75 })]),
)

/** The line on paper by its own length and in-surface curvature: plain steps. */
function developed(chart: Chart, line: Curve): [number, number][] {
	const N = 150
	let [x, y, angle] = [0, 0, 0]
	const points: [number, number][] = [[0, 0]]
	for (let i = 0; i < N; i++) {
		const { speed, curvature } = frame(chart, line, (i + 0.5) / N)
		const ds = speed / N
		const middle = angle + (curvature * ds) / 2
		x += ds * Math.cos(middle)
		y += ds * Math.sin(middle)
		angle += curvature * ds
		points.push([x, y])
	}
	return points
}

/**
 * Two lines on paper, one laid on the other as well as it goes (Procrustes): the largest distance of a point of one from the
 * other line, and from its own point there.
 */
function laidOver(p: readonly [number, number][], q: readonly [number, number][]): { shape: number; point: number } {
	const mean = (list: typeof p, c: 0 | 1) => list.reduce((sum, a) => sum + a[c], 0) / list.length
	const [px, py, qx, qy] = [mean(p, 0), mean(p, 1), mean(q, 0), mean(q, 1)]
	let [cos, sin] = [0, 0]
	p.forEach(([x, y], i) => {
		const [u, v] = q[i] as [number, number]
		cos += (x - px) * (u - qx) + (y - py) * (v - qy)
		sin += (x - px) * (v - qy) - (y - py) * (u - qx)
	})
	const size = Math.hypot(cos, sin)
	const [c, s] = [cos / size, sin / size]
	const laid = p.map(([x, y]) => [c * (x - px) - s * (y - py) + qx, s * (x - px) + c * (y - py) + qy] as const)
	const off = (x: number, y: number) => {
		let best = Number.POSITIVE_INFINITY
		for (let i = 1; i < q.length; i++) {
			const [[ax, ay], [bx, by]] = [q[i - 1], q[i]] as [[number, number], [number, number]]
			const [ex, ey] = [bx - ax, by - ay]
			// The line goes on straight past its ends.
			const t = ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey)
			const inside = Math.max(i === 1 ? t : 0, Math.min(i === q.length - 1 ? t : 1, t))
			best = Math.min(best, Math.hypot(x - ax - inside * ex, y - ay - inside * ey))
		}
		return best
	}
	return {
		shape: Math.max(...laid.map(([x, y]) => off(x, y))),
		point: Math.max(...laid.map(([x, y], i) => Math.hypot(x - (q[i] as [number, number])[0], y - (q[i] as [number, number])[1]))),
	}
}

test('guides of 150 mm from readings with 0.1 mm noise lie within 0.25 mm of those without noise (seeds 1 to 20)', () => {
	const exact = made(tank({ sd: 0.0001 })).chart
	const wanted = LINES.map((line) => developed(exact, line))
	let worst = 0
	let along = 0
	let squares = 0
	let claimed = 0
	for (let seed = 1; seed <= 20; seed++) {
		const { chart } = made(tank({ noise: 0.1, sd: 0.1, seed: 7 * seed }))
		claimed += chart.curvatureSd / 20
		LINES.forEach((line, i) => {
			const off = laidOver(developed(chart, line), wanted[i] as [number, number][])
			worst = Math.max(worst, off.shape)
			along = Math.max(along, off.point)
			squares += off.shape ** 2
		})
	}
	expect(worst).toBeLessThan(0.25)
	// Along the line, where strips with ticks hold a guide, its points move more: all lengths on the panel are in it.
	expect(along).toBeLessThan(0.4)
	// What the chart says of itself, as the rise of an arc of 150 mm, is of the size of what was found: neither bragging nor useless.
	const rms = Math.sqrt(squares / (20 * LINES.length))
	const drift = (claimed * 150 ** 2) / 8
	expect(drift).toBeGreaterThan(rms / 2)
	expect(drift).toBeLessThan(rms * 3)
})

test('templates from a grid of 12 mm are those of a grid ten times as dense, within 0.02 mm', () => {
	const [coarse, dense] = [made(tank()), made(tank(), 1.2)]
	for (const line of LINES.filter((_, i) => i % 3 === 0)) {
		expect(laidOver(developed(coarse.chart, line), developed(dense.chart, line)).point).toBeLessThan(0.02)
	}
})

test('a stripe edge developed by the chart and laid on the skin by its curvature alone comes back to its edge', () => {
	const { chart, skin, parameters } = made(tank({ noise: 0.1, seed: 5 }))
	const embed = chart.embed as (p: ChartPoint) => SpacePoint
	for (const line of [
		segment({ s: 40, g: 70 }, { s: 440, g: 95 }),
		segment({ s: 60, g: -125 }, { s: 430, g: -60 }),
		segment({ s: 300, g: -120 }, { s: 330, g: 120 }),
	]) {
		const along = measure(chart, line)
		const at = (u: number) => frame(chart, line, u)
		const first = at(0).at
		const [a, b] = [embed(at(0).at), embed(at(1e-5).at)]
		const direction = { x: b.x - a.x, y: b.y - a.y, z: b.z - a.z }
		const steps = 1200
		const laid = layOn(
			skin.surface,
			parameters(first.s, first.g),
			direction,
			(length) => at(along.at(length)).curvature,
			along.length,
			steps,
		)
		let worst = 0
		for (let i = 0; i <= 24; i++) {
			const p = laid[(i * steps) / 24] as SpacePoint
			const q = embed(at(along.at((along.length * i) / 24)).at)
			worst = Math.max(worst, Math.hypot(p.x - q.x, p.y - q.y, p.z - q.z))
		}
		expect(worst).toBeLessThan(0.02)
	}
})

describe('a crease all round: a cylinder R 200 that turns into a cone of 45 degrees 40 mm off its middle', () => {
	const [R, flat] = [200, 40]
	const profile = (g: number): readonly [number, number] => {
		const over = Math.max(0, Math.abs(g) - flat)
		return [Math.sign(g) * (Math.min(Math.abs(g), flat) + over * Math.SQRT1_2), over * Math.SQRT1_2]
	}
	const places = [-110, -95, -80, -65, -50, -40, -30, -15, 0, 15, 30, 40, 50, 65, 80, 95, 110]
	const sections = (count: number): LoftSection[] =>
		Array.from({ length: count }, (_, i) => {
			const turn = (2 * Math.PI * i) / count
			return {
				u: R * turn,
				points: places.map(profile),
				creases: [places.indexOf(-flat), places.indexOf(flat)],
				// u runs round, across along the axis: (u, across, outward) is right-handed.
				place: (a, d) => ({ x: (R - d) * Math.sin(turn), y: a, z: (R - d) * Math.cos(turn) }),
			}
		})
	const skin = loft(sections(24), { sd: 0.001, periodU: 2 * Math.PI * R })
	const ring = chartFromSurface({
		frame: centre,
		surface: skin.surface,
		from: { u: 0, v: 0 },
		to: { u: 2 * Math.PI * R, v: 0 },
		front: 0,
		errorMm: 0,
		curvatureSd: 0,
	})
	if (!ring.ok) throw new Error(ring.why)
	const { chart } = ring

	test('the station repeats after once round', () => {
		expect(chart.periodS).toBeCloseTo(2 * Math.PI * R, 2)
		for (const g of [-70, 20, 100]) {
			expect(chart.metric(30, g).j).toBeCloseTo(chart.metric(30 + (chart.periodS as number), g).j, 9)
		}
	})

	test('J is the distance from the axis over that of the baseline, straight on both sides of the crease', () => {
		// do Carmo 4-4, surfaces of revolution; within 3 mm of the crease it is rounded.
		for (const g of [-105, -80, -50, -30, 10, 36, 44, 70, 100]) {
			for (const s of [0, 100, 777]) {
				expect(Math.abs(chart.metric(s, g).j - (R - profile(g)[1]) / R)).toBeLessThan(2e-4)
				if (Math.abs(Math.abs(g) - flat) > 8) {
					const slope = Math.abs(g) > flat ? (-Math.sign(g) * Math.SQRT1_2) / R : 0
					expect(Math.abs(chart.metric(s, g).jg - slope)).toBeLessThan(2e-5)
				}
			}
		}
	})

	test('a tape over the crease is the straight line of both sides laid flat', () => {
		// Cylinder and cone unrolled: the crossing place that makes the two straight parts shortest, found by brute force.
		const [p, q] = [
			{ s: 100, g: 10 },
			{ s: 260, g: 100 },
		]
		const apex = R / Math.SQRT1_2
		const onCone = (s: number, g: number) => {
			const [radius, angle] = [apex - (g - flat), (s / R) * Math.SQRT1_2]
			return [radius * Math.cos(angle), radius * Math.sin(angle)] as const
		}
		let best = Number.POSITIVE_INFINITY
		for (let s = p.s; s <= q.s; s += 0.002) {
			const [a, b] = [onCone(s, flat), onCone(q.s, q.g)]
			best = Math.min(best, Math.hypot(s - p.s, flat - p.g) + Math.hypot(a[0] - b[0], a[1] - b[1]))
		}
		const path = distance(chart, p, q)
		// The rounding of the crease makes it shorter by less than 0.01 mm.
		expect(Math.abs((path?.length ?? Number.NaN) - best)).toBeLessThan(0.02)
	})
})
