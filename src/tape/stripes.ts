/** Reverse masks: stripes that are covered by one tape of their own width. */
import type { Curve } from '../chart/point.ts'
import type { Tape } from '../job/shop.ts'
import { directed } from '../stages/chains.ts'
import type { Part, Seen, Stage, StageEdge } from '../stages/parts.ts'

export interface TapedStripe {
	readonly edge: StageEdge
	/** its near edge, the stripe on the plus side */
	readonly curve: Curve
	readonly tape: Tape
	readonly widthMm: number
}

/** Of its two edges so much must be taped in this stage for one tape to stand for both. */
const BOTH_SHARE = 0.8
/** Bends and slanted ends make its two edges no more unlike than this, as a part of their length and in widths of the stripe: a ring 2 pi. */
const UNLIKE_SHARE = 0.05
const UNLIKE_WIDTHS = 7

/** The stripes of a stage for which there is stock as wide as they are, and the lines that are left. */
export function stripesOf(
	seen: Seen,
	stage: Stage,
	tapes: readonly Tape[],
	sameMm: number,
): { readonly stripes: readonly TapedStripe[]; readonly rest: readonly StageEdge[] } {
	const stripes: TapedStripe[] = []
	const gone = new Set<StageEdge>()
	seen.parts.forEach((part, index) => {
		const { band } = part
		if (!band?.even || stage.standing[index] !== 'closed') return
		const tape = nearestWidth(tapes, band.widthMm, sameMm)
		const edges = stage.edges.filter(({ kind, coveredParts }) => kind === 'line' && coveredParts.includes(index))
		// A line that goes on along another part is not this stripe's alone.
		if (!tape || edges.length === 0 || edges.some(({ coveredParts }) => coveredParts.length > 1)) return
		const borders = seen.borders.filter(({ id }) => edges.some((edge) => edge.borders.includes(id)))
		const of = (which: 'near' | 'far') => borders.filter(({ line }) => line === `${part.id}/${which}`)
		const lengthOf = (which: 'near' | 'far') => of(which).reduce((sum, { lengthMm }) => sum + lengthMm, 0)
		const all = lengthsOf(seen, part, index)
		if (lengthOf('near') < BOTH_SHARE * all.near || lengthOf('far') < BOTH_SHARE * all.far || all.near === 0) return
		// Where another stripe hides one of its edges the tape would not come to the other.
		if (Math.abs(all.near - all.far) > UNLIKE_SHARE * Math.max(all.near, all.far) + UNLIKE_WIDTHS * band.widthMm) return
		for (const border of of('near')) {
			const edge = edges.find((each) => each.borders.includes(border.id))
			const curve = directed(border, (each) => each === index)?.curve
			if (edge && curve)
				stripes.push({ edge: { ...edge, lines: [`${part.id}/near`, `${part.id}/far`] }, curve, tape, widthMm: band.widthMm })
		}
		for (const edge of edges) gone.add(edge)
	})
	return { stripes, rest: stage.edges.filter((edge) => !gone.has(edge)) }
}

function lengthsOf({ borders }: Seen, part: Part, index: number) {
	const of = (which: 'near' | 'far') =>
		borders
			.filter(({ line, plus, minus }) => line === `${part.id}/${which}` && (plus === index || minus === index))
			.reduce((sum, { lengthMm }) => sum + lengthMm, 0)
	return { near: of('near'), far: of('far') }
}

function nearestWidth(tapes: readonly Tape[], widthMm: number, sameMm: number): Tape | undefined {
	return tapes
		.filter(({ width }) => Math.abs(width - widthMm) <= sameMm + 1e-9)
		.sort((a, b) => Math.abs(a.width - widthMm) - Math.abs(b.width - widthMm) || a.width - b.width)[0]
}
