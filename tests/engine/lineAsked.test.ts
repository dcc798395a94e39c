// Slips are planted in readings of a line in closed form; where its marks truly lie is known.
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { normal, random } from '../survey/simulate.ts'

const STATIONS = [20, 95, 170, 245, 320, 395, 470]
const girthOf = (s: number) => 46.5 + 30 * Math.sin(s / 260)
const SLIPPED = 3

interface Wrong {
	readonly girth?: (mm: number) => number
	readonly tape?: (mm: number) => number
}

/** Each mark squared off the baseline and taped from a datum straight below it: nothing tells its girth from its tape. */
function panelOf(
	wrong: Wrong,
	{ count = STATIONS.length, at = SLIPPED, hand = 'right', sd = 0.3, noise = (): number => 0 } = {},
) {
	const sides = hand === 'centre' ? ['left', 'right'] : ['above']
	const sdOf = (i: number) => (i === at ? 0.3 : sd)
	const stations = STATIONS.slice(0, count)
	const readings = stations.flatMap((station, i) =>
		sides.flatMap((side, k) => {
			const slip = i === at && k === 0 ? wrong : {}
			const [girth, tape] = [girthOf(station) + noise(), girthOf(station) + noise()]
			const own = hand === 'centre' ? `${side}/m${i + 1}` : `m${i + 1}`
			return [
				{
					kind: 'square',
					mark: `m${i + 1}`,
					station,
					girth: slip.girth?.(girth) ?? girth,
					side,
					squared: 't-strip',
					sd: sdOf(i),
				},
				{ kind: 'tape', from: `d${i + 1}`, to: own, length: slip.tape?.(tape) ?? tape, sd: sdOf(i) },
			]
		}),
	)
	return {
		...{ id: 'lid', hand, found: { kind: 'flat' }, readings },
		datums: stations.map((station, i) => ({ id: `d${i + 1}`, station })),
		edges: [{ id: 'line', through: stations.map((_, i) => `m${i + 1}`) }],
	}
}

function asked(panel: object) {
	const job = { format: 1, title: 'Lid', unit: 'mm', paints: [], panels: [panel] }
	const result = compute(loadJob(JSON.stringify(job)).value!.job, defaultShop(), { until: 'survey' })
	const survey = result.panels[0]!.survey!.survey
	const told = result.problems.filter(({ code }) => code === 'READINGS_CONTRADICT')
	return { survey, told, aside: survey.readings.filter((r) => r.setAside) }
}

describe('where two readings of a mark contradict and nothing else tells which is wrong', () => {
	test.each([
		['girth', { girth: (mm: number) => mm + 18 }],
		['tape', { tape: (mm: number) => mm - 9 }],
	] as const)('the line through its neighbours names the %s, and the mark lies where it truly is', (what, wrong) => {
		const { survey, told, aside } = asked(panelOf(wrong))
		expect(aside.map((r) => [r.what, r.index])).toEqual([what === 'girth' ? ['girth', 2 * SLIPPED] : ['length', 2 * SLIPPED + 1]])
		expect(survey.marks.m4!.at.g).toBeCloseTo(girthOf(STATIONS[SLIPPED]!), 3)
		const right = girthOf(STATIONS[SLIPPED]!).toFixed(1)
		const read = (girthOf(STATIONS[SLIPPED]!) + (what === 'girth' ? 18 : -9)).toFixed(1)
		expect(told).toHaveLength(1)
		expect(told[0]!.fix).toContain(`The line through its neighbours agrees with ${right} mm, not with ${read} mm.`)
	})

	test('on a centreline also of the left mark of a mirrored line', () => {
		const { survey, aside } = asked(panelOf({ girth: (mm) => mm + 12 }, { hand: 'centre' }))
		expect(aside).toMatchObject([{ what: 'girth', marks: ['left/m4'] }])
		expect(survey.marks['left/m4']!.at.g).toBeCloseTo(-girthOf(STATIONS[SLIPPED]!), 3)
	})

	test.each([
		['few other marks', { count: 4 }],
		['its first mark, past which no line is known', { at: 0 }],
		['a slip smaller than the line is known', { sd: 3 }],
	])('%s: nothing is decided, and both are named', (_, more) => {
		const { told, aside } = asked(panelOf({ girth: (mm) => mm + 3 }, more))
		expect(aside).toEqual([])
		expect(told).toHaveLength(1)
		expect(told[0]!.fix).toMatch(/^One of these is wrong and nothing tells which/)
	})

	test('120 seeds of errors with a slip of 12 mm: named right nearly always, hardly ever wrong', () => {
		const [next, pick] = [normal(7), random(8)]
		const count = { right: 0, wrong: 0, open: 0 }
		for (let run = 0; run < 120; run++) {
			const at = 1 + Math.floor(pick() * (STATIONS.length - 2))
			const what = pick() < 0.5 ? 'girth' : 'tape'
			const by = pick() < 0.5 ? -12 : 12
			const { aside } = asked(panelOf({ [what]: (mm: number) => mm + by }, { at, noise: () => 0.3 * next() }))
			const index = 2 * at + (what === 'girth' ? 0 : 1)
			if (aside.length === 0) count.open++
			else if (aside.length === 1 && aside[0]!.index === index) count.right++
			else count.wrong++
		}
		expect(count.right).toBeGreaterThan(0.9 * 120)
		expect(count.wrong).toBeLessThanOrEqual(1)
	})
})
