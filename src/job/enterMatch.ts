/** Which entry of a job a new one is, by its kind, its marks and its side, and what of it differs. */
import { readLength, type Unit } from '../units/length.ts'
import type { List } from './csvRow.ts'
import { readRef } from './marks.ts'
import type { PlainObject } from './migrate.ts'

/** Lengths: told apart as lengths, however they are written. */
const FIGURES = ['station', 'girth', 'length', 'distance', 'width', 'misses']
/** What a reading is where it does not say. */
const UNSAID: Readonly<Record<string, unknown>> = { girth: 0, pull: 'pressed', squared: 'by-eye' }

/** The same text for two entries of one list that are of one thing: of a tick or a taped edge its line, station and side. */
export function identityOf(list: List, entry: PlainObject, hand: unknown, unit: Unit): string {
	if (list === 'readings') return identityOfReading(entry, hand, unit)
	const line = typeof entry.line === 'string' ? entry.line.trim().toLowerCase() : ''
	// on a panel of one side it may be said or not
	const side = hand === 'centre' || hand === 'pair' ? (entry.side ?? '') : ''
	return [list, line, side, stationOf(entry, unit)].join('|')
}

/**
 * The same text for two readings of one thing. On a centreline the side is part of the mark's name, on other panels above and
 * below are what was read of it; both ends of a length may change about.
 */
function identityOfReading(reading: PlainObject, hand: unknown, unit: Unit): string {
	const text = (key: string) => (typeof reading[key] === 'string' ? (reading[key] as string) : '')
	const kind = text('kind')
	const centre = hand === 'centre'
	const refs = namesOf(reading)
	const side = text('panel') || (centre ? '' : (refs.map((ref) => readRef(ref).side).find((each) => each !== undefined) ?? ''))
	const names = refs.map((ref) => (centre ? ref : readRef(ref).name))
	if (kind === 'square' || kind === 'crossing') {
		const own = centre && text('side') !== '' && !isNothing(reading.girth) ? `${text('side')}/` : ''
		const station = kind === 'crossing' ? stationOf(reading, unit) : ''
		return [kind, side, own + names.join(), station].join('|')
	}
	if (kind === 'between') return [kind, side, text('side'), stationOf(reading, unit), ...names.toSorted()].join('|')
	const ends = kind === 'toLine' ? [names[0], ...names.slice(1).toSorted()] : names.toSorted()
	return [kind, side, ...ends].join('|')
}

/** However it is written, to a thousandth of a mm; nothing where none is said. */
function stationOf({ station }: PlainObject, unit: Unit): string {
	const read = typeof station === 'number' || typeof station === 'string' ? readLength(station, unit) : undefined
	return read?.ok ? read.mm.toFixed(3) : ''
}

/** Marks (or lines) that a reading names, as written. */
export function namesOf({ mark, edge, from, to, line, lines }: PlainObject): readonly string[] {
	const list = (value: unknown) => (Array.isArray(value) ? value : [])
	return [mark, edge, from, to, ...list(line), ...list(lines)].filter((name): name is string => typeof name === 'string')
}

const isNothing = (girth: unknown) => girth === undefined || girth === 0

/** The keys of `fresh` that `old` has otherwise, with what `fresh` says. */
export function differences(old: PlainObject, fresh: PlainObject, unit: Unit): Record<string, string | number> {
	const changed: Record<string, string | number> = {}
	for (const [key, value] of Object.entries(fresh)) {
		if (typeof value !== 'string' && typeof value !== 'number') continue
		const before = old[key] ?? UNSAID[key]
		// which end of a length is named first says nothing
		if (key === 'from' || key === 'to') continue
		if (FIGURES.includes(key) || key === 'sd' ? !sameLength(before, value, unit) : before !== value) changed[key] = value
	}
	// back on the baseline: a reading of no girth has none to say
	if (fresh.kind === 'square' && fresh.girth === undefined && !sameLength(old.girth ?? 0, 0, unit)) changed.girth = 0
	return changed
}

/** Below what any rule shows; the same length in two units differs by rounding alone. */
const SAME_MM = 1e-6

function sameLength(a: unknown, b: unknown, unit: Unit): boolean {
	const [p, q] = [a, b].map((value) =>
		typeof value === 'number' || typeof value === 'string' ? readLength(value, unit) : undefined,
	)
	return p?.ok === true && q?.ok === true && Math.abs(p.mm - q.mm) <= SAME_MM
}

/** "left/t1", "tape front to left/u1"; of a tick or a taped edge "coach inner at station 130, left". */
export const sayEntry = (list: List, entry: PlainObject) =>
	list === 'readings' ? sayReading(entry) : `${entry.line} at station ${entry.station}${entry.side ? `, ${entry.side}` : ''}`

/** "left/t1", "tape filler-rear to left/t4", "distance of u3 from front to rear", on a pair with the panel. */
export function sayReading(reading: PlainObject): string {
	const names = namesOf(reading)
	const own = typeof reading.panel === 'string' ? `${reading.panel} ` : ''
	if (reading.kind === 'square') {
		const side = reading.side === 'left' || reading.side === 'right' ? `${reading.side}/` : ''
		return `${own}${side}${names[0]}`
	}
	if (reading.kind === 'toLine') return `${own}distance of ${names[0]} from ${names.slice(1).join(' to ')}`
	if (reading.kind === 'crossing')
		return `${own}${reading.side ? `${reading.side}/` : ''}${names[0]} at station ${reading.station}`
	if (reading.kind === 'between') return `${own}width between ${names.join(' and ')}`
	return `${own}${reading.kind} ${names.join(' to ')}`
}
