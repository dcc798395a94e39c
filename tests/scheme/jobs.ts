import type { Chart } from '../../src/chart/chart.ts'
import type { ChartRegion } from '../../src/chart/point.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { type Job, type JobInput, jobSchema } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

type PanelInput = JobInput['panels'][number]

/** A job of these panels in two paints. */
export function jobOf(panels: readonly Partial<PanelInput>[], more: Partial<JobInput> = {}): Job {
	return jobSchema(more.unit ?? 'mm').parse({
		format: 1,
		title: 'test',
		unit: 'mm',
		paints: [
			{ id: 'gold', name: 'Gold', colour: '#c9a227' },
			{ id: 'green', name: 'Green', colour: '#2f6f5e' },
		],
		panels: panels.map((p, i) => ({ id: `panel-${i}`, hand: 'left', found: { kind: 'flat' }, ...p })),
		...more,
	})
}

/** Readings that place marks exactly enough: name, station, girth (negative: below, or left). */
export const marked = (
	places: readonly (readonly [string, number, number])[],
	centre = false,
): NonNullable<PanelInput['readings']> =>
	places.map(([mark, station, g]) => ({
		kind: 'square' as const,
		mark,
		station,
		girth: Math.abs(g),
		side: centre ? (g < 0 ? ('left' as const) : ('right' as const)) : g < 0 ? ('below' as const) : ('above' as const),
	}))

export const outlineOf = (places: readonly (readonly [number, number])[], centre = false) => ({
	points: places.map(([station, g]) => ({
		station,
		girth: Math.abs(g),
		side: centre ? (g < 0 ? ('left' as const) : ('right' as const)) : g < 0 ? ('below' as const) : ('above' as const),
	})),
})

export const schemeOf = (job: Job) => compute(job, defaultShop(), { until: 'scheme' })

/** The chart of the first panel. */
export function chartOf(result: Result): Chart {
	const chart = result.panels[0]?.shape?.now[0]?.chart
	if (!chart) throw new Error(result.problems.map((p) => p.found).join('; '))
	return chart
}

/** Area of a band or field of a flat panel, mm^2, by the shoelace formula; 0 of none. */
export const mm2 = (of: { readonly region: ChartRegion } | undefined): number =>
	(of?.region ?? []).reduce(
		(sum, loop) =>
			sum +
			loop.reduce((part, p, i) => {
				const q = loop[(i + 1) % loop.length] ?? p
				return part + (p.s * q.g - q.s * p.g) / 2
			}, 0),
		0,
	)
