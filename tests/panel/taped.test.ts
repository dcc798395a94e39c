import { readFileSync } from 'node:fs'
import { parse } from 'jsonc-parser'
import { describe, expect, test } from 'vitest'
import { distance } from '../../src/chart/distance.ts'
import { beyond } from '../../src/chart/limits.ts'
import { tapedSchema } from '../../src/job/tapedSchema.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { tapedChart } from '../../src/panel/taped/chart.ts'
import { tapedFit } from '../../src/panel/taped/fit.ts'
import { MARGIN_MM } from '../../src/panel/taped/reach.ts'
import { capture, laidOn, type Row, readRows, sphereScale, torusScale, trueRows } from './tapedReadings.ts'

const at = '/panels/0/found'
const centre = { centred: true }
const oneSided = { centred: false }
const stations = [0, 60, 120, 180, 240, 300]
const girths = [30, 60, 90, 120]
const torus = torusScale(260, 120)
const panel = { stations, girths }

const chart = (c: ReturnType<typeof capture>, sides = centre) => {
	const made = tapedChart(panelFrame('p', 'centre'), c, at, sides)
	if (!made.value) throw new Error(made.problems.map((p) => `${p.code} ${p.found}`).join('; '))
	return { chart: made.value, problems: made.problems }
}
const troubles = (c: ReturnType<typeof capture>, sides = centre) =>
	tapedChart(panelFrame('p', 'centre'), c, at, sides).problems.map(({ code, path }) => [code, path])

