// How long the plan for tape and paint takes, and how truly tape, laps and areas come out.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { area } from '../../src/chart/area.ts'
import type { Chart } from '../../src/chart/chart.ts'
import type { Curve } from '../../src/chart/point.ts'
import { toChart } from '../../src/chart/region.ts'
import { type ComputeOptions, compute } from '../../src/engine/compute.ts'
import { paintworkOf } from '../../src/engine/paintwork.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { strip } from '../../src/stages/strip.ts'
import { longer } from '../longer.ts'
import { atMost, median, type Row, shown } from '../measure.ts'

const file = fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url))
const RUNS = 7
const RADIUS = 150

export async function rows(): Promise<Row[]> {
	const job = loadJob(readFileSync(file, 'utf8'), file).value?.job
	if (!job) throw new Error('the demo job does not load')
	const shop = defaultShop()
	const cache: NonNullable<ComputeOptions['cache']> = new Map()
	const scheme = compute(job, shop, { until: 'scheme', cache })
	const first = performance.now()
	const work = paintworkOf(job, shop, scheme.panels, cache)
	const cold = performance.now() - first
	if (!work) throw new Error('the demo has nothing to paint')
	const whole: number[] = []
	const changed: number[] = []
	for (let i = 0; i < RUNS; i++) {
		const from = performance.now()
		paintworkOf(job, shop, scheme.panels)
		whole.push(performance.now() - from)
	}
	for (let i = 0; i < RUNS; i++) {
		for (let panel = 0; panel < job.panels.length; panel++) {
			const next = compute(longer(job, panel, 0.001 * (i + 1)), shop, { until: 'scheme', cache })
			const from = performance.now()
			paintworkOf(next.job, shop, next.panels, cache)
			changed.push(performance.now() - from)
		}
	}
	const gaps = work.panels.flatMap(({ tape }) => tape.map(({ gap }) => gap))
	const sum = (of: (gap: (typeof gaps)[number]) => number) => gaps.reduce((total, gap) => total + of(gap), 0)
	return [
		atMost('tape.plan.cold', cold, 'ms', 300, 'tape and paint of the whole demo, the first time in a process'),
		shown('tape.plan.again', median(whole), 'ms', 'the same again, nothing kept: median'),
		atMost('tape.plan.change', median(changed), 'ms', 100, 'after a changed reading, over all panels: median'),
		shown('tape.plan.change.worst', Math.max(...changed), 'ms', 'after a changed reading: worst'),
		atMost(
			'tape.gap',
			Math.max(...gaps.map(({ widestMm }) => widestMm)),
			'mm',
			0.1,
			`widest beside ${(sum((g) => g.lineMm) / 1000).toFixed(1)} m of painted line`,
		),
		atMost(
			'tape.over',
			sum((g) => g.overMm2),
			'mm2',
			1,
			'tape on what is to be painted, all stages of the demo',
		),
		...onBall(),
	]
}

/** On a ball a strip between two parallels of latitude is a zone: its area is 2 pi R^2 times the difference of the sines, for a full turn. */
function onBall(): Row[] {
	const ball = revolvedChart(panelFrame('ball', 'centre'), RADIUS, circleProfile(RADIUS), -4 * RADIUS, 8 * RADIUS)
	const [length, girth] = [200, 60]
	const line = along(ball, girth, length)
	const zone = (from: number, to: number) => RADIUS * length * (Math.sin(to / RADIUS) - Math.sin(from / RADIUS))
	const tape = strip(ball, line, 0, 25)
	const want = zone(girth, girth + 25)
	const lap = strip(ball, line, 0, 2)
	const lapWant = zone(girth, girth + 2)
	return [
		atMost(
			'tape.area',
			(100 * Math.abs(area(ball, toChart(tape)) - want)) / want,
			'%',
			0.01,
			'25 mm tape along a small circle of a ball: closed form',
		),
		atMost(
			'tape.lap',
			(100 * Math.abs(area(ball, toChart(lap)) - lapWant)) / lapWant,
			'%',
			0.1,
			'a lap of 2 mm there: closed form',
		),
	]
}

function along({ sMin }: Chart, g: number, length: number): Curve {
	const at = (t: number) => ({ s: Math.max(0, sMin) + length * t, g })
	return { id: 'line', cubics: [[at(0), at(1 / 3), at(2 / 3), at(1)]], closed: false, maxErrorMm: 0 }
}
