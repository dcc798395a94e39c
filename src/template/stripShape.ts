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
	/** as far as its working edge goes, and words may stand: short of top and bottom where a seam cuts it off */
	readonly edge: { readonly from: number; readonly to: number }
	readonly room?: { readonly from: number; readonly to: number }
	/** labels stand at least this far apart, mm; as small as they are written where not said */
	readonly labelStepMm?: number
}

/** A seam that the strip's line crosses: how far out, its lean as the strip lies, and which way the other panel is. */
export interface StripSeam {
	readonly g: number
	readonly angle: number
	readonly beyond: 1 | -1
}

/** Where patches end a strip: what of it would lie on them or behind them, and how far its edge and its words go. */
export interface StripStops {
	readonly shadow: Region
	readonly edge: { readonly from: number; readonly to: number }
	readonly room: { readonly from: number; readonly to: number }
}

/** A seam that leans more runs along the strip: it is then cut square. */
const MOST_LEAN = 1
/** Words begin so far behind the working edge, mm. */
export const WORDS_FROM_MM = 14

/** The head squares the strip: long enough that half a degree shows as half a millimetre at its end. */
const HEAD_MM = 130
const WINDOW_HALF_MM = 3.5
export const FAR_MM = 5000
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
	readonly labelStepMm?: number
	/** where the panel ends */
	readonly seams?: readonly StripSeam[]
	readonly stops?: StripStops | undefined
	/** the interruption, by station from the working edge, and half its width */
	readonly pocket?: { readonly from: number; readonly to: number; readonly half: number }
}): StripShape {
	const { body, pocket, stops } = input
	const half = input.headHalf + (pocket ? pocket.half : 0)
	const from = pocket ? Math.min(-HEAD_MM / 2, pocket.from - BEYOND_MM) : -HEAD_MM / 2
	const to = pocket ? Math.max(HEAD_MM / 2, pocket.to + BEYOND_MM) : HEAD_MM / 2
	const lean = ({ angle }: StripSeam) => (Math.abs(Math.tan(angle)) <= MOST_LEAN ? Math.tan(angle) : 0)
	// The head lies along the baseline whatever is there.
	const over = (input.seams ?? []).filter(({ g, beyond }) => g * beyond > half + body * MOST_LEAN)
	const endAt = (beyond: 1 | -1, x: number) =>
		Math.min(...over.filter((seam) => seam.beyond === beyond).map((seam) => beyond * (seam.g + lean(seam) * x)))
	const nearer = (beyond: 1 | -1, from: number) => beyond * Math.min(endAt(beyond, from), endAt(beyond, body))
	const farther = (beyond: 1 | -1) => beyond * Math.max(endAt(beyond, 0), endAt(beyond, body))
	const top = Math.max(half, Math.min(input.top, farther(1), stops?.edge.to ?? FAR_MM))
	const bottom = Math.min(-half, Math.max(input.bottom, farther(-1), stops?.edge.from ?? -FAR_MM))
	const beyond = over.map((seam): Region => {
		const at = (x: number, out: number) => ({ x, y: seam.g + lean(seam) * x + seam.beyond * out })
		const loop = [at(-1, 0), at(body + 1, 0), at(body + 1, FAR_MM), at(-1, FAR_MM)]
		return [seam.beyond === 1 ? loop : loop.reverse()]
	})
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
		region: subtract(
			union([box(0, body, bottom, top), box(from, to, -half, half)]),
			[...windows, ...beyond, stops?.shadow ?? []].flat(),
		),
		top,
		bottom,
		body,
		head: { from, to, half },
		pocketHalf: pocket ? pocket.half : 0,
		edge: { from: Math.max(bottom, -endAt(-1, 0)), to: Math.min(top, endAt(1, 0)) },
		...(over.length > 0 || stops
			? {
					room: {
						from: Math.max(bottom, nearer(-1, WORDS_FROM_MM), stops?.room.from ?? -FAR_MM),
						to: Math.min(top, nearer(1, WORDS_FROM_MM), stops?.room.to ?? FAR_MM),
					},
				}
			: {}),
		...(input.labelStepMm === undefined ? {} : { labelStepMm: input.labelStepMm }),
	}
}
