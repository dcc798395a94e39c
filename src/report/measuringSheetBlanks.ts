/** The blanks of a measuring sheet, as data. */
import type { Panel, Reading } from '../job/schema.ts'

export type HandSide = 'left' | 'right'

/** One thing to measure, with figures of before where there are any. */
export interface Blank {
	/** the column it is written into; none on a panel of one side, and where either may be meant */
	readonly side?: HandSide
	/** one entry for each time it was read: of a mark its station and girth, else the length alone */
	readonly before: readonly (readonly string[])[]
}

export interface MarkRow {
	readonly mark: string
	/** no mark, but a line of that name where it crosses a station */
	readonly crossing?: true
	/** the line it was first named in, in words */
	readonly line?: string
	readonly blanks: readonly Blank[]
}

export interface LengthBlank extends Blank {
	readonly from: string
	readonly to: string
}

export type LengthKind = Exclude<Reading['kind'], 'square' | 'crossing'>

/** A length: once, or left and right. */
export interface LengthRow {
	readonly kind: LengthKind
	readonly group: LengthGroup
	/** of a distance from a line: the mark */
	readonly mark?: string
	readonly tight?: boolean
	/** of a width between two lines: where, as said */
	readonly station?: string
	readonly blanks: readonly LengthBlank[]
}

/** In the order of the sheet. */
export const LENGTH_GROUPS = ['datums', 'squaring', 'across', 'diagonals', 'others'] as const
export type LengthGroup = (typeof LENGTH_GROUPS)[number]

export interface MeasuringRows {
	readonly marks: readonly MarkRow[]
	readonly lengths: readonly LengthRow[]
}

/** The columns that the panel's figures go into. */
export const columnsOf = ({ hand }: Pick<Panel, 'hand'>): readonly (HandSide | undefined)[] =>
	hand === 'centre' || hand === 'pair' ? ['left', 'right'] : [undefined]
