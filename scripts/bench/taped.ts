// A doubly curved panel from a tape alone: what it takes, and how true its guides are beside guides drawn flat.
import { panelFrame } from '../../src/panel/frame.ts'
import { tapedChart } from '../../src/panel/taped/chart.ts'
import { capture, readRows, torusScale, trueRows } from '../../tests/panel/tapedReadings.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const laying = { stations: [0, 60, 120, 180, 240, 300], girths: [30, 60, 90, 120], sides: ['left', 'right'] as const }
const RING = 200
const TUBE = 120
const GIRTH = 80
const LENGTH = 150
const SEEDS = 60
/** A reading is known to 0.5 mm in all; rounding to half a millimetre is part of it. */
const NOISE = Math.sqrt(0.5 ** 2 - 0.5 ** 2 / 12)

type Point = readonly [number, number]

export async function rows(): Promise<Row[]> {
	const exact = trueRows(torusScale(RING, TUBE), laying)
	const read = (seed: number) => capture(laying, readRows(exact, { ...laying, noise: NOISE, tiltDeg: 0.5, seed }))
	const chartOf = (seed: number) => tapedChart(panelFrame('p', 'centre'), read(seed), '', { centred: true }).value
	const one = read(1)
	const time = await medianMs(() => tapedChart(panelFrame('p', 'centre'), one, '', { centred: true }), { runs: 15, warmUps: 10 })
	const true_ = guide(() => Math.sin(GIRTH / TUBE) / (RING + TUBE * Math.cos(GIRTH / TUBE)))
	const off: number[] = []
	for (let seed = 1; seed <= SEEDS; seed++) {
		const chart = chartOf(seed)
		if (!chart) throw new Error('the panel has no chart')
		const curvature = (l: number) => {
			const { j, jg } = chart.metric(75 + l / chart.metric(150, GIRTH).j, GIRTH)
			return -jg / j
		}
		off.push(bow(guide(curvature), true_))
	}
	off.sort((a, b) => a - b)
	return [
		shown('compound.taped.chart', time, 'ms', '40 laid lengths, both sides, median of 15'),
		atMost('compound.taped.guide', off[SEEDS >> 1] as number, 'mm', 0.6, `150 mm guide, readings to 0.5 mm, median of ${SEEDS}`),
		atMost('compound.taped.guide.most', off.at(-1) as number, 'mm', 1.5, `the worst of ${SEEDS}`),
		shown(
			'compound.taped.guide.flat',
			bow(
				guide(() => 0),
				true_,
			),
			'mm',
			'the same guide drawn flat',
		),
	]
}

/** On paper, from a start in common: steps of 2 mm. */
function guide(curvature: (l: number) => number): Point[] {
	let [x, y, angle] = [0, 0, 0]
	const points: Point[] = [[0, 0]]
	for (let l = 1; l < LENGTH; l += 2) {
		const turn = 2 * curvature(l)
		x += 2 * Math.cos(angle + turn / 2)
		y += 2 * Math.sin(angle + turn / 2)
		angle += turn
		points.push([x, y])
	}
	return points
}

/** Largest distance once both ends are laid on each other as well as they go. */
function bow(p: readonly Point[], q: readonly Point[]): number {
	const across = (list: readonly Point[]) => {
		const [[ax, ay], [bx, by]] = [list[0] as Point, list.at(-1) as Point]
		const length = Math.hypot(bx - ax, by - ay)
		return list.map(([x, y]) => ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length)
	}
	const [a, b] = [across(p), across(q)]
	return Math.max(...a.map((v, i) => Math.abs(v - (b[i] as number))))
}