describe('what a tape alone tells', () => {
	test('exact lengths of a torus: J within 0.002 and its slope within 1e-4/mm all over what was laid', () => {
		// Closed form: J = r(g)/r(0), do Carmo 4-4.
		const { chart: c, problems } = chart(laidOn(torus, panel, { sd: 0.02, squared: 't-strip' }))
		expect(problems).toEqual([])
		for (const s of [0, 45, 150, 290]) {
			for (const g of [-115, -80, -30, 0, 50, 100, 120]) {
				expect(Math.abs(c.metric(s, g).j - torus(s, g))).toBeLessThan(0.002)
				expect(Math.abs(c.metric(s, g).jg + Math.sin(g / 120) / 380)).toBeLessThan(1e-4)
			}
		}
	})

	test('the baseline is as a taut tape: J 1, its slope 0, whatever was read', () => {
		const { chart: c } = chart(laidOn(sphereScale(150), { ...panel, noise: 0.5, tiltDeg: 0.5, seed: 3 }))
		for (const s of [0, 77, 300]) {
			expect(Math.abs(c.metric(s, 0).j - 1)).toBeLessThan(1e-9)
			expect(Math.abs(c.metric(s, 0).jg)).toBeLessThan(1e-9)
		}
		expect(c.baselineCurvature(100)).toBe(0)
	})

	test('on a centreline one side stands for both, to the last digit; no place in space is claimed', () => {
		const { chart: c } = chart(laidOn(torus, { ...panel, sides: ['left'], noise: 0.3, seed: 5 }))
		expect(c.symmetric).toBe(true)
		expect(c.embed).toBeUndefined()
		for (const s of [10, 200]) {
			for (const g of [13, 77, 121]) {
				const [a, b] = [c.metric(s, g), c.metric(s, -g)]
				expect([b.j, b.jg, b.js, b.k]).toEqual([a.j, -a.jg, a.js, a.k])
				expect(c.girthIntegral(s, -g)).toBe(-c.girthIntegral(s, g))
			}
			expect(c.gMin(s)).toBe(-c.gMax(s))
		}
	})

	test('K is -J_gg/J of its own J, continuous over the baseline', () => {
		const { chart: c } = chart(laidOn(torus, { ...panel, noise: 0.5, seed: 2 }))
		const h = 0.05
		for (const g of [-60, -0.01, 0.01, 60]) {
			const d2 = (c.metric(150, g + h).jg - c.metric(150, g - h).jg) / (2 * h)
			expect(c.metric(150, g).k).toBeCloseTo(-d2 / c.metric(150, g).j, 7)
		}
	})

	test('a list that ends early, one that starts later, single lengths: all count where they lie', () => {
		const rows = trueRows(torus, panel)
		const [near, far] = [rows[1] as Row, rows[3] as Row]
		const mixed = [
			{ girth: 60, lengths: near.lengths.slice(0, 3) },
			{ girth: 60, from: 180, lengths: near.lengths.slice(3) },
			...far.lengths.map((length, i) => ({ girth: 120, from: stations[i], to: stations[i + 1], length })),
		]
		const whole = chart(capture(panel, [near, far])).chart
		const parts = chart(capture(panel, mixed)).chart
		for (const g of [40, 110]) expect(parts.metric(133, g).j).toBeCloseTo(whole.metric(133, g).j, 12)
	})

	test('longer tapes tell of what short lengths did not reach', () => {
		// A panel that bends more and more to the rear, where no length was laid but one.
		const bend = (s: number) => 1.5e-5 + 1.5e-7 * s
		const scale = (s: number, g: number) => 1 - (bend(s) * g * g) / 2
		const front = trueRows(scale, panel).map((r) => ({ ...r, lengths: r.lengths.slice(0, 2) }))
		const last = { girth: 30, from: 240, to: 300, length: (trueRows(scale, panel)[0] as Row).lengths[4] }
		const exact = chart(laidOn(scale, panel, { sd: 0.01 })).chart
		const spot = (station: number, girth: number) => ({ station, girth, side: 'right' as const })
		const tapes = [
			[spot(120, 90), spot(240, 90)],
			[spot(180, 100), spot(300, 100)],
			[spot(120, 0), spot(300, 100)],
		].map(([from, to]) => ({
			...{ from, to },
			length: distance(exact, { s: from?.station ?? 0, g: from?.girth ?? 0 }, { s: to?.station ?? 0, g: to?.girth ?? 0 })?.length,
		}))
		const fit = (more: Record<string, unknown>) => tapedFit(capture(panel, [...front, last], more), at, centre).value
		const [few, many] = [fit({}), fit({ tapes })]
		expect(many?.aside).toEqual([])
		expect(many?.uncertainty.curvatureSd).toBeLessThan(0.8 * (few?.uncertainty.curvatureSd ?? 0))
		const off = (f: typeof few) => Math.abs((f?.estimate.field.jet(220, 90).j ?? 0) - scale(220, 90))
		expect(off(many)).toBeLessThan(off(few) / 2)
		// Every tape reads on the chart what it read on the panel, within its own uncertainty.
		const c = chart(capture(panel, [...front, last], { tapes })).chart
		for (const { from, to, length } of tapes) {
			const read = distance(c, { s: from?.station ?? 0, g: from?.girth ?? 0 }, { s: to?.station ?? 0, g: to?.girth ?? 0 })?.length
			expect(Math.abs((read ?? 0) - (length ?? 0))).toBeLessThan(0.5)
		}
	})

	test('sides that differ are kept apart and said; alike ones are not', () => {
		const flank = (s: number, g: number) => (g > 0 ? Math.cos(g / 150) : Math.cos(g / 220)) + 0 * s
		const laying = { ...panel, sides: ['left', 'right'] as const, noise: 0.3, seed: 11 }
		const { chart: c, problems } = chart(laidOn(flank, laying, { sd: 0.3 }))
		expect(problems.map((p) => [p.code, p.severity])).toEqual([['TAPED_SIDES_DIFFER', 'note']])
		expect(c.symmetric).toBeUndefined()
		for (const g of [-100, 100]) expect(Math.abs(c.metric(150, g).j - flank(150, g))).toBeLessThan(0.02)
		expect(chart(laidOn(torus, laying)).chart.symmetric).toBe(true)
	})

	test('a panel of one side: above and below each their own, nothing mirrored', () => {
		const scale = (_: number, g: number) => Math.cos(g / 200) * (1 + (g * g * g) / 2e7)
		const { chart: c } = chart(laidOn(scale, { ...panel, sides: ['above', 'below'], noise: 0.3, seed: 4 }), oneSided)
		for (const g of [-100, -40, 40, 100]) expect(Math.abs(c.metric(150, g).j - scale(150, g))).toBeLessThan(0.02)
		const above = chart(laidOn(scale, { ...panel, noise: 0.3, seed: 4 }), oneSided).chart
		expect(above.gMin(100)).toBe(-MARGIN_MM)
		expect(above.gMax(100)).toBe(120 + MARGIN_MM)
	})
})

