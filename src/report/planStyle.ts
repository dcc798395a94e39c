/** Lines, sizes and colours of a plan. */
import type { Stroke } from '../drawing/drawing.ts'

export const INK = '#1b1a17'
const GREY = '#7a756b'
/** A panel without paint: warm grey, lighter than any paint is likely to be. */
export const BARE = '#efece4'
export const PAPER = '#ffffff'

export const OUTLINE: Stroke = { widthMm: 0.5, colour: INK }
/** Nobody measured that outline. */
export const OPEN_OUTLINE: Stroke = { widthMm: 0.25, colour: GREY, dashMm: [4, 2] }
/** The edge of a decal's film. */
export const FILM: Stroke = { widthMm: 0.18, colour: INK, dashMm: [1.5, 1] }
export const PAINTED: Stroke = { widthMm: 0.13, colour: INK }
/** The rim of a patch that paper does not lie on. */
export const PATCH: Stroke = { widthMm: 0.35, colour: INK, dashMm: [3, 1] }
export const LINE: Stroke = { widthMm: 0.25, colour: INK }
/** How far off a line may lie. */
export const KNOWN: Stroke = { widthMm: 0.13, colour: INK, dashMm: [1, 1] }
export const STATION: Stroke = { widthMm: 0.13, colour: GREY, dashMm: [2, 1.5] }
export const LEADER: Stroke = { widthMm: 0.13, colour: INK }
export const SYMBOL: Stroke = { widthMm: 0.25, colour: INK }
/** Below a mark, so that it can be seen on any paint. */
export const HALO: Stroke = { widthMm: 0.8, colour: PAPER }
/** Long-dash dotted narrow line: a centre line (ISO 128, from memory). */
export const CENTRE: Stroke = { widthMm: 0.25, colour: INK, dashMm: [9, 1.5, 0.7, 1.5] }

/** Text is read on a bench beside the panel, and still in a picture half the size of the plan. */
const SMALLEST_MM = 3.2
const LARGEST_MM = 6
/** A plan as wide as this gets text of 1 mm. */
const WIDE_MM = 110

/** Size of ordinary text for a plan of this width, mm. */
export const textSize = (widthMm: number): number => Math.min(LARGEST_MM, Math.max(SMALLEST_MM, widthMm / WIDE_MM))
