/** Panels as they are to be seen, and their stages, for tests of what stands on them. */
import { readFileSync } from 'node:fs'
import type { ChartPoint } from '../../src/chart/point.ts'
import { toChart, toPlane } from '../../src/chart/region.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { chartedSchemes } from '../../src/engine/panelResult.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job, Paint, Panel } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { Scheme } from '../../src/scheme/scheme.ts'
import { bordersOf } from '../../src/stages/borders.ts'
import type { Seen, Stage } from '../../src/stages/parts.ts'
import type { Opened } from '../../src/stages/stacks.ts'
import { stageOf } from '../../src/stages/stage.ts'
import { fewer, visibleParts } from '../../src/stages/visible.ts'
import { jobOf, outlineOf } from '../scheme/jobs.ts'

export interface Shown {
	readonly panel: Panel
	readonly scheme: Scheme
	readonly seen: Seen
}

export function demoJob(): Job {
	const { value } = loadJob(readFileSync(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url), 'utf8'), 'job.jsonc')
	if (!value) throw new Error('the demo job does not load')
	return value.job
}

export const paintsOf = (job: Job): ReadonlyMap<string, Paint> => new Map(job.paints.map((paint) => [paint.id, paint]))

/** Every panel of a job from every hand it is seen from. */
export function shownOf(job: Job, result: Result = compute(job, defaultShop(), { until: 'scheme' })): readonly Shown[] {
	const paints = paintsOf(job)
	return result.panels.flatMap((each) =>
		chartedSchemes(each).map(({ hand, chart, scheme }) => {
			const whole = each.lines?.area?.region
			if (!whole) throw new Error(each.problems.map(({ found }) => found).join('; '))
			const area = toChart(fewer(toPlane(whole)))
			const { panel } = each
			const { parts } = visibleParts({ chart, panel, path: '', scheme, paints, area })
			const borders = bordersOf(chart, panel, scheme, parts)
			return { panel, scheme, seen: { panel: each.id, hand, chart, area, parts, borders } }
		}),
	)
}

/** The stages of a panel in an order of paints, laps of 2 mm. */
export const stagesOf = (
	seen: Seen,
	paints: ReadonlyMap<string, Paint>,
	order: readonly string[],
	first: Stage['mode'] = 'local',
): readonly Stage[] =>
	order.flatMap((paint, i) => stageOf({ seen, paints, order, paint, mode: i === 0 ? first : 'local', underlap: () => 2 }) ?? [])

/** As if everything were taped without a fault. */
export const openedBy = (stages: readonly Stage[]): readonly Opened[] =>
	stages.map(({ number, paint, open }) => ({ stage: number, paint, open }))

type PanelInput = Parameters<typeof jobOf>[0][number]

/** A flat side panel 300 by 160 mm with a band of `band` along it, in fields of two paints above and below. */
export function stripedJob(paints: Job['paints'], above: string, below: string, band: string): Job {
	const panel: PanelInput = {
		outline: outlineOf([
			[0, -80],
			[300, -80],
			[300, 80],
			[0, 80],
		]),
		readings: [
			{ kind: 'square', mark: 'm1', station: 0, girth: 0, side: 'above' },
			{ kind: 'square', mark: 'm2', station: 300, girth: 0, side: 'above' },
		],
		edges: [{ id: 'line', through: ['m1', { mark: 'm2', by: 'pulled' }], front: 'runs-off', rear: 'runs-off' }],
		stripes: [{ id: 'coach', edge: 'line', lay: 'centred', bands: [{ paint: band, width: 12 }] }],
		fields: [
			{ id: 'upper', paint: above, between: ['line', 'outline'], seed: { station: 100, girth: 40, side: 'above' } },
			{ id: 'lower', paint: below, between: ['line', 'outline'], seed: { station: 100, girth: 40, side: 'below' } },
		],
	}
	return jobOf([panel], { paints: [...paints] })
}

/** A small generator of numbers in [0, 1) (Park & Miller, 1988): the same seed gives the same places. */
export function randomOf(seed: number): () => number {
	let x = seed % 2147483647
	return () => {
		x = (x * 48271) % 2147483647
		return x / 2147483647
	}
}

/** Places spread over the box of a region. */
export function placesOver(region: readonly (readonly ChartPoint[])[], count: number, random: () => number): ChartPoint[] {
	const all = region.flat()
	const range = (values: readonly number[]) => [Math.min(...values), Math.max(...values)] as const
	const [s0, s1] = range(all.map(({ s }) => s))
	const [g0, g1] = range(all.map(({ g }) => g))
	return Array.from({ length: count }, () => ({ s: s0 + (s1 - s0) * random(), g: g0 + (g1 - g0) * random() }))
}
