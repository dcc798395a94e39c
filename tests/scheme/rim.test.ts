import { describe, expect, test } from 'vitest'
import type { JobInput } from '../../src/job/schema.ts'
import { jobOf, marked, mm2, outlineOf, schemeOf } from './jobs.ts'

type PanelInput = JobInput['panels'][number]

const schemed = (panel: Partial<PanelInput>) => {
	const result = schemeOf(jobOf([panel]))
	const scheme = result.panels[0]?.schemes?.[0]?.scheme
	return {
		codes: result.problems.map((p) => p.code),
		problems: result.problems,
		bands: scheme?.bands ?? [],
		fields: scheme?.fields ?? [],
	}
}
const gold = (width: number) => [{ paint: 'gold', width }]
const straight = marked([
	['a', 0, 0],
	['b', 100, 0],
	['c', 200, 0],
])
const line = { id: 'line', through: ['a', 'b', 'c'] }

describe('a panel whose rim was not measured', () => {
	test('does not cut its bands', () => {
		const { codes, bands } = schemed({
			readings: straight,
			edges: [{ ...line, front: 'runs-off', rear: 'runs-off' }],
			stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: gold(60) }],
		})
		expect(codes).toEqual([])
		const g = bands[0]?.region.flat().map((p) => p.g) ?? []
		const s = bands[0]?.region.flat().map((p) => p.s) ?? []
		expect(Math.max(...g) - Math.min(...g)).toBeCloseTo(60, 3)
		// A rectangle as long as its line.
		expect(mm2(bands[0])).toBeCloseTo(60 * (Math.max(...s) - Math.min(...s)), 1)
	})

	test('has no field up to that rim', () => {
		for (const field of [
			{ id: 'f', paint: 'green', between: ['outline'] },
			{ id: 'f', paint: 'green', between: ['line', 'outline'] },
			{ id: 'f', paint: 'green', between: ['line'], seed: { station: 100, girth: 10, side: 'above' as const } },
		]) {
			const { problems, fields } = schemed({ readings: straight, edges: [line], fields: [field] })
			expect(problems).toMatchObject([{ code: 'FIELD_NO_OUTLINE', severity: 'error', path: '/panels/0/fields/0' }])
			expect(fields).toEqual([])
		}
	})

	test('has a field that its lines enclose', () => {
		const ring = Array.from({ length: 12 }, (_, i) => {
			const a = (2 * Math.PI * i) / 12
			return [`m${i}`, 100 + 50 * Math.cos(a), 80 + 50 * Math.sin(a)] as const
		})
		const { codes, fields } = schemed({
			readings: marked(ring),
			edges: [{ id: 'ring', through: ring.map(([name]) => name), closed: true }],
			fields: [{ id: 'f', paint: 'green', between: ['ring'] }],
		})
		expect(codes).toEqual([])
		// A circle whose marks are read to half a millimetre: the smooth line keeps to its radius within that.
		expect(Math.abs(Math.sqrt(mm2(fields[0]) / Math.PI) - 50)).toBeLessThan(0.5)
	})
})

describe('a line that runs off at its rear end only', () => {
	const rect = (top: number) =>
		outlineOf([
			[-30, -40],
			[230, -40],
			[230, top],
			[-30, top],
		])
	const stripe = { id: 'st', edge: 'line', lay: 'outboard' as const, bands: gold(20) }

	test('is cut by the rim there, and nowhere else', () => {
		const { codes, bands } = schemed({
			outline: rect(60),
			readings: straight,
			edges: [{ ...line, rear: 'runs-off' }],
			stripes: [stripe],
		})
		expect(codes).toEqual([])
		expect(mm2(bands[0])).toBeCloseTo(230 * 20, 1)
	})

	test('is outside the panel along its side', () => {
		const { codes } = schemed({
			outline: rect(15),
			readings: straight,
			edges: [{ ...line, rear: 'runs-off' }],
			stripes: [stripe],
		})
		expect(codes).toEqual(['BAND_OUTSIDE'])
	})

	test('may leave over a slanting rim', () => {
		const outline = outlineOf([
			[-30, -40],
			[250, -40],
			[190, 60],
			[-30, 60],
		])
		const { codes, bands } = schemed({ outline, readings: straight, edges: [{ ...line, rear: 'runs-off' }], stripes: [stripe] })
		expect(codes).toEqual([])
		// The rim is at 250 - 0.6 (g + 40): a trapezium between g = 0 and 20.
		expect(mm2(bands[0])).toBeCloseTo(((226 + 214) / 2) * 20, 1)
	})

	test('is beyond the chart along its side', () => {
		const { codes } = schemed({
			found: { kind: 'flat', front: -30, length: 260, width: 15 },
			readings: straight,
			edges: [{ ...line, rear: 'runs-off' }],
			stripes: [stripe],
		})
		expect(codes).toContain('CHART_LIMIT')
	})
})

describe('a mirrored stripe against its own other side', () => {
	const centre = (g: readonly number[], lay: 'inboard' | 'outboard' | 'centred', width: number) =>
		schemed({
			hand: 'centre',
			readings: marked(
				g.flatMap((x, i) => [[`m${i}`, 80 * i, x] as const, ...(x === 0 ? [] : [[`m${i}`, 80 * i, -x] as const])]),
				true,
			),
			edges: [{ id: 'line', through: g.map((_, i) => `m${i}`), hand: 'mirrored' }],
			stripes: [{ id: 'st', edge: 'line', lay, bands: gold(width) }],
		}).codes

	test('overlap and gap are told', () => {
		expect(centre([20, 20, 20], 'inboard', 25)).toEqual(['STRIPES_CROSS'])
		expect(centre([20, 20, 20], 'inboard', 19.9)).toEqual(['GAP_TOO_NARROW'])
		expect(centre([20, 20, 20], 'inboard', 15)).toEqual([])
	})

	test('a line that starts on the centreline meets its other side there', () => {
		expect(centre([0, 20, 40], 'centred', 4)).toEqual([])
	})
})