describe('how far it reaches', () => {
	test('to the outermost lengths and a margin of girth; from the first to the last line that a length ends on', () => {
		const rows = trueRows(torus, panel)
		const far = { ...(rows[3] as Row), lengths: (rows[3] as Row).lengths.slice(0, 2) }
		const { chart: c } = chart(capture({ stations: [...stations, 360] }, [...rows.slice(0, 3), far]))
		expect([c.sMin, c.sMax]).toEqual([0, 300])
		expect(c.gMax(60)).toBe(120 + MARGIN_MM)
		expect(c.gMax(250)).toBe(90 + MARGIN_MM)
		expect(beyond(c, { s: 310, g: 0 })).toBeCloseTo(10)
		expect(beyond(c, { s: 250, g: 120 })).toBeCloseTo(30 - MARGIN_MM)
	})

	test('no further than J holds: a ball of 100 mm ends where J is a quarter', () => {
		const { chart: c, problems } = chart(laidOn(sphereScale(100), { stations, girths: [40, 80, 120, 131] }, { sd: 0.1 }))
		// So near its end a little error of J is a large one of curvature.
		expect(problems.map((p) => p.code)).toEqual(['TAPED_SHAPE_LOOSE'])
		// Closed form: cos(g/100) = 0.25 at g = 131.8.
		expect(Math.abs(c.gMax(150) - 131.8)).toBeLessThan(4)
		expect(c.limitReason).toContain('closes up')
	})
})

describe('uncertainty, and what to measure next', () => {
	const few = laidOn(torus, { stations, girths: [60, 120], noise: 0.5, seed: 8 })
	test('falls with better readings and with more of them', () => {
		const sdOf = (c: ReturnType<typeof capture>) => tapedFit(c, at, centre).value?.uncertainty.curvatureSd ?? Number.NaN
		const usual = sdOf(few)
		expect(sdOf({ ...few, sd: 0.2 })).toBeLessThan(usual)
		expect(sdOf({ ...few, squared: 'by-eye' })).toBeGreaterThan(usual)
		expect(sdOf(laidOn(torus, { ...panel, sides: ['left', 'right'], noise: 0.5, seed: 8 }))).toBeLessThan(usual)
	})

	test('the length that is said to tell most lowers the uncertainty as said, once laid', () => {
		const fit = tapedFit(few, at, centre).value
		const next = fit?.next()
		if (!fit || !next) throw new Error('nothing next')
		expect(next.curvatureSd).toBeLessThan(fit.uncertainty.curvatureSd)
		const { from, to, girth } = next
		const length = torus(0, girth) * (to - from)
		const then = tapedFit({ ...few, laid: [...few.laid, { girth, from, to, length }] }, at, centre).value
		// The roughness is chosen anew with the new reading, and the grid of places is the same.
		expect(then?.estimate.roughness).toEqual(fit.estimate.roughness)
		expect(Math.abs((then?.uncertainty.curvatureSd ?? 0) / next.curvatureSd - 1)).toBeLessThan(0.01)
	})

	test('a shape known too loosely is said, with the length to lay', () => {
		const c = laidOn(torus, { stations: [0, 60, 120], girths: [25, 40] })
		const { problems } = chart({ ...c, squared: 'by-eye', sd: 1 })
		expect(problems.map((p) => [p.code, p.severity])).toEqual([['TAPED_SHAPE_LOOSE', 'warning']])
		expect(problems[0]?.fix).toMatch(/from station \d+ to \d+ at girth \d+/)
	})
})

