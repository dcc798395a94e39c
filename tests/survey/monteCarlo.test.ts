import { describe, expect, test } from 'vitest'
import { ellipse95 } from '../../src/survey/ellipse.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import { flatChart, instruments, panelOf } from './bench.ts'
import { normal, type Places, random, readAs } from './simulate.ts'

/** Printed with each failure; another one must pass as well. */
const SEED = 20_260
const RUNS = 2000
const SD = 0.5

/** Four datums round a flat panel, six marks between them, some readings well checked and some hardly. */
const datums: Places = { a: { s: 0, g: 0 }, b: { s: 420, g: 0 }, c: { s: 20, g: 260 }, d: { s: 400, g: 280 } }
const marks: Places = {
	m1: { s: 60, g: 90 },
	m2: { s: 130, g: 150 },
	m3: { s: 210, g: 120 },
	m4: { s: 290, g: 180 },
	m5: { s: 360, g: 110 },
	// straight off a datum: nothing tells its girth from its tape
	m6: { s: 420, g: 150 },
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
	'b m6',
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

/**
 * Of each number: its redundancy, and the largest correlation of its test with that of another. By their definition, with whole
 * matrices: the covariance of the residuals is that of the readings less A (A' P A)^-1 A' (Baarda 1968; Foerstner 1983).
 */
function discernability() {
	const keys = Object.keys(marks)
	const rows = panel.readings.flatMap((reading, index) => {
		const row = (what: 'station' | 'girth' | 'length', by: Readonly<Record<string, readonly [number, number]>>) => {
			const a = keys.flatMap((key) => by[key] ?? [0, 0]).map((value) => value / sdOf(index, what))
			return { index, what, a }
		}
		if (reading.kind === 'square') return [row('station', { [reading.mark]: [1, 0] }), row('girth', { [reading.mark]: [0, 1] })]
		if (reading.kind !== 'tape') return []
		const [p, q] = [places[reading.from]!, places[reading.to]!]
		const length = Math.hypot(q.s - p.s, q.g - p.g)
		const way = [(q.s - p.s) / length, (q.g - p.g) / length] as const
		return [row('length', { [reading.from]: [-way[0], -way[1]], [reading.to]: way })]
	})
	const n = 2 * keys.length
	const normalMatrix = Array.from({ length: n }, (_, i) =>
		Array.from({ length: n }, (_, j) => rows.reduce((sum, { a }) => sum + a[i]! * a[j]!, 0)),
	)
	const q = inverse(normalMatrix)
	const left = rows.map(({ a }, i) =>
		rows.map(
			({ a: b }, j) => (i === j ? 1 : 0) - a.reduce((sum, x, k) => sum + x * q[k]!.reduce((s, y, l) => s + y * b[l]!, 0), 0),
		),
	)
	// what nothing checks is like nothing else
	const checked = rows.flatMap((_, j) => (left[j]![j]! > 0.01 ? [j] : []))
	return rows.map(({ index, what }, i) => ({
		...{ index, what, redundancy: left[i]![i]! },
		alike: Math.max(...checked.map((j) => (i === j ? 0 : Math.abs(left[i]![j]!) / Math.sqrt(left[i]![i]! * left[j]![j]!)))),
	}))
}

/** Gauss and Jordan, of a matrix that is safely positive definite. */
function inverse(m: readonly (readonly number[])[]): number[][] {
	const rows = m.map((row, i) => [...row, ...m.map((_, j) => (i === j ? 1 : 0))])
	for (let i = 0; i < rows.length; i++) {
		const pivot = rows[i]![i]!
		rows[i] = rows[i]!.map((x) => x / pivot)
		for (let k = 0; k < rows.length; k++) {
			const f = rows[k]![i]!
			if (k !== i) rows[k] = rows[k]!.map((x, j) => x - f * rows[i]![j]!)
		}
	}
	return rows.map((row) => row.slice(m.length))
}

describe(`simulated readings, seed ${SEED}`, () => {
	test('95 % ellipses hold the true place 95 times in 100; false alarms and the test of the whole come at their rates', () => {
		const next = normal(SEED)
		let inside = 0
		let count = 0
		let alarms = 0
		let tests = 0
		let worse = 0
		let areaOff = 0
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
				areaOff = Math.max(areaOff, Math.abs(e.majorMm * e.minorMm - 5.991 * Math.sqrt(ss * gg - sg * sg)))
			}
			for (const r of s.readings) {
				if (r.w === undefined || r.setAside) continue
				tests++
				if (Math.abs(r.w) > 3.29) alarms++
			}
			if (s.closure.verdict === 'worse') worse++
		}
		expect(areaOff).toBeLessThan(1e-9)
		expect(Math.abs(inside / count - 0.95)).toBeLessThan(0.02)
		// One test in a thousand by chance; a run has 28 of them that are not independent.
		expect(alarms / tests).toBeLessThan(0.0015)
		expect(named / RUNS).toBeLessThan(0.035)
		expect(worse / RUNS).toBeLessThan(0.003)
	})

	test('a slip of 10 sd is named alone where its readings can tell, else with the group that they cannot tell it from', () => {
		const next = normal(SEED + 1)
		const pick = random(SEED + 2)
		const seen = discernability().filter(({ redundancy }) => redundancy > 0.3)
		const count = { told: { runs: 0, named: 0 }, alike: { runs: 0, named: 0 } }
		let pairs = 0
		let paired = 0
		for (let run = 0; run < RUNS; run++) {
			const slipped = seen[Math.floor(pick() * seen.length)]!
			const by = (pick() < 0.5 ? -10 : 10) * sdOf(slipped.index, slipped.what)
			const is = (r: { index: number; what: string }) => r.index === slipped.index && r.what === slipped.what
			const { survey: s } = survey((index, what) => sdOf(index, what) * next() + (is({ index, what }) ? by : 0))
			const of = slipped.alike <= 0.7 ? count.told : count.alike
			of.runs++
			const named = s.readings.filter((r) => r.likely !== undefined)
			if (s.readings.some((r) => r.setAside && is(r))) of.named++
			// it among others, none of which is set aside for it
			else if (of === count.alike && named.length > 1 && named.some(is) && !named.some((r) => r.setAside)) of.named++
			if (slipped.alike < 0.999) continue
			pairs++
			if (named.map(({ marks: own, what }) => [...own, what].join()).join(' ') === 'm6,girth b,m6,length') paired++
		}
		expect(Math.min(count.told.runs, count.alike.runs)).toBeGreaterThan(RUNS / 10)
		expect(count.told.named / count.told.runs).toBeGreaterThan(0.95)
		expect(count.alike.named / count.alike.runs).toBeGreaterThan(0.95)
		// where nothing at all tells the two apart, they are the group, neither more nor less
		expect(pairs).toBeGreaterThan(RUNS / 20)
		expect(paired / pairs).toBeGreaterThan(0.95)
	})
})
