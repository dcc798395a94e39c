/** The marks of a panel: what its readings name, beside its datums. */
import type { Edge, Hand, Panel } from './schema.ts'

export interface MarkRef {
	readonly name: string
	readonly side?: 'left' | 'right'
}

/** "u3" or "left/u3", taken apart. */
export function readRef(ref: string): MarkRef {
	const [first, second] = ref.split('/')
	if (second === undefined) return { name: first! }
	return { name: second, side: first === 'left' ? 'left' : 'right' }
}

/** The mark that a step of a line names, bare or in an object. */
export function refOf(step: Edge['through'][number]): string {
	return typeof step === 'string' ? step : step.mark
}

/**
 * Every name that a reading or a datum of the panel gives, with the sides on which it was measured: left and right of a
 * centreline, or the left and right panel of a pair. No side: on the baseline, on a panel of one side, or not said.
 */
export function marksOf(panel: Panel): ReadonlyMap<string, ReadonlySet<'left' | 'right'>> {
	const marks = new Map<string, Set<'left' | 'right'>>()
	const add = (name: string, side?: string) => {
		const sides = marks.get(name) ?? new Set()
		if (side === 'left' || side === 'right') sides.add(side)
		marks.set(name, sides)
	}
	for (const datum of panel.datums) add(datum.id, datum.panel ?? datum.side)
	for (const reading of panel.readings) {
		const refs = refsOf(reading)
		if (reading.kind === 'square') add(reading.mark, reading.panel ?? reading.side)
		for (const { ref } of refs) {
			const { name, side } = readRef(ref)
			add(name, side ?? reading.panel)
		}
	}
	return marks
}

/** The references to marks in one reading, with the keys that hold them. */
export function refsOf(reading: Panel['readings'][number]): readonly { readonly ref: string; readonly key: string }[] {
	switch (reading.kind) {
		case 'square':
		case 'crossing':
		case 'between':
			return []
		case 'toLine':
			return [
				{ ref: reading.mark, key: 'mark' },
				{ ref: reading.line[0], key: 'line/0' },
				{ ref: reading.line[1], key: 'line/1' },
			]
		default:
			return [
				{ ref: reading.from, key: 'from' },
				{ ref: reading.to, key: 'to' },
			]
	}
}

/** How a line, stripe or field is handed where it does not say: both sides alike, or the one side that the panel has. */
export function handOf(panel: Panel, hand: Hand | undefined): Hand {
	if (hand) return hand
	return panel.hand === 'left' || panel.hand === 'right' ? panel.hand : 'mirrored'
}