describe('readings that contradict are named', () => {
	const good = readRows(trueRows(torus, { ...panel, sides: ['left', 'right'] }), { ...panel, noise: 0.4, seed: 21 })
	const off = (row: number, k: number, mm: number) =>
		good.map((r, i) => (i === row ? { ...r, lengths: r.lengths.map((x, n) => (n === k ? x + mm : x)) } : r))

	test('good ones are not', () => expect(troubles(capture(panel, good))).toEqual([]))

	for (const [row, k, mm] of [
		[2, 1, 5],
		[5, 3, -5],
		[0, 2, 6],
		[7, 4, 6],
	] as const) {
		test(`${mm} mm too much in row ${row}, length ${k}`, () => {
			const { chart: c, problems } = chart(capture(panel, off(row, k, mm)))
			expect(problems.map((p) => [p.code, p.path])).toEqual([['TAPED_LENGTHS_CONTRADICT', `${at}/laid/${row}/lengths/${k}`]])
			expect(problems[0]?.found).toContain(mm > 0 ? 'more' : 'less')
			// The shape goes by the others.
			const without = chart(capture(panel, good)).chart
			for (const g of [40, 100]) expect(Math.abs(c.metric(150, g).j - without.metric(150, g).j)).toBeLessThan(0.006)
		})
	}

	test('of 40 panels with one length 5 mm off, 37 have that length alone named; of 40 good ones at most 3 have any', () => {
		let named = 0
		let wronged = 0
		for (let seed = 1; seed <= 40; seed++) {
			const read = readRows(trueRows(torus, panel), { ...panel, noise: 0.45, tiltDeg: 0.5, seed })
			const [row, k] = [seed % 4, (seed * 7) % 5]
			const slipped = read.map((r, i) => (i === row ? { ...r, lengths: r.lengths.map((x, n) => (n === k ? x + 5 : x)) } : r))
			const told = troubles(capture(panel, slipped)).filter(([code]) => code === 'TAPED_LENGTHS_CONTRADICT')
			if (told.length === 1 && told[0]?.[1] === `${at}/laid/${row}/lengths/${k}`) named++
			if (troubles(capture(panel, read)).some(([code]) => code === 'TAPED_LENGTHS_CONTRADICT')) wronged++
		}
		expect(named).toBeGreaterThanOrEqual(37)
		expect(wronged).toBeLessThanOrEqual(3)
	})

	test('a line struck 5 degrees out of square', () => {
		const lean = (5 * Math.PI) / 180
		const rows = good.map((r) =>
			r.side === 'right'
				? { ...r, lengths: r.lengths.map((x, i) => x + (i === 2 ? lean * r.girth : i === 3 ? -lean * r.girth : 0)) }
				: r,
		)
		const { problems } = chart(capture(panel, rows))
		expect(problems.map((p) => p.code)).toEqual(['TAPED_LENGTHS_CONTRADICT'])
		expect(problems[0]?.found).toMatch(/^the line struck at station 180 right, .* leans about [45](\.\d)? degrees to the rear$/)
	})

	test('a tape with two figures changed about', () => {
		const spot = (station: number, girth: number) => ({ station, girth, side: 'right' })
		const exact = chart(capture(panel, good)).chart
		const length = Math.round(distance(exact, { s: 0, g: 60 }, { s: 240, g: 90 })?.length ?? 0)
		const tape = { from: spot(0, 60), to: spot(240, 90) }
		expect(troubles(capture(panel, good, { tapes: [{ ...tape, length }] }))).toEqual([])
		expect(troubles(capture(panel, good, { tapes: [{ ...tape, length: length + 18 }] }))).toEqual([
			['TAPED_LENGTHS_CONTRADICT', `${at}/tapes/0/length`],
		])
	})
})

