import type { Stroke } from '../drawing/drawing.ts'

/** Line widths as on technical drawings (ISO 128: narrow 0.18 to 0.25, wide about twice that). */
export const INK = '#111111'
export const GREY = '#707070'
export const KNIFE: Stroke = { widthMm: 0.2, colour: INK }
export const THIN: Stroke = { widthMm: 0.15, colour: INK }
export const BOLD: Stroke = { widthMm: 0.4, colour: INK }
export const FAINT: Stroke = { widthMm: 0.13, colour: GREY }
/** Long-dash dotted narrow line: a centre line (ISO 128, from memory). */
export const CENTRE: Stroke = { widthMm: 0.18, colour: INK, dashMm: [7, 1.2, 0.6, 1.2] }
export const DASHED: Stroke = { widthMm: 0.18, colour: INK, dashMm: [2, 1] }

/** Smallest text on a piece: read at arm's length on a stand. */
export const SMALL_MM = 2.4
export const TEXT_MM = 3
