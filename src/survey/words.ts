import type { ChartPoint } from '../chart/point.ts'
import type { Panel, Reading } from '../job/schema.ts'
import type { What } from './named.ts'
import type { Observation } from './observe.ts'

/** Phrases about marks and readings, in the words of the bench. */

export const mm = (value: number): string => `${(Math.round(value * 10) / 10).toFixed(1)} mm`

/** How girth is spoken of on this panel: the side for a signed girth. */
export function girthSide(panel: Panel, g: number): 'left' | 'right' | 'above' | 'below' {
	return panel.hand === 'centre' ? (g < 0 ? 'left' : 'right') : g < 0 ? 'below' : 'above'
}

/** "station 120.0 mm, 46.5 mm right" */
export function sayPlace(panel: Panel, at: ChartPoint): string {
	return `station ${mm(at.s)}, ${mm(Math.abs(at.g))} ${girthSide(panel, at.g)}`
}

/** "the tape from u3 to stud" */
export function sayReading(reading: Reading, what: What, side?: string): string {
	switch (reading.kind) {
		case 'square':
			return `the ${what} of ${side && !reading.mark.includes('/') ? `${side}/` : ''}${reading.mark}`
		case 'crossing':
			return `the ${what} of ${side ? `${side}/` : ''}${reading.edge} at station ${mm(reading.station)}`
		case 'toLine':
			return `the distance of ${reading.mark} from the line ${reading.line[0]} to ${reading.line[1]}`
		case 'between':
			return `the width between ${reading.lines.join(' and ')}${reading.station === undefined ? '' : ` at station ${mm(reading.station)}`}`
		case 'straight':
			return `the straight measure from ${reading.from} to ${reading.to}`
		default:
			return `the ${reading.kind} from ${reading.from} to ${reading.to}`
	}
}

/** The same of one of its numbers, beside the marks that it is about. */
export function sayObservation({ reading: { reading }, what, keys }: Observation): string {
	const said = sayReading(reading, what, sideOf(keys[0]))
	return reading.kind === 'between' && reading.station === undefined ? `${said} at ${keys[0]}` : said
}

/** "left" of "left/t3": a squared reading names its mark without the side. */
export const sideOf = (key: string | undefined) => (key?.includes('/') ? key.slice(0, key.indexOf('/')) : undefined)
