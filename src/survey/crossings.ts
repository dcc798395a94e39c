import type { ChartPoint } from '../chart/point.ts'
import { handOf, readRef, refOf } from '../job/marks.ts'
import type { Edge, Panel, Reading } from '../job/schema.ts'
import type { Folded } from './fold.ts'
import { crossingId, type MarkSide } from './named.ts'
import { findMark, type Survey } from './survey.ts'

type Crossing = Extract<Reading, { kind: 'crossing' }>

interface Placed {
	readonly at: ChartPoint
}

/** One more place put into a line where it lengthens the way least; at an end where it lies past it. */
export function inserted<T extends Placed>(line: readonly T[], one: T, closed: boolean): readonly T[] {
	const apart = (a: Placed, b: Placed) => Math.hypot(a.at.s - b.at.s, a.at.g - b.at.g)
	let best = line.length
	let least = Number.POSITIVE_INFINITY
	for (let i = closed ? 1 : 0; i <= line.length; i++) {
		const before = line[i - 1]
		const after = line[i] ?? (closed ? line[0] : undefined)
		const more =
			before && after ? apart(before, one) + apart(one, after) - apart(before, after) : apart((before ?? after) as T, one)
		if (more < least) {
			least = more
			best = i
		}
	}
	return [...line.slice(0, best), one, ...line.slice(best)]
}

/** The panel with the places where its lines cross stations put among the marks that they go through. */
export function withCrossings(panel: Panel, survey: Survey, folded: Folded): Panel {
	if (!panel.readings.some((reading) => reading.kind === 'crossing')) return panel
	const edges = panel.edges.map((edge) => {
		const hand = handOf(panel, edge.hand)
		const placeOf = (ref: string): ChartPoint | undefined => {
			const { name, side } = readRef(ref)
			if (side) return findMark(survey, ref)?.at
			if (hand === 'mirrored') return folded.marks[name]?.at
			return (hand === 'across' ? undefined : findMark(survey, `${hand}/${name}`)?.at) ?? findMark(survey, name)?.at
		}
		let line = edge.through.flatMap((step) => {
			const at = placeOf(refOf(step))
			return at ? [{ step, at }] : []
		})
		// A mark without a place is told of elsewhere: its line is not made.
		if (line.length < edge.through.length) return edge
		for (const ref of crossingRefs(panel, edge, survey, hand)) {
			const at = placeOf(ref)
			if (!at) continue
			const next = inserted(line, { step: { mark: ref, by: 'smooth', corner: false }, at }, edge.closed)
			const i = next.findIndex(({ step }) => refOf(step) === ref)
			const after = next[i + 1]?.step ?? (edge.closed ? next[0]?.step : undefined)
			// Of a stretch that was pulled taut it is a check, not a bend.
			const by = typeof after === 'object' ? after.by : 'smooth'
			line = next.map((one, k) => (k === i ? { ...one, step: { mark: ref, by, corner: false } } : one))
		}
		return { ...edge, through: line.map(({ step }) => step) }
	})
	return { ...panel, edges }
}

/** By station, each once; of a line across the centreline each side by itself. */
function crossingRefs(panel: Panel, edge: Edge, survey: Survey, hand: string): readonly string[] {
	const own = panel.readings.filter((r): r is Crossing => r.kind === 'crossing' && r.edge === edge.id)
	const ids = [...new Set([...own].sort((a, b) => a.station - b.station).map(crossingId))]
	if (hand !== 'across') return ids
	return ids.flatMap((id) => [`left/${id}`, id, `right/${id}`].filter((key) => survey.marks[key]))
}

/** Marks of a line on one side of the panel, in order, with their places; those without one are left out. */
export function lineMarks(
	panel: Panel,
	edge: Edge,
	side: MarkSide | undefined,
	places: ReadonlyMap<string, ChartPoint>,
): readonly LineMark[] {
	const keyOf = (ref: string): string | undefined => {
		const { name, side: own } = readRef(ref)
		if (own && side && own !== side) return undefined
		const sided = (own ?? side) ? `${own ?? side}/${name}` : name
		return places.has(sided) ? sided : places.has(name) ? name : undefined
	}
	let line = edge.through.flatMap((step): LineMark[] => {
		const key = keyOf(refOf(step))
		const said = typeof step === 'string' ? undefined : step
		return key ? [{ key, at: places.get(key) as ChartPoint, corner: said?.corner ?? false, pulled: said?.by === 'pulled' }] : []
	})
	const crossings = panel.readings
		.filter((r): r is Crossing => r.kind === 'crossing' && r.edge === edge.id)
		.sort((a, b) => a.station - b.station)
	for (const reading of crossings) {
		const key = keyOf(crossingId(reading))
		if (!key || line.length === 0 || line.some((mark) => mark.key === key)) continue
		line = [...inserted(line, { key, at: places.get(key) as ChartPoint, corner: false, pulled: false }, edge.closed)]
	}
	return line
}

export interface LineMark {
	readonly key: string
	readonly at: ChartPoint
	readonly corner: boolean
	/** the line comes here from the mark before as a taut tape lies */
	readonly pulled: boolean
}
