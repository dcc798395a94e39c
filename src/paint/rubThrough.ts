/** Where flatting and polishing go through clear first: swage lines, where the panel is sharp, and its rim. */
import type { Panel } from '../job/schema.ts'
import type { ClearPlan } from './clear.ts'

export interface RubThrough {
	readonly where: 'swage' | 'rim'
	/** of a swage line: counted across the sections, and between which places across it runs, mm */
	readonly number?: number
	readonly acrossMm?: readonly [number, number]
	/** read on one half, there on both */
	readonly bothSides?: boolean
	/** the thinnest that flatting, cutting or polishing leave on the flat, um: on an edge less was there and more comes off */
	readonly leastUm: number
}

/** The rim, and every swage line of a panel that was read in sections; nothing where nothing is taken off. */
export function rubThroughOf(panel: Panel, plan: ClearPlan): readonly RubThrough[] {
	const touched = plan.films.filter(({ takenUm }) => takenUm > 0)
	if (touched.length === 0) return []
	const leastUm = Math.min(...touched.map((film) => film.leastUm))
	return [...swagesOf(panel).map((swage) => ({ ...swage, leastUm })), { where: 'rim', leastUm }]
}

function swagesOf(panel: Panel): Omit<RubThrough, 'leastUm'>[] {
	const shape = panel.prepared?.shape ?? panel.found
	if (shape.kind !== 'sections') return []
	const first = shape.sections[0]
	return (first?.creases ?? []).map((_, i) => {
		const across = shape.sections.flatMap(({ creases }) => creases[i] ?? [])
		return {
			where: 'swage',
			number: i + 1,
			acrossMm: [Math.min(...across), Math.max(...across)],
			bothSides: first !== undefined && 'half' in first && first.half,
		}
	})
}
