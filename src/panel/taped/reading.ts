import type { ChartPoint } from '../../chart/point.ts'

/** A length laid along a constant girth between two struck lines: the integral of J over station. */
export interface Laid {
	readonly kind: 'laid'
	readonly from: number
	readonly to: number
	/** signed; where `both`, greater than 0 and read for the two sides alike */
	readonly girth: number
	readonly both: boolean
	readonly length: number
	readonly path: string
}

/** A tape pressed down from place to place: the shortest way on the panel. */
export interface Taped {
	readonly kind: 'tape'
	readonly from: ChartPoint
	readonly to: ChartPoint
	readonly length: number
	readonly path: string
}

export type TapeReading = Laid | Taped

/** How the panel speaks of its two sides. */
export interface Sides {
	/** on the centreline: left and right; else below and above */
	readonly centred: boolean
}

/** One standard deviation of a laid length where the job does not say: reading, hooking and rounding to half a millimetre (common practice, no source). */
export const TAPE_SD_MM = 0.5
/** How far a struck line may be from square (one standard deviation); common practice, no source. */
export const SQUARE_SD = { 't-strip': (0.5 * Math.PI) / 180, 'by-eye': Math.PI / 180 } as const

/** Stations this near are one struck line. */
export const SAME_MM = 0.01

export const sideOf = (girth: number, { centred }: Sides): string =>
	centred ? (girth < 0 ? 'left' : 'right') : girth < 0 ? 'below' : 'above'

/** "the length at girth 80 mm right from station 60 to 120" */
export function sayReading(reading: TapeReading, sides: Sides): string {
	if (reading.kind === 'tape') return `the tape from ${sayPlace(reading.from, sides)} to ${sayPlace(reading.to, sides)}`
	const side = reading.both ? '' : ` ${sideOf(reading.girth, sides)}`
	return `the length at girth ${round(Math.abs(reading.girth))} mm${side} from station ${round(reading.from)} to ${round(reading.to)}`
}

const sayPlace = ({ s, g }: ChartPoint, sides: Sides): string =>
	g === 0 ? `station ${round(s)}` : `station ${round(s)}, ${round(Math.abs(g))} mm ${sideOf(g, sides)}`

export const round = (x: number): string => (Math.round(x * 10) / 10).toString()