describe('captures that cannot be, each by name and place', () => {
	const rows = trueRows(torus, panel)
	const bad = (laid: readonly unknown[], more: Record<string, unknown> = {}) => troubles(capture(panel, laid, more))
	const spoiled = (lengths: number[]) => bad([{ girth: 60, lengths }, ...rows.slice(2)])

	test('too few, with the girths to lay next', () => {
		expect(bad([{ girth: 80, lengths: [55, 55, 55, 55, 55] }])).toEqual([['TAPED_TOO_FEW_LENGTHS', `${at}/laid`]])
		const [p] = tapedChart(panelFrame('p', 'centre'), capture(panel, [{ girth: 80, lengths: [55, 55] }]), at, centre).problems
		expect(p?.fix).toContain('girth 40 mm')
	})
	test('a length over 100 mm, with why', () => {
		const wide = capture({ stations: [0, 120, 240] }, [
			{ girth: 40, lengths: [118, 117] },
			{ girth: 80, lengths: [99, 100] },
		])
		const { problems, value } = tapedChart(panelFrame('p', 'centre'), wide, at, centre)
		expect(value).toBeUndefined()
		expect(problems.map((p) => [p.code, p.path])).toEqual([
			['TAPED_LENGTH_TOO_LONG', `${at}/laid/0/lengths/0`],
			['TAPED_LENGTH_TOO_LONG', `${at}/laid/0/lengths/1`],
		])
		expect(problems[0]?.expected).toContain('does not follow a line of constant girth')
	})
	test('a length that no panel has', () => {
		expect(spoiled([14, 59, 59])).toEqual([['TAPED_LENGTH_IMPOSSIBLE', `${at}/laid/0/lengths/0`]])
		expect(
			troubles(
				capture({ stations: [0, 20, 80] }, [
					{ girth: 40, lengths: [81, 59] },
					...rows.slice(0, 1).map((r) => ({ ...r, lengths: [20] })),
				]),
			)[0],
		).toEqual(['TAPED_LENGTH_IMPOSSIBLE', `${at}/laid/0/lengths/0`])
	})
	test('stations out of order or twice', () => {
		const order = (list: number[]) => troubles(capture({ stations: list }, rows))
		expect(order([0, 120, 60, 180, 240, 300])).toContainEqual(['TAPED_STATIONS_OUT_OF_ORDER', `${at}/stations/2`])
		expect(order([0, 60, 60, 120, 180, 240])).toContainEqual(['TAPED_STATIONS_OUT_OF_ORDER', `${at}/stations/2`])
		expect(bad([{ girth: 60, from: 120, to: 60, length: 58 }, ...rows])).toEqual([
			['TAPED_STATIONS_OUT_OF_ORDER', `${at}/laid/0/to`],
		])
	})
	test('girth 0, a line never struck, more lengths than gaps', () => {
		expect(bad([{ girth: 0, lengths: [60] }, ...rows])).toEqual([['TAPED_GIRTH_ZERO', `${at}/laid/0/girth`]])
		expect(bad([{ girth: 60, from: 90, lengths: [58] }, ...rows])).toEqual([['TAPED_LINE_UNKNOWN', `${at}/laid/0/from`]])
		expect(spoiled([58, 58, 58, 58, 58, 58])).toEqual([['TAPED_TOO_MANY_LENGTHS', `${at}/laid/0/lengths`]])
	})
	test('sides that the panel does not have, or that are missing', () => {
		expect(bad([{ girth: 60, side: 'above', lengths: [58] }, ...rows])).toEqual([['SIDE_WRONG', `${at}/laid/0/side`]])
		expect(troubles(capture(panel, [{ girth: 60, side: 'left', lengths: [58] }, ...rows]), oneSided)).toEqual([
			['SIDE_WRONG', `${at}/laid/0/side`],
		])
		const tape = { from: { station: 0, girth: 60 }, to: { station: 120 }, length: 130 }
		expect(bad(rows, { tapes: [tape] })).toEqual([['SIDE_MISSING', `${at}/tapes/0/from`]])
	})
	test('tapes that cannot be', () => {
		const from = { station: 0, girth: 90, side: 'left' }
		expect(bad(rows, { tapes: [{ from, to: { station: 60, girth: 90, side: 'right' }, length: 150 }] })).toEqual([
			['TAPED_LENGTH_IMPOSSIBLE', `${at}/tapes/0`],
		])
		expect(bad(rows, { tapes: [{ from, to: from, length: 150 }] })).toEqual([['TAPED_SAME_PLACE', `${at}/tapes/0`]])
		expect(bad(rows, { tapes: [{ from, to: { station: 9000, girth: 20, side: 'left' }, length: 9000 }] })[0]?.[0]).toMatch(
			/^TAPED_(NOT_FOUND|LENGTHS_CONTRADICT)$/,
		)
	})
	test('the same number at the same place twice counts once', () => {
		const once = chart(capture(panel, rows)).chart
		const { chart: twice, problems } = chart(
			capture(panel, [...rows, { ...(rows[1] as Row), lengths: (rows[1] as Row).lengths.slice(0, 1) }]),
		)
		expect(problems.map((p) => [p.code, p.severity, p.path])).toEqual([
			['TAPED_LENGTH_REPEATS', 'warning', `${at}/laid/4/lengths/0`],
		])
		expect(twice.curvatureSd).toBe(once.curvatureSd)
	})
	test('ends of the panel that no length reaches', () => {
		expect(bad(rows, { front: -20, length: 330 })).toEqual([])
		expect(bad(rows, { front: -20, length: 420 })).toEqual([['TAPED_ENDS_OPEN', `${at}/laid`]])
	})
	test('unreadable lengths keep their own place', () => {
		expect(() => capture(panel, [{ girth: 'x', lengths: [58] }])).toThrow()
		expect(() => capture(panel, [{ girth: 60, lengths: [-3] }])).toThrow()
	})
})

test("the demo's toolbox lid: nothing to say against it, and its shape is the one it was invented from", () => {
	// A torus of ring 80 and tube 140 mm about its outer equator, read with 0.3 mm and 0.4 degrees of error.
	const text = readFileSync(new URL('../../fixtures/tarn-350-toolbox/job.jsonc', import.meta.url), 'utf8')
	const lid = tapedSchema('mm').parse(parse(text).panels[0].found)
	const { value: fit, problems } = tapedFit(lid, at, oneSided)
	expect(problems).toEqual([])
	if (!fit) throw new Error('no fit')
	const true_ = torusScale(80, 140)
	for (const s of [10, 110, 210]) {
		for (const g of [-60, -30, 30, 60]) {
			const { j, jg } = fit.estimate.field.jet(s, g)
			expect(Math.abs(jg / j + Math.sin(g / 140) / 220 / true_(s, g))).toBeLessThan(2.5 * fit.curvatureSdAt({ s, g }))
		}
	}
})
