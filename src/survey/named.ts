import type { Reading } from '../job/schema.ts'

export type MarkSide = 'left' | 'right'

/** Which number of a reading: a `square` and a `crossing` have two. */
export type What = 'station' | 'girth' | 'length' | 'distance' | 'width'

/** One number that was read. */
export interface NumberRead {
	/** place of its reading in the panel's list */
	readonly index: number
	readonly what: What
}

type Crossing = Extract<Reading, { kind: 'crossing' }>

/** Where a line crosses a station there is a mark without a name: it is called by the two, "upper@120". */
export const crossingId = ({ edge, station }: Pick<Crossing, 'edge' | 'station'>): string =>
	`${edge}@${Math.round(station * 10) / 10}`

export const isCrossing = (ref: string): boolean => ref.includes('@')
