/** Jobs that no one would wish to get, and what becomes of them: never an exception, never a number that is none. */
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { unreadable } from '../job/jobs.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

type PanelInput = Partial<JobInput['panels'][number]>
const gold = (width: number) => ({ paint: 'gold', width })
const stripe = (more: object = {}) => ({ id: 'st', edge: 'line', lay: 'outboard' as const, bands: [gold(5)], ...more })
const line = (names: readonly string[], more: object = {}) => ({ id: 'line', through: [...names], ...more })
const guard = (f = 1): PanelInput['found'] => ({
	kind: 'revolved',
	crown: { radius: 310 * f },
	profile: { radius: 62 * f, arc: 170 * f },
	length: 500 * f,
})
const places = (list: readonly (readonly [string, number, number])[], f = 1) =>
	marked(list.map(([n, s, g]) => [n, s * f, g * f] as const))
const bowed: readonly (readonly [string, number, number])[] = [
	['a', 20, 20],
	['b', 150, 30],
	['c', 300, 32],
	['d', 450, 20],
]
const many = Array.from({ length: 300 }, (_, i) => [`m${i}`, 20 + 1.5 * i, 20 + 15 * Math.sin(i / 95)] as const)
const eight = Array.from({ length: 12 }, (_, i) => {
	const a = (2 * Math.PI * i) / 12
	return [`m${i}`, 200 + 100 * Math.sin(a), 30 + 25 * Math.sin(2 * a)] as const
})
const names = (list: readonly (readonly [string, number, number])[]) => list.map(([n]) => n)

