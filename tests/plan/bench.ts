/** Panels through the plan: small ones made by hand, and the demo job with its tape. */
import { readFileSync } from 'node:fs'
import { compute } from '../../src/engine/compute.ts'
import { seenOf } from '../../src/engine/seen.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job, Paint } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { type GraphPart, graphOf, type PanelGraph } from '../../src/plan/graph.ts'
import type { Seen, Stage } from '../../src/stages/parts.ts'
import { stageOf } from '../../src/stages/stage.ts'
import { tapePanel } from '../../src/tape/panelTape.ts'

export const shop = defaultShop()

export const paint = (id: string, colour = '#808080', sprayed?: Partial<NonNullable<Paint['sprayed']>>): Paint => ({
	id,
	name: id.charAt(0).toUpperCase() + id.slice(1),
	colour,
	...(sprayed ? { sprayed: { as: 'colour', ...sprayed } } : {}),
})

export const part = (id: string, coats: readonly string[], areaMm2: number, band?: GraphPart['band']): GraphPart => ({
	...{ id, what: id, coats, areaMm2 },
	...(band ? { band } : {}),
})

/** Borders as [line, plus, minus, length]. */
export const graph = (
	parts: readonly GraphPart[],
	borders: readonly (readonly [string, number, number, number])[],
	panel = 'board',
): PanelGraph => ({
	...{ panel, hand: 'centre', prefix: panel, parts },
	borders: borders.map(([line, plus, minus, lengthMm], i) => ({ id: `${line}#${i}`, line, plus, minus, lengthMm })),
})

const file = 'fixtures/tarn-350/job.jsonc'
export const demo = loadJob(readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8'), file).value?.job as Job
const paints = new Map(demo.paints.map((each) => [each.id, each]))

const schemes = compute(demo, shop, { until: 'scheme' })
export const demoSeen: readonly Seen[] = schemes.panels.flatMap((panel, i) => seenOf(panel, `/panels/${i}`, paints).seen)

/** A panel of the demo, staged and taped in this order. */
export function taped(seen: Seen, order: readonly string[], first: Stage['mode'] = 'all-over') {
	const own = order.filter((each) => seen.parts.some(({ coats }) => coats.includes(each)))
	const stages = own.flatMap(
		(each, i) => stageOf({ seen, paints, order, paint: each, mode: i === 0 ? first : 'local', underlap: () => 2 }) ?? [],
	)
	const { prefix } = graphOf(seen)
	return { id: seen.panel, hand: seen.hand, prefix, seen, stages, tape: tapePanel(seen, stages, shop, prefix) }
}
