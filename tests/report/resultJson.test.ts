import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { polyline } from '../../src/chart/region.ts'
import { closestOnPolyline } from '../../src/plane/closest.ts'
import { signedArea } from '../../src/plane/polyline.ts'
import { resultData, resultJson } from '../../src/report/resultJson.ts'
import { type ResultData, resultSchema, resultSchemaFile } from '../../src/report/resultSchema.ts'
import { writeJson } from '../../src/report/writeJson.ts'
import { COVERS, GUARD, resultOf } from './small.ts'

const covers = resultOf(COVERS)
const guard = resultOf(GUARD)

test('the written text reads back by its own schema, without a key that the schema does not know', () => {
	for (const result of [covers, guard]) {
		const text = resultJson(result, { version: '1.2.3', files: ['sheets.pdf', 'result.json'] })
		const read = resultSchema.safeParse(JSON.parse(text))
		expect(read.error?.issues ?? []).toEqual([])
		expect(read.data?.files).toEqual(['sheets.pdf', 'result.json'])
		expect(read.data?.madeBy).toBe('Stripewright 1.2.3')
	}
})

test('the same result gives the same text', () => {
	expect(resultJson(resultOf(COVERS))).toBe(resultJson(covers))
})

test('docs/result.schema.json is the schema of today', () => {
	const { path, text } = resultSchemaFile()
	expect(readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')).toBe(text)
})

describe('what it says', () => {
	const data = JSON.parse(resultJson(covers)) as ResultData
	const panel = data.panels[0]!

	test('every reading of the job is there with what it is off by', () => {
		// a square reading is two numbers, a tape one
		expect(panel.readings).toHaveLength(2 * (3 * 2 + 1))
		for (const { value, fitted, residual } of panel.readings!) expect(residual).toBeCloseTo(fitted - value, 3)
	})

	test('marks: datums stand where they were given, measured ones have a ±', () => {
		expect(panel.marks!.filter(({ datum }) => datum).map(({ id, at }) => [id, at])).toEqual([
			['front', [0, 0]],
			['rear', [180, 0]],
		])
		for (const { datum, sd } of panel.marks!) expect(sd.s > 0 && sd.g > 0).toBe(!datum)
	})

	test('a field written as loops has the area that is written beside it', () => {
		// a flat panel: the shoelace formula on (s, g)
		for (const { region, areaMm2 } of panel.fields!) {
			const area = region.reduce((sum, loop) => sum + signedArea(loop.map(([x, y]) => ({ x, y }))), 0)
			expect(Math.abs(area - areaMm2)).toBeLessThan(0.5)
		}
	})

	test('pieces and sheets: every piece lies on a sheet, and the check square is 100 mm', () => {
		const onSheets = new Set(data.sheets!.flatMap(({ pieceIds }) => pieceIds))
		expect(panel.pieces!.map(({ id }) => id).filter((id) => !onSheets.has(id))).toEqual([])
		for (const { checkSquare: box } of data.sheets!) {
			expect([box.maxX - box.minX, box.maxY - box.minY].map((mm) => Math.round(mm * 1e3) / 1e3)).toEqual([100, 100])
		}
	})

	test('lines are written within 0.01 mm of the line', () => {
		const sided = covers.panels[0]!.lines!.edges[0]!.sided[0]!
		const chart = covers.panels[0]!.shape!.now[0]!.chart
		const written = panel.edges![0]!.sides[0]!.points.map(([x, y]) => ({ x, y }))
		const off = polyline(chart, sided.curve, 0.0005).map((p) => closestOnPolyline({ x: p.s, y: p.g }, written).distance)
		// and the rounding of a point
		expect(Math.max(...off)).toBeLessThanOrEqual(0.01 + 0.0001)
	})

	test('brief: marks and lines, no pieces and no sheets', () => {
		const brief = resultData(covers, { brief: true })
		expect(brief.sheets).toBeUndefined()
		expect(brief.panels[0]!.pieces).toBeUndefined()
		expect(brief.panels[0]!.marks).toHaveLength(8)
	})
})

describe('the writer', () => {
	test('what it writes reads back equal, to a ten-thousandth', () => {
		fc.assert(
			fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
				expect(apart(JSON.parse(writeJson(value)), value)).toBeLessThanOrEqual(0.5e-4 * (1 + 1e-9))
			}),
		)
	})

	test('no -0, no exponent below a ten-thousandth, and null for what is no number', () => {
		expect(writeJson([-0, -0.00001, 1e-7, 0.00016, Number.NaN])).toBe('[0, 0, 0, 0.0002, null]\n')
	})

	test('points on one line, absent values left out', () => {
		expect(
			writeJson({
				line: [
					[1, 2.00004],
					[3, 4],
				],
				gone: undefined,
			}),
		).toBe('{\n\t"line": [[1, 2], [3, 4]]\n}\n')
	})
})

/** The largest difference between the numbers of two alike values; Infinity where they are not alike. */
function apart(a: unknown, b: unknown): number {
	if (typeof a === 'number' && typeof b === 'number') return Math.abs(a - b)
	if (a === null || typeof a !== 'object' || b === null || typeof b !== 'object') return a === b ? 0 : Number.POSITIVE_INFINITY
	if (Array.isArray(a) !== Array.isArray(b) || Object.keys(a).join('\n') !== Object.keys(b).join('\n'))
		return Number.POSITIVE_INFINITY
	return Math.max(0, ...Object.entries(a).map(([key, each]) => apart(each, (b as Record<string, unknown>)[key])))
}
