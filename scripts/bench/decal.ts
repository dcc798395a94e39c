// How truly a flat film is laid on bent panels, and how long that takes.
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { giveOf } from '../../src/decal/give.ts'
import { layAlong, layRound } from '../../src/decal/lay.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import { atMost, median, type Row, shown } from '../measure.ts'

const file = fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url))
const RADIUS = 150
const RUNS = 7

const disc = (radius: number, n = 720) => [
	Array.from({ length: n }, (_, i) => ({
		x: radius * Math.cos((2 * Math.PI * i) / n),
		y: radius * Math.sin((2 * Math.PI * i) / n),
	})),
]

export async function rows(): Promise<Row[]> {
	return [...onBall(), onCylinder(), ...demo()]
}

/** A disc of radius r on a ball of radius R is 1 - sin(x) / x too long at its rim, x = r / R. */
function onBall(): Row[] {
	const ball = revolvedChart(panelFrame('ball', 'centre'), RADIUS, circleProfile(RADIUS), -4 * RADIUS, 8 * RADIUS)
	return [1, 2].map((thirds) => {
		const x = thirds / 3
		const give = giveOf(ball, layRound(ball, { at: { s: 10, g: -12 }, angle: 0.3, turn: 1 }), disc(x * RADIUS))
		const want = 1 - Math.sin(x) / x
		const worst = Math.max(Math.abs(give.pucker - want), Math.abs(give.puckerMm / give.rimMm - want))
		return atMost(
			`decal.disc.${thirds}`,
			100 * worst,
			'%',
			0.01,
			`rim of a disc of ${thirds}/3 R on a ball: ${(100 * want).toFixed(2)} %`,
		)
	})
}

/** On a cylinder a decal lies as on the unrolled sheet. */
function onCylinder(): Row {
	const chart = rolledAlong(panelFrame('tube', 'centre'), circleProfile(60), 0, 300)
	const at = { s: 100, g: 20 }
	const [c, s] = [Math.cos(0.4), Math.sin(0.4)]
	const misses = [layRound, (...[on, frame]: Parameters<typeof layRound>) => layAlong(on, frame, 3)].flatMap((lay) => {
		const { place } = lay(chart, { at, angle: 0.4, turn: 1 })
		return [
			[25, -9],
			[-30, 12],
			[4, 18],
		].map(([x, y]) => {
			const p = place({ x: x as number, y: y as number }).at
			return Math.hypot(p.s - at.s - (x as number) * c + (y as number) * s, p.g - at.g - (x as number) * s - (y as number) * c)
		})
	})
	return atMost('decal.place', Math.max(...misses), 'mm', 0.001, 'places of a decal on a cylinder: the unrolled sheet')
}

function demo(): Row[] {
	const job = loadJob(readFileSync(file, 'utf8'), file).value?.job
	if (!job) throw new Error('the demo job does not load')
	const shop = defaultShop()
	const cache = new Map()
	compute(job, shop, { until: 'scheme', cache })
	const times = Array.from({ length: RUNS }, (_, i) => {
		const next = structuredClone(job) as typeof job
		const place = next.panels[0]?.decals?.[0]?.place
		if (place?.kind !== 'off') throw new Error('the badge of the demo is not set off a line')
		const moved = { ...place, station: place.station + 0.5 * (i + 1) }
		const panels = next.panels.map((panel, k) =>
			k === 0 ? { ...panel, decals: (panel.decals ?? []).map((decal) => ({ ...decal, place: moved })) } : panel,
		)
		const from = performance.now()
		compute({ ...next, panels }, shop, { until: 'scheme', cache })
		return performance.now() - from
	})
	return [shown('decal.change', median(times), 'ms', "the demo's badge moved: to the scheme, median")]
}
