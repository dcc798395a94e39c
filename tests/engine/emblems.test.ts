/** Painted emblems: masked and sprayed like any field, their borders laid off their own outlines. */
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { compute } from '../../src/engine/compute.ts'
import { crossCheck } from '../../src/job/crossCheck.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { jobOf, outlineOf } from '../scheme/jobs.ts'

type PanelInput = JobInput['panels'][number]

const artwork: JobInput['artwork'] = [
	{ id: 'oval', shape: { kind: 'ellipse', width: 60, height: 24 } },
	{ id: 'plate', shape: { kind: 'rectangle', width: 60, height: 24, corner: 5 } },
	{
		id: 'two',
		shape: {
			kind: 'traced',
			loops: [
				[
					[0, 0],
					[20, 0],
					[20, 20],
					[0, 20],
				].map((at) => ({ at: at as [number, number], corner: true })),
				[
					[5, 5],
					[15, 5],
					[15, 15],
					[5, 15],
				].map((at) => ({ at: at as [number, number], corner: true })),
				[
					[30, 0],
					[40, 0],
					[40, 20],
					[30, 20],
				].map((at) => ({ at: at as [number, number], corner: true })),
			],
		},
	},
]
const outline = outlineOf([
	[0, 0],
	[240, 0],
	[240, 120],
	[0, 120],
])
const fields: PanelInput['fields'] = [{ id: 'all', paint: 'green', between: ['outline'] }]
const emblem = (of: string): NonNullable<PanelInput['decals']>[number] => ({
	...{ id: 'badge', artwork: of, material: 'paint', paint: 'gold' },
	place: { kind: 'spot', station: 120, girth: 60, side: 'above', angle: 12 },
})

function made(panel: Partial<PanelInput>) {
	const job = jobOf([{ outline, fields, ...panel }], { artwork })
	expect(crossCheck(job)).toEqual([])
	const result = compute(job, defaultShop(), { until: 'scheme', paintwork: true })
	const chart = result.panels[0]?.shape?.now[0]?.chart
	const scheme = result.panels[0]?.schemes?.[0]?.scheme
	if (!chart || !scheme) throw new Error(result.problems.map(({ found }) => found).join('; '))
	return { result, chart, scheme, work: result.paintwork?.panels[0] }
}

describe('an emblem that is painted', () => {
	test('is a field of its own paint, as large as its outline', () => {
		const { chart, scheme, work, result } = made({ decals: [emblem('oval')] })
		const field = scheme.fields.find((each) => each.field === 'badge')
		// Area of an ellipse: pi a b.
		expect(area(chart, field?.region ?? [])).toBeCloseTo(Math.PI * 30 * 12, 0)
		const part = work?.seen.parts.find(({ id }) => id === 'badge/left')
		expect(part?.coats).toEqual(['gold'])
		expect(work?.proof.holds).toBe(true)
		expect(result.problems.filter(({ severity }) => severity === 'error')).toEqual([])
	})

	test('is taped or masked without a gap, and nothing of it is covered where it is sprayed', () => {
		const { work } = made({ decals: [emblem('plate')] })
		for (const { gap } of work?.tape ?? []) {
			expect(gap.widestMm).toBeLessThanOrEqual(0.1)
			expect(gap.overMm2).toBeLessThan(1)
		}
		const lines = work?.tape.flatMap(({ runs, knives }) => [...runs, ...knives]).length ?? 0
		expect(lines).toBeGreaterThan(0)
	})

	test('has a border laid off its outline, as wide as it says all round', () => {
		const stripes: PanelInput['stripes'] = [{ id: 'edge', edge: 'badge', lay: 'outboard', bands: [{ paint: 'gold', width: 2 }] }]
		const { chart, scheme } = made({ decals: [emblem('plate')], stripes })
		const band = scheme.bands.find(({ stripe }) => stripe === 'edge')
		// Steiner: a parallel body of distance d has d P + pi d^2 more; P of a rounded rectangle is 2 (w + h) - 8 r + 2 pi r.
		const round = 2 * (60 + 24) - 8 * 5 + 2 * Math.PI * 5
		expect(area(chart, band?.region ?? [])).toBeCloseTo(2 * round + Math.PI * 4, 0)
	})

	test('in parts and with a hole is a field for each part', () => {
		const { chart, scheme, work } = made({ decals: [emblem('two')] })
		const areas = scheme.fields
			.filter(({ field }) => field.startsWith('badge'))
			.map(({ field, region }) => [field, area(chart, region)] as const)
		expect(areas.map(([name]) => name).sort()).toEqual(['badge-1', 'badge-2'])
		expect(areas.map(([, mm2]) => Math.round(mm2)).sort((a, b) => a - b)).toEqual([200, 300])
		expect(work?.proof.holds).toBe(true)
	})

	test('its border is no neighbour of its own, and its name is no other line', () => {
		const stripes: PanelInput['stripes'] = [
			{ id: 'border', edge: 'badge', lay: 'outboard', bands: [{ paint: 'green', width: 3 }] },
		]
		const { result } = made({ stripes, decals: [emblem('plate')] })
		expect(result.problems.filter(({ code }) => code.startsWith('DECAL'))).toEqual([])
		const taken = jobOf([{ outline, fields, decals: [{ ...emblem('plate'), id: 'all' }] }], { artwork })
		expect(crossCheck(taken).map(({ code }) => code)).toEqual(['EMBLEM_NAME_TAKEN'])
	})
})
