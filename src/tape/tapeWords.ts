/** Tape as it is asked for over a counter: its width and its kind. */
import type { Tape } from '../job/shop.ts'
import { formatLength } from '../units/format.ts'
import { MM_PER_INCH } from '../units/length.ts'

/** Tapes are made in half millimetres, or in thirty-seconds of an inch. */
const isHalfMm = (mm: number) => Math.abs(mm * 2 - Math.round(mm * 2)) < 1e-6
const isInches = (mm: number) => Math.abs((mm / MM_PER_INCH) * 32 - Math.round((mm / MM_PER_INCH) * 32)) < 1e-6

/** A width as it stands on the roll: "6 mm", or "1/4 in" where it is sold in inches. */
export const soldWidth = (mm: number): string =>
	isHalfMm(mm) || !isInches(mm) ? `${Number(mm.toFixed(2))} mm` : formatLength(mm, 'in', { fraction: 32 }).text

/** "6 mm fine-line" */
export const tapeWords = ({ kind, width }: Pick<Tape, 'kind' | 'width'>): string => `${soldWidth(width)} ${kind}`
