// Blanks of check sheet and proof on the page, against the tables of both sheets and a flat lid whose figures are told by hand.
import Papa from 'papaparse'
import { describe, expect, test } from 'vitest'
import { checkTable } from '../../src/report/checkTable.ts'
import { proofTable } from '../../src/report/proofTable.ts'
import { checksOf } from '../../src/workbench/checkView.ts'
import { proofViewOf } from '../../src/workbench/proofView.ts'
import { sidesViewOf } from '../../src/workbench/sidesView.ts'
import { byLine, entryFor, writtenFigure } from '../../src/workbench/toldRows.ts'
import { lid } from './lid.ts'

const panelOf = (...given: Parameters<typeof lid>) => lid(...given).panels[0] as NonNullable<ReturnType<typeof lid>['panels'][0]>
const rowsOf = (csv: string) => Papa.parse<string[]>(csv.replace(/^\ufeff?#.*\r\n/, '').trim()).data.slice(1)

describe('the tape, before anything is sprayed', () => {
	test.each(['mm', 'in'] as const)('has the blanks of the check sheet’s table, in %s', (unit) => {
		const table = rowsOf(checkTable(lid({ unit }, { until: 'pieces' })))
		expect(table.length).toBeGreaterThan(8)
		const rows = checksOf(panelOf({ unit }), unit).map(({ line, side, station, plan }) => [line, side, station, plan])
		expect(rows).toEqual(table.map(([, , line, side, station, , , , plan]) => [line, side, station, plan]))
	})

	test('says go, look again or lay again of a figure, and which way', () => {
		const [first] = checksOf(panelOf(), 'mm').filter(({ line, side }) => line === 'coach inner' && side === 'left')
		const read = (girth: number) => {
			const panel = panelOf({ checks: [{ line: 'Coach Inner', side: 'left', station: first?.stationMm, girth }] })
			return checksOf(panel, 'mm').find(
				({ line, side, station }) => line === 'coach inner' && side === 'left' && station === first?.station,
			)
		}
		expect(first?.plan).toBe('80')
		expect(first?.answer).toBeUndefined()
		expect(read(80.4)?.answer).toEqual({ verdict: 'go', says: 'go, 0.4 mm off' })
		expect(read(82.5)?.answer).toEqual({ verdict: 're-lay', says: 'lay again: 2.5 mm too far out; move it in' })
		expect(read(77)?.answer).toEqual({ verdict: 're-lay', says: 'lay again: 3.0 mm too far in; move it out' })
	})

	test('a place that the sheet does not ask for has a row of its own', () => {
		const panel = panelOf({ checks: [{ line: 'coach inner', side: 'right', station: 333, girth: 80 }] })
		const row = checksOf(panel, 'mm').at(-1)
		expect(row).toMatchObject({ line: 'coach inner', side: 'right', station: '333', plan: '80', answer: { verdict: 'go' } })
		expect(checksOf(panel, 'mm')).toHaveLength(checksOf(panelOf(), 'mm').length + 1)
	})

	test('in inches, what is typed at a printed station is found again in its own row', () => {
		const rows = checksOf(panelOf({ unit: 'in' }), 'in')
		expect(rows.some(({ station }) => station.includes('/'))).toBe(true)
		const written = rows.map(({ line, side, station }) => ({ line, side, station: writtenFigure(station), girth: 3 }))
		expect(rows.map((row) => entryFor(written, row, 'in'))).toEqual(rows.map((_, i) => i))
		const checks = written as NonNullable<Parameters<typeof lid>[0]>['checks']
		const filled = checksOf(panelOf({ unit: 'in', checks }), 'in')
		expect(filled.map(({ station }) => station)).toEqual(rows.map(({ station }) => station))
		expect(filled.every(({ answer }) => answer !== undefined)).toBe(true)
	})

	test('left and right of a station stand in one row', () => {
		for (const { stations } of byLine(checksOf(panelOf(), 'mm'))) {
			expect(stations.length).toBeGreaterThanOrEqual(3)
			expect(stations.every(({ left, right, only }) => left && right && !only)).toBe(true)
			const order = stations.map(({ station }) => Number(station))
			expect(order).toEqual([...order].sort((a, b) => a - b))
		}
	})
})

describe('strips on the old paint', () => {
	test('have the ticks of the proof’s own table', () => {
		const table = rowsOf(proofTable(lid({}, { proof: true })))
		expect(table.length).toBeGreaterThan(8)
		const named = (rows: readonly (readonly (string | undefined)[])[]) => rows.map((row) => row.join(' ')).sort()
		const rows = proofViewOf(panelOf(), 1, 'mm').rows.map(({ line, side, station }) => [line, side, station])
		expect(named(rows)).toEqual(named(table.map(([, , line, side, station]) => [line, side, station])))
	})

	test('say when a line is safe, and which tick is too far off', () => {
		const own = proofViewOf(panelOf(), 1, 'mm').rows.filter(({ line, side }) => line === 'coach inner' && side === 'left')
		const ticks = own.map(({ line, side, stationMm }, i) => ({
			...{ line, side, station: stationMm, misses: i === 1 ? 2.4 : 0.3, towards: 'outboard' },
		}))
		const { rows, lines } = proofViewOf(panelOf({ proof: ticks }), 1, 'mm')
		expect(rows.filter(({ over }) => over).map(({ station }) => station)).toEqual([own[1]?.station])
		expect(lines).toHaveLength(1)
		expect(lines[0]).toMatchObject({ safe: false })
		const small = ticks.map((tick) => ({ ...tick, misses: 0.2 }))
		expect(proofViewOf(panelOf({ proof: small }), 1, 'mm').lines[0]).toMatchObject({ safe: true })
	})
})

describe('left laid over right', () => {
	test('a mark that is off by itself stands out by so many times what it is off', () => {
		const { overlay, both } = sidesViewOf(panelOf({ right: [80, 86, 80, 80] }), 'mm')
		expect(both).toEqual(['line'])
		const odd = overlay?.pairs.filter((pair) => pair.odd)
		expect(odd?.map(({ says }) => says)).toEqual(['m2'])
		// the mean of 80 and 86, and 6 mm from there
		expect(odd?.[0]?.at).toEqual([150, 83])
		const off = (odd?.[0]?.off[1] ?? 0) - 83
		expect(off / (overlay?.factor ?? 0)).toBeCloseTo(6, 0)
	})

	test('a tape laid 2 mm to the left is to be moved to the right, all along', () => {
		const { centreline } = sidesViewOf(panelOf({ right: [84, 84, 84, 84] }), 'mm')
		expect(centreline?.proven).toBe(true)
		expect(centreline?.move).toMatch(/move the tape 2\.0 mm right at the front end and 2\.0 mm right at the rear/)
	})
})

describe('which entry fills a row', () => {
	const row = { line: 'coach inner', side: 'left', stationMm: 304.8 } as const
	test.each([
		[[{ line: 'Coach Inner ', side: 'left', station: '12 in' }], 0],
		[[{ line: 'coach inner', side: 'right', station: '12 in' }], -1],
		[[{ line: 'coach inner', side: 'left', station: 304.8 }], -1],
		[[{ line: 'other' }, { line: 'coach inner', side: 'left', station: 12 }], 1],
		[[{ line: 'coach inner', side: 'left', station: 'twelve' }], -1],
	])('%j: %i', (entries, at) => expect(entryFor(entries, row, 'in')).toBe(at))

	test('a printed figure is written as a number where it is one', () => {
		expect(['14.5', '-3', '5 5/8 in'].map(writtenFigure)).toEqual([14.5, -3, '5 5/8 in'])
	})
})
