// What is written is measured by another reader of JSON with remarks (jsonc-parser's `parse` of the new text) and by the bytes that stay.
import fc from 'fast-check'
import { parse } from 'jsonc-parser'
import { describe, expect, test } from 'vitest'
import { readCsv } from '../../src/job/csv.ts'
import { enterReadings } from '../../src/job/enter.ts'
import { panelIds } from '../../src/job/enterPanels.ts'
import type { ReadingInput } from '../../src/job/schema.ts'
import { readSource } from '../../src/job/source.ts'
import { unreadable } from './jobs.ts'

const enter = (job: string, table: string, panel?: string) => {
	const source = readSource(job).value!
	const read = readCsv(table, { unit: 'mm', panels: panelIds(source), forJob: true })
	const outcome = enterReadings(source, read.value!, { unit: 'mm', ...(panel ? { panel } : {}) })
	expect(unreadable([...read.problems, ...outcome.problems])).toEqual([])
	return { ...outcome.value!, problems: [...read.problems, ...outcome.problems] }
}
const job = (hand: string, readings: readonly object[], more: object = {}) =>
	JSON.stringify({ format: 1, unit: 'mm', panels: [{ id: 'guard', hand, readings, ...more }] }, null, '\t')
const readingsOf = (text: string): ReadingInput[] => parse(text).panels[0].readings

describe('which reading of the job a row is', () => {
	const square = { kind: 'square', mark: 'u1', station: 10, girth: 20, side: 'left' }
	test('on a centreline the side is part of the name; what the row does not say stays', () => {
		const old = [
			{ ...square, squared: 't-strip', note: 'old' },
			{ ...square, side: 'right' },
		]
		const { text, panels } = enter(job('centre', old), 'mark,station,left\nu1,10,21\n')
		expect(readingsOf(text)).toEqual([{ ...old[0], girth: 21 }, old[1]])
		expect(panels[0]!.changed).toEqual(['left/u1: girth 21, before 20'])
	})
	test('on a panel of one side above and below are what was read', () => {
		const { text } = enter(job('left', [{ ...square, side: 'above' }]), 'mark,station,below\nu1,10,2\n')
		expect(readingsOf(text)).toEqual([{ ...square, side: 'below', girth: 2 }])
	})
	test('on a pair the panel that was read, said either way', () => {
		const tape = { kind: 'tape', panel: 'left', from: 'front', to: 'u1', length: 50 }
		const old = [tape, { ...tape, panel: 'right' }]
		const table = 'kind,panel,from,to,length\ntape,guard right,u1,front,51\ntape,guard,left/front,left/u1,52\n'
		expect(readingsOf(enter(job('pair', old), table).text)).toEqual([
			{ ...tape, length: 52 },
			{ ...tape, panel: 'right', length: 51 },
		])
	})
	test('the ends of a length may change about, kinds are told apart, a distance goes by its mark', () => {
		const tape = { kind: 'tape', from: 'left/u1', to: 'right/u1', length: 50 }
		const line = { kind: 'toLine', mark: 'left/u1', line: ['front', 'rear'], distance: 3 }
		const table =
			'kind,mark,from,to,length\ntape,,right/u1,left/u1,51\nwidth,,left/u1,right/u1,52\ntoLine,left/u1,rear,front,4\ntoLine,right/u1,rear,front,4\n'
		expect(readingsOf(enter(job('centre', [tape, line]), table).text)).toEqual([
			{ ...tape, length: 51 },
			{ ...line, distance: 4 },
			{ kind: 'width', from: 'left/u1', to: 'right/u1', length: 52 },
			{ kind: 'toLine', mark: 'right/u1', line: ['rear', 'front'], distance: 4 },
		])
	})
	test('lines: where one crosses a station, and the width between two, go by their station, however it is written', () => {
		const crossing = { kind: 'crossing', edge: 'upper', station: 25.4, girth: 40, side: 'left' }
		const between = { kind: 'between', lines: ['upper', 'lower'], width: 12, station: 100 }
		const table = [
			'kind,line,station,girth,side,from,to,length',
			'crossing,upper,1 in,41,left,,,',
			'crossing,upper,50,42,left,,,',
			'between,,10 cm,,,lower,upper,13',
			'between,,,,,lower,upper,14',
		].join('\n')
		const more = { edges: ['upper', 'lower'].map((id) => ({ id, through: ['a', 'b'] })) }
		const { text, problems } = enter(job('centre', [crossing, between], more), table)
		expect(readingsOf(text)).toEqual([
			{ ...crossing, station: 25.4, girth: 41 },
			{ ...between, width: 13 },
			{ ...crossing, station: 50, girth: 42 },
			{ kind: 'between', lines: ['lower', 'upper'], width: 14 },
		])
		expect(problems).toEqual([])
		const unknown = enter(job('centre', []), 'kind,line,station,girth,side\ncrossing,uper,50,42,left\n')
		expect(unknown.problems.map(({ code }) => code)).toEqual(['NO_LINE_THERE'])
	})
	test('read twice in one table: both are kept; read twice before: nobody can tell which is meant, so that it is added', () => {
		const twice = enter(job('centre', []), 'mark,station,left\nu1,10,20\nu1,10,20.5\n')
		expect(readingsOf(twice.text)).toHaveLength(2)
		const corrected = enter(twice.text, 'mark,station,left\nu1,10,21\nu1,10,20\n')
		expect(readingsOf(corrected.text).map((each) => 'girth' in each && each.girth)).toEqual([20, 21])
		const third = enter(twice.text, 'mark,station,left\nu1,10,21\n')
		expect(readingsOf(third.text).map((each) => 'girth' in each && each.girth)).toEqual([20, 20.5, 21])
		expect(third.problems.map(({ code }) => code)).toContain('READ_AGAIN')
	})
	test('with, pull and squared count as figures do: they change what a reading says', () => {
		const tape = { kind: 'tape', from: 'front', to: 'left/u1', length: 50 }
		const { text } = enter(job('centre', [square, tape]), 'kind,from,to,length,pull\ntape,front,left/u1,50,tight\n')
		expect(readingsOf(text)).toEqual([square, { ...tape, pull: 'tight' }])
		const { panels } = enter(job('centre', [square, tape]), 'kind,from,to,length,pull\ntape,front,left/u1,50,pressed\n')
		expect(panels[0]).toMatchObject({ same: 1, changed: [], added: [] })
	})
	test('a list of readings that is none is left alone', () => {
		const odd = job('centre', []).replace('"readings": []', '"readings": "none"')
		const { text, problems } = enter(odd, 'mark,station,left\nu1,10,20\n')
		expect([text, problems.map(({ code }) => code)]).toEqual([odd, ['READINGS_NO_LIST']])
	})
})

