import type { Panel } from '../job/schema.ts'
import type { Band } from '../scheme/scheme.ts'

/** Under this a band is laid by the width of its tape: one guide for its inner edge places it. */
export const BY_TAPE_MM = 6

/** The line that a band's stripe is laid off. */
export function edgeOf(panel: Panel, band: Band): string {
	return panel.stripes.find((s) => s.id === band.stripe)?.edge ?? ''
}

/** What a band is called: its stripe, and its number where there are several. */
export function bandName(panel: Panel, band: Band): string {
	const stripe = panel.stripes.find((s) => s.id === band.stripe)
	const painted = stripe?.bands.filter((b) => 'paint' in b).length ?? 1
	const number = band.id.slice(band.id.lastIndexOf('/') + 1)
	return `${stripe?.what ?? band.stripe}${painted > 1 ? `, band ${number}` : ''}`
}

/** The width a band was given, at its widest. */
export function widthOf(panel: Panel, band: Band): number {
	const painted = panel.stripes.find((s) => s.id === band.stripe)?.bands.filter((b) => 'paint' in b) ?? []
	const given = painted[Number(band.id.slice(band.id.lastIndexOf('/') + 1)) - 1]
	if (!given || !('paint' in given)) throw new RangeError(`${band.id} is no band of its panel`)
	return typeof given.width === 'number' ? given.width : Math.max(...given.width.map((w) => w.width))
}
