/** Painted emblems: each becomes fields of its own paint within lines of its own outline, and stripes may be laid off those. */
import type { Curve } from '../chart/point.ts'
import { emblemParts, holeName, partName } from '../decal/emblem.ts'
import type { Decal, Edge, Field, Panel } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'
import { type DecalsInput, layOnSides } from './decals.ts'
import type { PanelEdge } from './edges.ts'

export interface WithEmblems {
	readonly panel: Panel
	readonly edges: readonly PanelEdge[]
}

/**
 * The panel with a field, and with lines to bound it, for each part of each painted emblem: the lines of an emblem in one part are
 * called as it is, so that borders are stripes laid off it. What is wrong with its place is told where decals are laid.
 */
export function withEmblems(input: DecalsInput): WithEmblems | undefined {
	const { panel } = input
	const painted = (panel.decals ?? []).flatMap((decal, index) => (decal.material === 'paint' ? [{ decal, index }] : []))
	if (painted.length === 0) return undefined
	const lines = new Map<
		string,
		{ readonly decal: Decal; readonly sdMm: number; readonly sided: { side: Side; curve: Curve }[] }
	>()
	const fields: Field[] = []
	for (const { decal, index } of painted) {
		for (const { placed, chart } of layOnSides(input, decal, index).laid) {
			const parts = emblemParts(chart, placed)
			const sdMm = Math.hypot(placed.place.sd.along, placed.place.sd.across)
			for (const [k, { outer, holes }] of parts.entries()) {
				const id = partName(decal.id, k, parts.length)
				const between = [outer, ...holes].map((curve, h) => {
					const name = h === 0 ? id : holeName(id, h)
					const line = lines.get(name) ?? { decal, sdMm, sided: [] }
					line.sided.push({ side: placed.side, curve: { ...curve, id: name } })
					lines.set(name, line)
					return name
				})
				if (!fields.some((field) => field.id === id)) fields.push(fieldOf(panel, decal, id, between))
			}
		}
	}
	const edges = [...lines].map(([id, { sdMm, sided, decal }]): PanelEdge => {
		const led = { front: 0, rear: 0 }
		const fitted = { curve: sided[0]?.curve as Curve, passes: [], named: [], known: [], led }
		return { id, hand: decal.hand ?? 'mirrored', fitted, sided: sided.map((one) => ({ edge: id, ...one, led })), sdMm }
	})
	const named = [...lines].map(([id, { decal }]) => edgeOf(decal, id))
	return { panel: { ...panel, edges: [...panel.edges, ...named], fields: [...panel.fields, ...fields] }, edges }
}

const edgeOf = (decal: Decal, id: string): Edge => ({
	...{ id, what: `outline of ${decal.what ?? decal.id}`, through: [], closed: true, front: 'at-mark', rear: 'at-mark' },
	...(decal.hand ? { hand: decal.hand } : {}),
})

/** It lies over every other field. */
const fieldOf = (panel: Panel, decal: Decal, id: string, between: string[]): Field => ({
	...{ id, what: decal.what ?? decal.id, paint: decal.paint as string, between },
	over: panel.fields.map((field) => field.id),
	...(decal.hand ? { hand: decal.hand } : {}),
})
