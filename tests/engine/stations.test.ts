import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

const text = readFileSync(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url), 'utf8')

/** The front mudguard by itself, with guides that may be out by so much, and the strips that they get. */
function mudguard(limitMm: number) {
	const { value } = loadJob(text, 'job.jsonc')
	if (!value) throw new Error('the demo job does not load')
	const { job } = value
	// Guides of its own for each line, where the tool would lay both sides over the crown at once.
	const panels = job.panels
		.filter(({ id }) => id === 'front-mudguard')
		.map((p) => ({ ...p, stripes: p.stripes.map((s) => ({ ...s, templates: 'guides' as const })) }))
	const { panels: made, problems } = compute({ ...job, panels, limits: { ...job.limits, shape: limitMm } }, defaultShop(), {
		until: 'pieces',
	})
	return { strips: made[0]?.stations?.length ?? 0, few: problems.filter(({ code }) => code === 'GUIDE_FEW_DOTS').length }
}

// The less a guide may drift by what is not known of the panel, the shorter it is, and the closer strips must be for three dots on each.
describe('strips for a mudguard', () => {
	test('whose guides may be long: at the distance of the shop', () => {
		// 612 mm of panel in five steps of about 120
		expect(mudguard(5)).toEqual({ strips: 6, few: 0 })
	})

	test('whose guides are short: as many as give each three dots', () => {
		const { strips, few } = mudguard(0.3)
		expect(few).toBe(0)
		expect(strips).toBeGreaterThan(9)
		expect(strips).toBeLessThanOrEqual(16)
	})

	test('whose guides are so short that no such number would do: no more than nine, and what is lacking is said', () => {
		const { strips, few } = mudguard(0.05)
		expect(few).toBeGreaterThan(0)
		expect(strips).toBeLessThanOrEqual(9)
	})
})
