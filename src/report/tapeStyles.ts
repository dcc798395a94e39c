/** Tape in patterns: the same on every picture. */
import type { Stroke } from '../drawing/drawing.ts'
import type { Tape } from '../job/shop.ts'

/** Colour and pattern for one width after the other; apart in a copy without colours too. */
const PATTERNS: readonly { readonly colour: string; readonly dash: readonly number[] }[] = [
	{ colour: '#a3123a', dash: [] },
	{ colour: '#0a5a9c', dash: [2.4, 0.9] },
	{ colour: '#0b6b3a', dash: [0.7, 0.7] },
	{ colour: '#7a3e00', dash: [4.5, 0.9] },
	{ colour: '#5b2a86', dash: [2.4, 0.8, 0.6, 0.8] },
	{ colour: '#00626b', dash: [1.4, 1.4] },
	{ colour: '#8a4b00', dash: [4.5, 0.8, 0.6, 0.8, 0.6, 0.8] },
	{ colour: '#333d8f', dash: [3.2, 1.8] },
]

/** What shows of the tape itself: paper tapes are darker than plastic ones. */
const BODY: Readonly<Record<Tape['kind'], string>> = {
	'fine-line': '#fbf7ec',
	film: '#f1f5f7',
	crepe: '#e9dcbc',
	paper: '#dfd3b6',
}

export interface TapeStyle {
	readonly stroke: Stroke
	readonly fill: string
}

/** The pattern of each width in stock; the same width has the same on every picture of a job. */
export function tapeStyles(stock: readonly Tape[]): (tape: Tape, strokeMm: number) => TapeStyle {
	const widths = [...new Set(stock.map(({ width }) => width))].sort((a, b) => a - b)
	return ({ width, kind }, strokeMm) => {
		const pattern = PATTERNS[Math.max(0, widths.indexOf(width)) % PATTERNS.length] as (typeof PATTERNS)[number]
		const dash = pattern.dash.length > 0 ? { dashMm: pattern.dash } : {}
		return { stroke: { widthMm: strokeMm, colour: pattern.colour, ...dash }, fill: BODY[kind] }
	}
}
