import type { Region } from '../plane/point.ts'
import { subtract, union } from '../plane/region.ts'

export interface StripShape {
	/** outline and windows, working edge on x = 0, baseline on y = 0 */
	readonly region: Region
	readonly top: number
	readonly bottom: number
	readonly body: number
	readonly head: { readonly from: number; readonly to: number; readonly half: number }
	/** of the head, not counting what it needs to go round an interruption */
	readonly pocketHalf: number
}

/** The head squares the strip: long enough that half a degree shows as half a millimetre at its end. */
const HEAD_MM = 130
const WINDOW_HALF_MM = 3.5
/** Clear of an interruption the head still lies on this much of the baseline. */
const BEYOND_MM = 45

/**
 * A T (or a cross): the body from `bottom` to `top` behind the working edge, the head along the baseline with windows over the
 * taped line. Round an interruption of the baseline the head is a frame that reaches past it at both ends.
 */
export function stripShape(input: {
	readonly top: number
	readonly bottom: number
	readonly body: number
	readonly headHalf: number
	/** the interruption, by station from the working edge, and half its width */
	readonly pocket?: { readonly from: number; readonly to: number; readonly half: number }
}): StripShape {
	const { body, pocket } = input
	const half = input.headHalf + (pocket ? pocket.half : 0)
	const from = pocket ? Math.min(-HEAD_MM / 2, pocket.from - BEYOND_MM) : -HEAD_MM / 2
	const to = pocket ? Math.max(HEAD_MM / 2, pocket.to + BEYOND_MM) : HEAD_MM / 2
	const top = Math.max(half, input.top)
	const bottom = Math.min(-half, input.bottom)
	const box = (x0: number, x1: number, y0: number, y1: number): Region => [
		[
			{ x: x0, y: y0 },
			{ x: x1, y: y0 },
			{ x: x1, y: y1 },
			{ x: x0, y: y1 },
		],
	]
	const window = (x0: number, x1: number) => (x1 - x0 > 8 ? box(x0, x1, -WINDOW_HALF_MM, WINDOW_HALF_MM) : [])
	const windows: Region[] = pocket
		? [box(pocket.from, pocket.to, -pocket.half, pocket.half), window(from + 6, pocket.from - 6), window(pocket.to + 6, to - 6)]
		: [window(from + 6, -5), window(Math.min(body + 4, to - 20), to - 6)]
	return {
		region: subtract(union([box(0, body, bottom, top), box(from, to, -half, half)]), windows.flat()),
		top,
		bottom,
		body,
		head: { from, to, half },
		pocketHalf: pocket ? pocket.half : 0,
	}
}
