/** Lengths worth reading before anything is known of a panel: they square off the stations and find a slip. */
import { handOf, readRef, refOf } from '../job/marks.ts'
import type { Decal, Edge, Panel } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import type { HandSide, LengthRow } from './measuringSheetBlanks.ts'
import { sayFigure } from './measuringSheetFigure.ts'
import type { RoughPlaces } from './measuringSheetPlaces.ts'

/** Shorter than this a tape says little of a mark's place, mm. */
const SHORT_MM = 40

/**
 * From each datum to the next; to each mark of a line from the datums ahead of it and behind it (at its middle marks from one): alike
 * left and right, they square off the station; across the crown at each mark; diagonals between the ends and the middle. Never over
 * what interrupts the baseline, as far as is known. Between the marks of a decal, which its own size then checks. And where two lines
 * are the edges of a stripe, how far they are apart.
 */
export function suggestedLengths(panel: Panel, places: RoughPlaces, unit: Unit): readonly LengthRow[] {
	return [
		...betweenDatums(panel),
		...panel.edges.flatMap((edge) => alongLine(panel, edge, places)),
		...(panel.decals ?? []).flatMap((decal) => ofDecal(panel, decal, places)),
		...stripeWidths(panel, places, unit),
	]
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

function ofDecal(panel: Panel, { place, hand: own }: Decal, places: RoughPlaces): readonly LengthRow[] {
	if (place.kind !== 'marks') return []
	const names = place.marks.map(({ mark }) => mark).filter((ref) => readRef(ref).side === undefined)
	const hand = handOf(panel, own)
	if (hand === 'across') return []
	const two = panel.hand === 'centre' || panel.hand === 'pair'
	const sides: Sides = !two ? [undefined] : hand === 'mirrored' ? ['left', 'right'] : [hand]
	const ref = (name: string, side: HandSide | undefined) => (side && panel.hand === 'centre' ? `${side}/${name}` : name)
	const ends = panel.datums.filter(({ girth }) => girth === 0).toSorted((a, b) => a.station - b.station)
	const [first, last] = [names[0], names.at(-1)]
	const between = sides.map((side) => ({
		...{ from: ref(first ?? '', side), to: ref(last ?? '', side), before: [] },
		...(side ? { side } : {}),
	}))
	return [
		...names.flatMap((name, i): readonly LengthRow[] => {
			if (places.of(name, sides[0])) return squaring(panel, name, sides, places, 1)
			// Nobody has said where it is: its front from the front, its rear from the rear.
			const datum = ends[i === 0 ? 0 : ends.length - 1]
			if (!datum) return []
			const blanks = sides.map((side) => ({ from: datum.id, to: ref(name, side), before: [], ...(side ? { side } : {}) }))
			return [{ kind: 'tape', group: 'squaring', blanks }]
		}),
		...(first !== undefined && first !== last ? [{ kind: 'tape' as const, group: 'squaring' as const, blanks: between }] : []),
	]
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

/** Lines farther apart than this are no edges of one stripe, mm. */
const WIDEST_MM = 150
/** Widths are taken this far inside where both lines are, at whole steps: easy to find again; mm. */
const INSIDE_MM = 5
const STEP_MM: Readonly<Record<Unit, number>> = { mm: 10, in: 12.7 }

interface LineReach {
	readonly id: string
	readonly hand: string
	readonly sides: Sides
	/** where its marks are, as far as that is known */
	readonly where?: { readonly girth: number; readonly from: number; readonly to: number }
}

/**
 * From line to line, square off them, at their front and their rear, where a stripe is laid off one of them. Where lines are not
 * measured yet they may be neighbours in the order of the job; the station is then filled in with the width.
 */
function stripeWidths(panel: Panel, places: RoughPlaces, unit: Unit): readonly LengthRow[] {
	const two = panel.hand === 'centre' || panel.hand === 'pair'
	// others have a rough place on the picture alone
	const measured = new Set(panel.readings.flatMap((reading) => (reading.kind === 'square' ? [reading.mark] : [])))
	const lines = panel.edges.flatMap((edge): LineReach[] => {
		const hand = handOf(panel, edge.hand)
		if (hand === 'across' || edge.closed) return []
		const sides: Sides = !two ? [undefined] : hand === 'mirrored' ? ['left', 'right'] : [hand as HandSide]
		const names = edge.through.map((step) => readRef(refOf(step)).name).filter((name) => measured.has(name))
		const at = names.flatMap((name) => places.of(name, sides[0]) ?? [])
		if (at.length < 2) return [{ id: edge.id, hand, sides }]
		const stations = at.map(({ s }) => s)
		const girth = at.reduce((sum, { g }) => sum + (panel.hand === 'centre' ? Math.abs(g) : g), 0) / at.length
		return [{ id: edge.id, hand, sides, where: { girth, from: Math.min(...stations), to: Math.max(...stations) } }]
	})
	const striped = new Set(panel.stripes.map(({ edge }) => edge))
	return lines.flatMap((line, i) => {
		const next = neighbour(line, lines, i)
		if (!next || !(striped.has(line.id) || striped.has(next.id))) return []
		return stationsBetween(line, next, unit).map((station): LengthRow => {
			const blanks = line.sides.map((side) => ({ from: line.id, to: next.id, before: [], ...(side ? { side } : {}) }))
			const at = station === undefined ? {} : { station: sayFigure(station, unit) }
			return { kind: 'between', group: 'others', ...at, blanks }
		})
	})
}

/** The next line farther from the baseline, not too far off. */
function neighbour({ hand, where }: LineReach, lines: readonly LineReach[], i: number): LineReach | undefined {
	const alike = (other: LineReach) => other.hand === hand
	if (!where) return lines.slice(i + 1).find((other) => alike(other) && !other.where)
	const over = (other: LineReach) => (other.where ? other.where.girth - where.girth : 0)
	const beyond = lines.filter((other) => alike(other) && over(other) > 0 && over(other) <= WIDEST_MM)
	return beyond.toSorted((a, b) => over(a) - over(b))[0]
}

/** Front and rear of where both lines are; one that is not known yet of lines without places. */
function stationsBetween({ where: a }: LineReach, { where: b }: LineReach, unit: Unit): readonly (number | undefined)[] {
	if (!a || !b) return [undefined]
	const step = STEP_MM[unit]
	const front = Math.ceil((Math.max(a.from, b.from) + INSIDE_MM) / step) * step
	const rear = Math.floor((Math.min(a.to, b.to) - INSIDE_MM) / step) * step
	return rear > front ? [front, rear] : rear === front ? [front] : []
}