const jobs: Readonly<Record<string, PanelInput>> = {
	'all marks at one station': {
		readings: places([
			['a', 100, 5],
			['b', 100, 25],
			['c', 100, 50],
		]),
		edges: [line(['a', 'b', 'c'], { front: 'runs-off', rear: 'runs-off' })],
		stripes: [stripe()],
	},
	'all marks at one place': {
		readings: places([
			['a', 100, 20],
			['b', 100, 20],
			['c', 100, 20],
		]),
		edges: [line(['a', 'b', 'c'])],
		stripes: [stripe()],
	},
	'two marks at one place': {
		readings: places([
			['a', 100, 20],
			['b', 100, 20],
		]),
		edges: [line(['a', 'b'])],
		stripes: [stripe()],
	},
	'two marks at one place, running off': {
		readings: places([
			['a', 100, 20],
			['b', 100, 20],
		]),
		edges: [line(['a', 'b'], { front: 'runs-off', rear: 'runs-off' })],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
	'marks out of order': {
		readings: places(bowed),
		edges: [line(['c', 'a', 'd', 'b'])],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
	'marks from rear to front': {
		readings: places(bowed),
		edges: [line(['d', 'c', 'b', 'a'])],
		stripes: [stripe({ front: { shape: 'raked', angleDeg: 20 } })],
	},
	'a mark twice': { readings: places(bowed), edges: [line(['a', 'b', 'b', 'c', 'a'])], stripes: [stripe()] },
	'a stripe wider than the panel': {
		readings: places(bowed),
		edges: [line(names(bowed))],
		stripes: [stripe({ lay: 'centred', bands: [gold(900)] })],
	},
	'a stripe far off its line': { readings: places(bowed), edges: [line(names(bowed))], stripes: [stripe({ offset: 3000 })] },
	'a line that crosses itself': {
		readings: places(eight),
		edges: [line(names(eight), { closed: true })],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line'] }],
	},
	'an open line that crosses itself': {
		readings: places([
			['a', 20, 10],
			['b', 300, 50],
			['c', 300, 0],
			['d', 20, 45],
		]),
		edges: [line(['a', 'b', 'c', 'd'])],
		stripes: [stripe({ front: { shape: 'rounded' } })],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
	'a ring of two marks': {
		readings: places([
			['a', 100, 10],
			['b', 150, 40],
		]),
		edges: [line(['a', 'b'], { closed: true })],
		stripes: [stripe()],
	},
	'a ring of three corners': {
		readings: places([
			['a', 100, 10],
			['b', 150, 40],
			['c', 90, 50],
		]),
		edges: [{ id: 'line', closed: true, through: ['a', 'b', 'c'].map((mark) => ({ mark, corner: true })) }],
		stripes: [stripe({ lay: 'inboard', bands: [gold(30)] })],
	},
	'300 marks': { readings: places(many), edges: [line(names(many))], stripes: [stripe()] },
	'ends longer than the line': {
		readings: places([
			['a', 100, 20],
			['b', 130, 20],
		]),
		edges: [line(['a', 'b'])],
		stripes: [stripe({ bands: [gold(60)], front: { shape: 'rounded' }, rear: { shape: 'pointed', length: 500 } })],
	},
	'two rakes that meet': {
		readings: places([
			['a', 100, 20],
			['b', 110, 20],
		]),
		edges: [line(['a', 'b'])],
		stripes: [stripe({ bands: [gold(40)], front: { shape: 'raked', angleDeg: 160 }, rear: { shape: 'raked', angleDeg: 160 } })],
	},
	'a taper to nothing': {
		readings: places(bowed),
		edges: [line(names(bowed))],
		stripes: [
			stripe({
				bands: [
					{
						paint: 'gold',
						width: [
							{ along: 0, width: 0 },
							{ along: 900, width: 0 },
						],
					},
				],
			}),
		],
	},
	'a taper with two widths at one length': {
		readings: places(bowed),
		edges: [line(names(bowed))],
		stripes: [
			stripe({
				bands: [
					{
						paint: 'gold',
						width: [
							{ along: 100, width: 5 },
							{ along: 100, width: 20 },
						],
					},
				],
			}),
		],
	},
	'an outline that crosses itself': {
		outline: outlineOf([
			[0, -40],
			[500, 60],
			[500, -40],
			[0, 60],
		]),
		readings: places(bowed),
		edges: [line(names(bowed), { rear: 'runs-off' })],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
	'an outline of no area': {
		outline: outlineOf([
			[0, 0],
			[500, 0],
			[250, 0],
		]),
		readings: places(bowed),
		edges: [line(names(bowed), { rear: 'runs-off' })],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
	'a hole larger than the panel': {
		outline: outlineOf([
			[0, -40],
			[500, -40],
			[500, 60],
			[0, 60],
		]),
		holes: [{ id: 'h', station: 200, girth: 0, side: 'above', diameter: 4000 }],
		readings: places(bowed),
		edges: [line(names(bowed), { rear: 'runs-off' })],
		stripes: [stripe()],
		fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
	},
}

const finite = (value: unknown): boolean =>
	typeof value === 'number'
		? Number.isFinite(value)
		: Array.isArray(value)
			? value.every(finite)
			: value !== null && typeof value === 'object'
				? Object.values(value).every(finite)
				: true

describe.each(['flat', 'revolved'] as const)('an odd job on a %s panel', (kind) => {
	test.each(Object.entries(jobs))('%s', (_, panel) => {
		const found = kind === 'flat' ? ({ kind: 'flat', length: 500, width: 120 } as const) : guard()
		const result = compute(jobOf([{ found, ...panel }]), defaultShop())
		for (const p of result.panels) {
			expect(finite(p.lines?.edges)).toBe(true)
			expect(finite(p.schemes?.map((s) => s.scheme))).toBe(true)
			expect(finite(p.pieces)).toBe(true)
		}
		expect(unreadable(result.problems)).toEqual([])
		for (const p of result.problems) expect(finite(p.place)).toBe(true)
	})
})

test.each([
	['5 mm', 0.01],
	['5 m', 10],
])('a panel of %s', (_, f) => {
	for (const found of [guard(f), { kind: 'flat', length: 500 * f, width: 120 * f } as const]) {
		const result = compute(
			jobOf([
				{
					found,
					readings: places(bowed, f),
					edges: [line(names(bowed), { rear: 'runs-off' })],
					stripes: [stripe({ bands: [gold(22 * f), { gap: 3 * f }, gold(4 * f)], front: { shape: 'raked', angleDeg: 60 } })],
					fields: [{ id: 'f', paint: 'green', between: ['line', 'outline'] }],
				},
			]),
			defaultShop(),
			{ until: 'pieces' },
		)
		expect(finite(result.panels[0]?.pieces)).toBe(true)
		expect(unreadable(result.problems)).toEqual([])
	}
})

test('what is wrong is said where it is', () => {
	const said = (panel: PanelInput) => compute(jobOf([{ found: guard(), ...panel }]), defaultShop(), { until: 'scheme' }).problems
	expect(said(jobs['a stripe wider than the panel'] as PanelInput).map((p) => p.path)).toContain('/panels/0/stripes/0/bands/0')
	expect(
		said(jobs['a stripe far off its line'] as PanelInput).some(
			(p) => p.path.startsWith('/panels/0/stripes/0') && p.severity === 'error',
		),
	).toBe(true)
	expect(said(jobs['all marks at one place'] as PanelInput).some((p) => p.path.startsWith('/panels/0/edges/0'))).toBe(true)
})
