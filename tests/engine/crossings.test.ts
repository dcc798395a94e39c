import { expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { crossCheck } from '../../src/job/crossCheck.ts'
import { jobSchema } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

const job = (readings: object[], edge: object = {}) =>
	jobSchema('mm').parse({
		...{ format: 1, title: 'crossings', unit: 'mm', paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }] },
		panels: [
			{
				...{ id: 'cover', hand: 'right', found: { kind: 'flat' }, datums: [{ id: 'front', station: 0 }] },
				readings: [
					...[0, 100, 200, 300].map((station, i) => ({
						...{
							kind: 'square',
							mark: `u${i}`,
							station,
							girth: 60 + 0.0004 * (station - 150) ** 2,
							side: 'above',
							squared: 't-strip',
						},
					})),
					...readings,
				],
				edges: [{ id: 'upper', through: ['u0', 'u1', 'u2', 'u3'], ...edge }],
			},
		],
	})
const crossing = (station: number, girth: number, more: object = {}) => ({
	...{ kind: 'crossing', edge: 'upper', station, girth, side: 'above', squared: 't-strip', ...more },
})
const lineOf = (made: ReturnType<typeof compute>) => made.panels[0]!.lines!.edges[0]!.fitted

test('where the line crosses stations stands among its marks by place, in whatever order it was read', () => {
	const on = (s: number) => 60 + 0.0004 * (s - 150) ** 2
	const made = compute(
		job([crossing(350, on(350)), crossing(150, on(150)), crossing(-40, on(-40)), crossing(250, on(250))]),
		defaultShop(),
		{
			until: 'edges',
		},
	)
	expect(made.problems).toEqual([])
	expect(lineOf(made).passes.map(({ key }) => key)).toEqual([
		...['upper@-40', 'u0', 'u1', 'upper@150', 'u2', 'upper@250', 'u3', 'upper@350'],
	])
	for (const { offMm } of lineOf(made).passes) expect(Math.abs(offMm)).toBeLessThan(0.05)
})

test('of a line that runs the other way, and of a stretch that was pulled taut', () => {
	const back = compute(job([crossing(150, 60), crossing(50, 64)], { through: ['u3', 'u2', 'u1', 'u0'] }), defaultShop(), {
		until: 'edges',
	})
	expect(lineOf(back).passes.map(({ key }) => key)).toEqual(['u0', 'upper@50', 'u1', 'upper@150', 'u2', 'u3'])
	// From u1 to u2 the taut tape runs straight: the crossing checks it.
	const taut = compute(job([crossing(150, 63)], { through: ['u0', 'u1', { mark: 'u2', by: 'pulled' }, 'u3'] }), defaultShop(), {
		until: 'edges',
	})
	const pass = lineOf(taut).passes.find(({ key }) => key === 'upper@150')!
	expect(Math.abs(Math.abs(pass.offMm) - 2)).toBeLessThan(1e-6)
	expect(taut.problems).toMatchObject([{ code: 'EDGE_LEAVES_MARK', path: '/panels/0/readings/4' }])
})

test('what is wrong with a mark is still told where the job lists it', () => {
	const made = compute(
		job([crossing(50, 64), crossing(150, 60), crossing(250, 64), { kind: 'square', mark: 'u9', station: 1, girth: 0 }]),
		defaultShop(),
		{
			until: 'edges',
		},
	)
	expect(made.problems).toEqual([])
	const off = job([crossing(50, 64), crossing(150, 60), crossing(250, 64)])
	const u2 = off.panels[0]!.readings[2] as { girth: number }
	u2.girth = 69
	const told = compute(off, defaultShop(), { until: 'edges' }).problems.filter(({ code }) => code === 'EDGE_ODD_MARK')
	expect(told.map(({ path }) => path)).toEqual(['/panels/0/edges/0/through/2'])
})

test('names of lines that are not there, a width of a line to itself, a side that there is none of', () => {
	const problems = crossCheck(
		job([
			crossing(50, 64, { edge: 'uper' }),
			{ kind: 'crossing', edge: 'upper', station: 50, girth: 64 },
			{ kind: 'between', lines: ['upper', 'lower'], width: 20 },
			{ kind: 'between', lines: ['upper', 'upper'], width: 20, side: 'left' },
		]),
	)
	expect(problems.map(({ code, path }) => `${code} ${path.slice('/panels/0/readings/'.length)}`)).toEqual([
		'UNKNOWN_EDGE 4/edge',
		'SIDE_MISSING 5',
		'UNKNOWN_EDGE 6/lines/1',
		'SAME_EDGE 7/lines/1',
		'SIDE_WRONG 7/side',
	])
	expect(problems[0]!.fix).toContain('"upper"')
})
