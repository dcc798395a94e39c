// How quickly and how truly a doubly curved panel becomes a chart, and what flat templates would cost on the same panel.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { frame } from '../../src/chart/curve.ts'
import { distance } from '../../src/chart/distance.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import type { SectionsCapture } from '../../src/panel/sectionPlanes.ts'
import { sectionsChart, sectionsLoft, sectionsSurfaceChart } from '../../src/panel/sections.ts'
import { apart } from '../../tests/panel/apart.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const LENGTH_MM = 480
/** Lines that are compared: along the shoulder, and from the shoulder to the side. */
const LINES: readonly (readonly [ChartPoint, ChartPoint])[] = [
	[
		{ s: 30, g: 80 },
		{ s: 450, g: 80 },
	],
	[
		{ s: 60, g: -120 },
		{ s: 420, g: -60 },
	],
	[
		{ s: 240, g: -110 },
		{ s: 270, g: 110 },
	],
]

export async function rows(): Promise<Row[]> {
	const panel = panelFrame('tank', 'centre')
	const capture = tank(9, 17)
	// A capture of its own each time: what was lofted once is not lofted again.
	const time = await medianMs(() => sectionsChart(panel, { ...capture }, ''), { runs: 40, warmUps: 20 })
	const chart = chartAt(capture)
	const pairs = Array.from({ length: 200 }, (_, i) => {
		const f = (k: number) => (i * 0.6180339887 * k + 0.21 * k) % 1
		return [
			{ s: 20 + 440 * f(1), g: 240 * f(2.3) - 120 },
			{ s: 20 + 440 * f(3.1), g: 240 * f(4.7) - 120 },
		] as const
	})
	const tape = await medianMs(() => pairs.map(([p, q]) => distance(chart, p, q, 1e-6)), { runs: 20, warmUps: 10 })
	const dense = chartAt(capture, 1.2)
	const full = chartAt(tank(41, 81))
	const worst = (a: typeof chart, b: typeof chart) =>
		Math.max(...LINES.map((line) => apart(developed(a, line), developed(b, line))))
	const flat = Math.max(
		...LINES.map((line) => {
			const [p, q] = line
			const at = (t: number): [number, number] => [p.s + (q.s - p.s) * t, p.g + (q.g - p.g) * t]
			return apart(
				Array.from({ length: STEPS + 1 }, (_, i) => at(i / STEPS)),
				developed(full, line),
			)
		}),
	)
	const against = '480 x 260 mm tank in closed form'
	return [
		atMost('compound.sections.chart', time, 'ms', 20, '9 x 17 readings, median of 40'),
		atMost('compound.tape', tape / pairs.length, 'ms', 0.1, 'distance of two places to 1e-6 mm, mean of 200'),
		atMost(
			'compound.job.change',
			await sixStripes(),
			'ms',
			20,
			'six stripes on the demo tank, one reading changed, to the scheme',
		),
		atMost('compound.template.error', worst(chart, dense), 'mm', 0.02, 'the same readings on a grid ten times as dense'),
		atMost('compound.template.readings9x17', worst(chart, full), 'mm', 0.1, `41 x 81 readings of a ${against}`),
		shown('compound.template.readings9x13', worst(chartAt(tank(9, 13)), full), 'mm', '41 x 81 readings'),
		shown('compound.template.readings5x9', worst(chartAt(tank(5, 9)), full), 'mm', '41 x 81 readings'),
		shown('compound.template.error.flat', flat, 'mm', 'offsets off the centreline drawn flat, the same lines'),
	]
}

/** The demo's tank with six stripes instead of one, worked out again to the scheme when a reading has changed. */
async function sixStripes(): Promise<number> {
	const file = fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url))
	const job = loadJob(readFileSync(file, 'utf8'), file).value?.job
	const tank = job?.panels.find(({ id }) => id === 'tank')
	const first = tank?.stripes[0]
	if (!job || !tank || !first) throw new Error('the demo has no tank')
	const stripes = Array.from({ length: 6 }, (_, i) => ({
		...first,
		id: `stripe-${i + 1}`,
		offset: 5 * i - 12,
		bands: [{ paint: 'gold', width: 3 }],
		over: Array.from({ length: 6 }, (_, k) => `stripe-${k + 1}`).filter((_, k) => k !== i),
	}))
	const cache = new Map()
	let by = 0
	const change = () => {
		by += 0.001
		const readings = tank.readings.map((r, i) => (i === 0 && r.kind === 'square' ? { ...r, girth: r.girth + by } : r))
		const made = compute({ ...job, panels: [{ ...tank, stripes, readings }] }, defaultShop(), { cache, until: 'scheme' })
		if (made.panels[0]?.schemes?.[0]?.scheme.bands.length !== 12) throw new Error(made.problems.map((p) => p.found).join('; '))
	}
	// Somebody who types changes hundreds of figures: what counts is what it takes once the machine has seen the first few.
	return medianMs(change, { runs: 30, warmUps: 30 })
}

function chartAt(capture: SectionsCapture, gridMm?: number) {
	const skin = sectionsLoft(capture, '').value
	const chart = skin && sectionsSurfaceChart(panelFrame('tank', 'centre'), capture, skin, '', gridMm).value?.chart
	if (!chart) throw new Error('the tank has no chart')
	return chart
}

function tank(sections: number, points: number): SectionsCapture {
	return {
		kind: 'sections',
		sd: 0.001,
		front: 0,
		baseline: {},
		sections: Array.from({ length: sections }, (_, i) => {
			const t = i / (sections - 1)
			const wide = 130 * (0.62 + 0.38 * Math.sin(Math.PI * (0.15 + 0.6 * t)))
			const high = 95 * (0.75 + 0.25 * Math.sin(Math.PI * (0.1 + 0.7 * t)))
			return {
				along: LENGTH_MM * t,
				drop: 40 * ((LENGTH_MM * t - 200) / 280) ** 2,
				half: false,
				creases: [],
				points: Array.from({ length: points }, (_, k): [number, number] => {
					const a = 1.5 * (-1 + (2 * k) / (points - 1))
					return [wide * Math.sin(a) * (1 + 0.06 * Math.cos(2 * a)), high * (1 - Math.cos(a)) + 8 * Math.sin(a) ** 4]
				}),
			}
		}),
	}
}

const STEPS = 400

/** A line of the chart on paper, by its own length and in-surface curvature. */
function developed(chart: ReturnType<typeof chartAt>, [p, q]: readonly [ChartPoint, ChartPoint]): [number, number][] {
	const at = (t: number) => ({ s: p.s + (q.s - p.s) * t, g: p.g + (q.g - p.g) * t })
	const line: Curve = { id: '', closed: false, maxErrorMm: 0, cubics: [[at(0), at(1 / 3), at(2 / 3), at(1)]] }
	let [x, y, angle] = [0, 0, 0]
	const points: [number, number][] = [[0, 0]]
	for (let i = 0; i < STEPS; i++) {
		const { speed, curvature } = frame(chart, line, (i + 0.5) / STEPS)
		const ds = speed / STEPS
		x += ds * Math.cos(angle + (curvature * ds) / 2)
		y += ds * Math.sin(angle + (curvature * ds) / 2)
		angle += curvature * ds
		points.push([x, y])
	}
	return points
}