describe('the text of the job', () => {
	const gap = fc.constantFrom('', ' ', '\n', '\n\t\t', ' // a remark, with [brackets] and "quotes"\n', ' /* so: , ] */ ')
	const reading = fc.record({
		kind: fc.constant('square'),
		mark: fc.constantFrom('a', 'b', 'c', 'd'),
		station: fc.integer({ min: -50, max: 50 }),
		girth: fc.integer({ min: 1, max: 90 }),
		side: fc.constantFrom('left', 'right'),
	})
	const unique = fc.uniqueArray(reading, { selector: ({ mark, side }) => `${side}/${mark}`, maxLength: 6 })

	test('any layout: the values are the old ones with the new, and nothing else of the text changes', () => {
		fc.assert(
			fc.property(
				unique,
				unique,
				fc.array(gap, { minLength: 40, maxLength: 40 }),
				fc.boolean(),
				fc.boolean(),
				(old, fresh, gaps, trailing, crlf) => {
					let i = 0
					const g = () => gaps[i++ % gaps.length] as string
					const item = (each: object) =>
						`{${g()}${Object.entries(each)
							.map(([key, value]) => `"${key}"${g()}:${g()}${JSON.stringify(value)}`)
							.join(`${g()},${g()}`)}${g()}}`
					const list = `[${g()}${old.map(item).join(`${g()},${g()}`)}${g()}${trailing && old.length > 0 ? `,${g()}` : ''}]`
					const plain = `{${g()}"format": 1, "unit": "mm", "panels": [${g()}{ "id": "p", "hand": "centre", "readings":${g()}${list}${g()}}${g()}] }\n`
					const text = crlf ? plain.replaceAll('\n', '\r\n') : plain
					const table = `mark,station,girth,side\n${fresh.map((f) => `${f.mark},${f.station},${f.girth},${f.side}`).join('\n')}\n`
					const now = enter(text, table).text
					const expected = old.map((before) => fresh.find((f) => f.mark === before.mark && f.side === before.side) ?? before)
					const added = fresh.filter((f) => !old.some((before) => f.mark === before.mark && f.side === before.side))
					expect(parse(now, [], { allowTrailingComma: true }).panels[0].readings).toEqual([...expected, ...added])
					// every remark is still there, in its order, and a text without news is the same text
					const remarks = (of: string) => of.match(/\/\/.*|\/\*.*?\*\//g)
					expect(remarks(now)).toEqual(remarks(text))
					if (crlf) expect(now.replaceAll('\r\n', '')).not.toContain('\n')
					expect(enter(now, table).text).toBe(now)
				},
			),
			{ numRuns: 300 },
		)
	})
})
