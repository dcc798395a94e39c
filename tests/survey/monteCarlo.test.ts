import { describe, expect, test } from 'vitest'
import { ellipse95 } from '../../src/survey/ellipse.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import { flatChart, instruments, panelOf } from './bench.ts'
import { normal, type Places, random, readAs } from './simulate.ts'

/** Printed with each failure; another one must pass as well. */
const SEED = 20_260
const RUNS = 2000
const SD = 0.5

/** Four datums round a flat panel, five marks between them, some readings well checked and some hardly. */
const datums: Places = { a: { s: 0, g: 0 }, b: { s: 420, g: 0 }, c: { s: 20, g: 260 }, d: { s: 400, g: 280 } }
const marks: Places = {
	m1: { s: 60, g: 90 },
	m2: { s: 130, g: 150 },
	m3: { s: 210, g: 120 },
	m4: { s: 290, g: 180 },
	m5: { s: 360, g: 110 },
}
const places: Places = { ...datums, ...marks }
const tapes = [
	'a m1',
	'c m1',
	'a m2',
	'c m2',
	'b m3',
	'd m3',
	'a m3',
	'd m4',
	'b m4',
	'b m5',
	'd m5',
	'm1 m2',
	'm2 m3',
	'm3 m4',
	'm4 m5',
]
const panel = panelOf({
	datums: Object.entries(datums).map(([id, { s, g }]) => ({ id, station: s, girth: g, ...(g > 0 ? { side: 'above' } : {}) })),
	readings: [
		...Object.keys(marks).map((mark) => ({ kind: 'square', mark, station: 0, girth: 1, side: 'above', squared: 't-strip' })),
		...tapes.map((pair) => ({ kind: 'tape', from: pair.split(' ')[0], to: pair.split(' ')[1], length: 1 })),
	],
})
const chart = flatChart()

/** The sd that the survey itself takes: a squared station is known less well by its girth times half a degree. */
const sdOf = (index: number, what: string) =>
	what === 'station' ? Math.hypot(SD, (Object.values(marks)[index]!.g * Math.PI) / 360) : SD

function survey(error: (index: number, what: 'station' | 'girth' | 'length') => number) {
	const read = readAs(panel, places, error)
	const { value, problems } = locateMarks({ chart, panel: read, panelPath: '/panels/0', instruments })
	return { survey: value!, problems }
}

describe(`simulated readings, seed ${SEED}`, () => {
	test('95 % ellipses hold the true place 95 times in 100; false alarms and the test of the whole come at their rates', () => {
		const next = normal(SEED)
		let inside = 0
		let count = 0
		let alarms = 0
		let tests = 0
		let worse = 0
		let named = 0
		for (let run = 0; run < RUNS; run++) {
			const { survey: s, problems } = survey((index, what) => sdOf(index, what) * next())
			if (problems.length > 0) named++
			for (const [key, truth] of Object.entries(marks)) {
				const mark = s.marks[key]!
				const { ss, sg, gg } = mark.covariance
				const [ds, dg] = [mark.at.s - truth.s, mark.at.g - truth.g]
				count++
				if ((gg * ds * ds - 2 * sg * ds * dg + ss * dg * dg) / (ss * gg - sg * sg) <= 5.991) inside++
				const e = ellipse95(mark.covariance, 1)
				// the same area either way
				expect(e.majorMm * e.minorMm).toBeCloseTo(5.991 * Math.sqrt(ss * gg - sg * sg), 9)
			}
			for (const r of s.readings) {
				if (r.w === undefined || r.setAside) continue
				tests++
				if (Math.abs(r.w) > 3.29) alarms++
			}
			if (s.closure.verdict === 'worse') worse++
		}
		expect(Math.abs(inside / count - 0.95)).toBeLessThan(0.02)
		// One test in a thousand by chance; a run has 25 of them that are not independent.
		expect(alarms / tests).toBeLessThan(0.0015)
		expect(named / RUNS).toBeLessThan(0.035)
		expect(worse / RUNS).toBeLessThan(0.003)
	})

	test('a slip of 10 sd is named, alone where the readings can tell and in its group where they cannot', () => {
		const next = normal(SEED + 1)
		const pick = random(SEED + 2)
		const good = survey(() => 0).survey
		const seen = good.readings.filter((r) => r.redundancy > 0.3)
		expect(seen.length).toBeGreaterThan(15)
		let alone = 0
		let among = 0
		let wrong = 0
		for (let run = 0; run < RUNS; run++) {
			const slipped = seen[Math.floor(pick() * seen.length)]!
			const way = pick() < 0.5 ? -1 : 1
			const { survey: s } = survey(
				(index, what) =>
					sdOf(index, what) * next() + (index === slipped.index && what === slipped.what ? way * 10 * slipped.sd : 0),
			)
			const is = (r: { index: number; what: string }) => r.index === slipped.index && r.what === slipped.what
			const named = s.readings.filter((r) => r.likely !== undefined)
			if (s.readings.some((r) => r.setAside && is(r))) alone++
			else if (named.some(is)) among++
			else wrong++
		}
		expect((alone + among) / RUNS).toBeGreaterThan(0.95)
		expect(wrong / RUNS).toBeLessThan(0.05)
	})
})
