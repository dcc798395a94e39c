import { expect, test, vi } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type * as locate from '../../src/survey/locate.ts'
import { jobOf, marked } from '../scheme/jobs.ts'

// A fault of the program itself, put into the survey of the one panel that is called so.
vi.mock('../../src/survey/locate.ts', async (original) => {
	const real = await original<typeof locate>()
	return {
		...real,
		locateMarks: (input: Parameters<typeof real.locateMarks>[0]) => {
			if (input.panel.id === 'broken') throw new TypeError('nothing there')
			return real.locateMarks(input)
		},
	}
})

test('a fault in one panel is a problem that names it, and leaves the rest', () => {
	const panel = (id: string) => ({
		id,
		readings: marked([
			['a', 0, 10],
			['b', 70, 18],
			['c', 140, 19],
		]),
		edges: [{ id: 'line', through: ['a', 'b', 'c'] }],
		stripes: [{ id: 'st', edge: 'line', lay: 'outboard' as const, bands: [{ paint: 'gold', width: 8 }] }],
	})
	const result = compute(jobOf([panel('first'), panel('broken'), panel('last')]), defaultShop())
	expect(result.problems).toMatchObject([
		{ code: 'INTERNAL_FAULT', severity: 'error', path: '/panels/1', place: { panel: 'broken' } },
	])
	expect(result.problems[0]?.found).toContain('nothing there')
	expect(result.panels.map((p) => (p.pieces?.length ?? 0) > 0)).toEqual([true, false, true])
	expect(result.sheets?.sheets.length).toBeGreaterThan(0)
})
