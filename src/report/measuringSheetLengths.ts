/** Lengths worth reading before anything is known of a panel: they square off the stations and find a slip. */
import { handOf, readRef, refOf } from '../job/marks.ts'
import type { Edge, Panel } from '../job/schema.ts'
import type { HandSide, LengthRow } from './measuringSheetBlanks.ts'
import type { RoughPlaces } from './measuringSheetPlaces.ts'

/** Shorter than this a tape says little of a mark's place, mm. */
const SHORT_MM = 40

/**
 * From each datum to the next; to each mark of a line from the datums ahead of it and behind it (at its middle marks from one): alike
 * left and right, they square off the station; across the crown at each mark; diagonals between the ends and the middle. Never over
 * what interrupts the baseline, as far as is known.
 */
export function suggestedLengths(panel: Panel, places: RoughPlaces): readonly LengthRow[] {
	return [...betweenDatums(panel), ...panel.edges.flatMap((edge) => alongLine(panel, edge, places))]
}

type Sides = readonly (HandSide | undefined)[]

function betweenDatums(panel: Panel): readonly LengthRow[] {
	const sides: Sides = panel.hand === 'pair' ? ['left', 'right'] : [undefined]
	const once = [...new Map(panel.datums.map((datum) => [datum.id, datum])).values()].toSorted((a, b) => a.station - b.station)
	return once.slice(1).flatMap((datum, i): LengthRow[] => {
		const before = once[i]
		if (!before) return []
		const blanks = sides.map((side) => ({ from: before.id, to: datum.id, before: [], ...(side ? { side } : {}) }))
		return [{ kind: 'tape', group: 'datums', blanks }]
	})
}

function alongLine(panel: Panel, edge: Edge, places: RoughPlaces): readonly LengthRow[] {
	const names = edge.through.map(refOf).filter((ref) => readRef(ref).side === undefined)
	const hand = handOf(panel, edge.hand)
	if (hand === 'across' || names.length === 0) return []
	const two = panel.hand === 'centre' || panel.hand === 'pair'
	const sides: Sides = !two ? [undefined] : hand === 'mirrored' ? ['left', 'right'] : [hand]
	const chief = new Set([0, Math.floor((names.length - 1) / 2), names.length - 1])
	const rows = names.flatMap((name, i) => squaring(panel, name, sides, places, chief.has(i) ? 2 : 1))
	if (panel.hand !== 'centre' || sides.length < 2) return rows
	const across = names.filter((name) => !interrupted(panel, places.of(name, 'left'), places.of(name, 'right')))
	rows.push(...across.map((name) => over('across', [[name, name]])))
	const ends = [...chief].map((i) => names[i] as string)
	for (const [i, name] of ends.entries()) {
		const next = ends[i + 1]
		if (next === undefined || interrupted(panel, places.of(name, 'left'), places.of(next, 'right'))) continue
		const both = [
			[name, next],
			[next, name],
		] as const
		rows.push(over('diagonals', both))
	}
	return rows
}

/** Two tapes from datums on the baseline meet at the mark: where left and right agree, the station is square. */
function squaring(panel: Panel, mark: string, sides: Sides, places: RoughPlaces, most: number): LengthRow[] {
	const at = places.of(mark, sides[0])
	if (!at) return []
	const near = panel.datums
		.filter(({ girth }) => girth === 0)
		.map(({ id, station }) => ({ id, behind: station > at.s, off: Math.hypot(station - at.s, at.g) }))
		.filter(({ off }) => off >= SHORT_MM)
		.toSorted((a, b) => a.off - b.off)
	const unique = near.filter(({ id }, i) => near.findIndex((other) => other.id === id) === i)
	const ahead = unique.find(({ behind }) => !behind)
	const behind = unique.find((datum) => datum.behind)
	const pair = [ahead, behind].filter((datum) => datum !== undefined).toSorted((a, b) => a.off - b.off)
	const chosen = pair.length === 2 ? pair : unique
	return chosen.slice(0, most).map(({ id }): LengthRow => {
		const ref = (side: HandSide | undefined) => (side && panel.hand === 'centre' ? `${side}/${mark}` : mark)
		const blanks = sides.map((side) => ({ from: id, to: ref(side), before: [], ...(side ? { side } : {}) }))
		return { kind: 'tape', group: 'squaring', blanks }
	})
}

/** From the left side to the right: once straight over, twice crosswise. */
function over(group: 'across' | 'diagonals', pairs: readonly (readonly [string, string])[]): LengthRow {
	const blanks = pairs.map(([a, b], i) => {
		const column: HandSide = i === 0 ? 'left' : 'right'
		const [from, to] = i === 0 ? [`left/${a}`, `right/${b}`] : [`right/${b}`, `left/${a}`]
		return { from, to, before: [], ...(group === 'diagonals' ? { side: column } : {}) }
	})
	return { kind: group === 'across' ? 'width' : 'tape', group, blanks }
}

interface Spot {
	readonly s: number
	readonly g: number
}

/** Does the way from one to the other go over something that interrupts the baseline? */
function interrupted(panel: Panel, a: Spot | undefined, b: Spot | undefined): boolean {
	if (!a || !b || a.g * b.g >= 0) return false
	const s = a.s + ((b.s - a.s) * a.g) / (a.g - b.g)
	return panel.baseline.interruptions.some(({ from, to }) => s >= from && s <= to)
}
