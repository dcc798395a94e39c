// How quickly the readings of a panel become marks, with all that is said of them: a usual panel, and a large one with slips in it.

import type { Chart } from '../../src/chart/chart.ts'
import { distance } from '../../src/chart/distance.ts'
import { jobSchema, type Panel } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import { normal, random } from '../../tests/survey/simulate.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const LENGTH_MM = 2000
/** A mudguard in closed form, bent both ways: 30 mm of crown over 340 mm of wheel. */
const mudguard: Chart = revolvedChart(panelFrame('mudguard', 'right'), 340, circleProfile(260), 0, LENGTH_MM)

export async function rows(): Promise<Row[]> {
	const out: Row[] = []
	for (const [marks, readings, target] of [
		[25, 80, 50],
		[200, 600, 600],
	] as const) {
		const [good, slipped] = [panelOf(marks, readings, 0), panelOf(marks, readings, 3)]
		const settle = (panel: Panel) =>
			locateMarks({ chart: mudguard, panel, panelPath: '', instruments: defaultShop().instruments })
		const found = settle(good).value
		if (found?.readings.length !== readings || Object.values(found.marks).length < marks) throw new Error('a reading was lost')
		const named = settle(slipped).problems.length
		const about = `${marks} marks, ${readings} readings on a panel bent both ways`
		out.push(atMost(`survey.adjust${marks}`, await medianMs(() => settle(good), { runs: 9 }), 'ms', target, about))
		out.push(
			shown(
				`survey.slips${marks}`,
				await medianMs(() => settle(slipped), { runs: 5 }),
				'ms',
				`three slips of 25 mm in them, ${named} named`,
			),
		)
	}
	return out
}

/** Marks in two rows, each with station and girth, then tapes to datums and to the next marks until there are so many numbers. */
function panelOf(marks: number, readings: number, slips: number): Panel {
	const next = normal(7)
	const pick = random(8)
	const at = (i: number) => ({
		s: 40 + ((LENGTH_MM - 80) * i) / marks + 6 * Math.sin(i * 2.1),
		g: (i % 2 ? 60 : -55) + 15 * Math.sin(i),
	})
	const datums = Array.from({ length: 8 }, (_, i) => ({ s: (LENGTH_MM * i) / 7, g: i % 2 ? 90 : -90 }))
	const side = (g: number) => (g < 0 ? 'below' : 'above')
	const tapes: object[] = []
	for (let k = 0; tapes.length < readings - 2 * marks; k++) {
		const i = k % marks
		const lap = Math.floor(k / marks)
		const from =
			lap % 2 === 0 && i + 1 + lap / 2 < marks ? { id: `m${i + 1 + lap / 2}`, ...at(i + 1 + lap / 2) } : nearest(at(i), lap)
		const path = distance(mudguard, from, at(i), 1e-6)
		if (!path) throw new Error('a tape that does not reach')
		const slip = tapes.length < slips * 20 && tapes.length % 20 === 0 ? 25 : 0
		tapes.push({ kind: 'tape', from: from.id, to: `m${i}`, length: path.length + slip + 0.5 * next() })
	}
	function nearest(p: { s: number; g: number }, lap: number) {
		const order = datums.map((d, i) => ({ id: `d${i}`, ...d })).sort((a, b) => Math.abs(a.s - p.s) - Math.abs(b.s - p.s))
		return order[Math.min(order.length - 1, lap % 3)] as (typeof order)[number]
	}
	const job = jobSchema('mm').parse({
		...{ format: 1, title: 'bench', unit: 'mm', paints: [] },
		panels: [
			{
				...{ id: 'mudguard', hand: 'right', found: { kind: 'flat' } },
				datums: datums.map((d, i) => ({ id: `d${i}`, station: d.s, girth: Math.abs(d.g), side: side(d.g) })),
				readings: [
					...Array.from({ length: marks }, (_, i) => {
						const { s, g } = at(i)
						const off = 0.5 * next() * (pick() < 2 ? 1 : 0)
						return {
							kind: 'square',
							mark: `m${i}`,
							station: s + off,
							girth: Math.abs(g) + 0.5 * next(),
							side: side(g),
							squared: 't-strip',
						}
					}),
					...tapes,
				],
			},
		],
	})
	return job.panels[0] as Panel
}
