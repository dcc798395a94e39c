/** Register marks, mating lines and the names of neighbours, drawn on a sheet. */
import { boxOf } from '../drawing/box.ts'
import type { Item, PathItem, TextItem } from '../drawing/drawing.ts'
import { textBox, textWidth } from '../drawing/metrics.ts'
import { circle, line } from '../drawing/path.ts'
import { movePoint, moveText, type Placing } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk, type InkShape } from './ink.ts'
import { clearSpan, type Join, MARK_ARM_MM, nearestFree, onJoin } from './join.ts'

const COLOUR = '#000000'
/** Half of the misfit that marks must show to the eye, 0.2 mm: two lines side by side that far apart no longer cover each other. */
const MARK_STROKE = { widthMm: 0.1, colour: COLOUR }
const MATING_STROKE = { widthMm: 0.1, colour: COLOUR, dashMm: [3, 1.5] }
/** A ring beside the cross: its halves show a misfit in every direction. */
const RING_MM = 2
const NAME_SIZE_MM = 2.6
/** From the mating line to the words, so that both stay legible. */
const NAME_OFF_MM = 1.6

function mark(at: PlanePoint, title: string): readonly PathItem[] {
	const cross = [
		...line({ x: at.x - MARK_ARM_MM, y: at.y }, { x: at.x + MARK_ARM_MM, y: at.y }),
		...line({ x: at.x, y: at.y - MARK_ARM_MM }, { x: at.x, y: at.y + MARK_ARM_MM }),
	]
	const path = { kind: 'path', role: 'register', stroke: MARK_STROKE, title } as const
	return [
		{ ...path, segments: cross },
		{ ...path, segments: circle(at, RING_MM) },
	]
}

/** The words along the join, on the given side of the mating line, clear of marks and ink; undefined where there is no room. */
function nameText(join: Join, text: string, side: 1 | -1, ink: readonly InkShape[]): TextItem | undefined {
	const span = clearSpan(join)
	const half = textWidth(text, { sizeMm: NAME_SIZE_MM }) / 2
	const room = { from: span.from + half + 1, to: span.to - half - 1 }
	if (room.to < room.from) return undefined
	const item = (along: number): TextItem => {
		// the words read from below, or from the right where they stand upright; the baseline is the edge nearer the reader
		const cap = NAME_SIZE_MM * 0.7
		const towards = join.upright ? side < 0 : side > 0
		const across = side * (towards ? NAME_OFF_MM : NAME_OFF_MM + cap)
		return {
			kind: 'text',
			role: 'register',
			at: onJoin(join, along, across),
			text,
			sizeMm: NAME_SIZE_MM,
			anchor: 'middle',
			angle: join.upright ? Math.PI / 2 : 0,
		}
	}
	const free = (along: number) => {
		const box = boxOf(textBox(item(along)) ?? [])
		if (!box || hasInk(ink, box)) return false
		return join.marks.every((p) => {
			const at = join.upright ? p.y : p.x
			return Math.abs(at - along) > half + MARK_ARM_MM + 1
		})
	}
	const at = nearestFree((room.from + room.to) / 2, room, free)
	return free(at) ? item(at) : undefined
}

/**
 * The marks of one join as its one sheet prints them. The first (left or upper) sheet stays whole; the second is cut on the
 * mating line and laid on it. `placing` brings the turned piece onto the sheet.
 */
export function joinItems(
	join: Join,
	which: 'first' | 'second',
	names: { readonly own: string; readonly other: string },
	ink: readonly InkShape[],
	shift: PlanePoint,
): readonly Item[] {
	const placing: Placing = { at: shift, angle: 0 }
	const pair = which === 'first' ? `${names.own} ${names.other}` : `${names.other} ${names.own}`
	const [from, to] = join.line
	const mating: PathItem = {
		kind: 'path',
		role: 'register',
		segments: line(movePoint(from, placing), movePoint(to, placing)),
		stroke: MATING_STROKE,
		title: `mating line ${pair}`,
	}
	const [long, short] = [which === 'first' ? 'lay it to this line' : 'cut on this line', `joins ${names.other} here`]
	// outward: the strip beyond the line is covered by the neighbour, or cut off
	const outward = (which === 'first') === join.upright ? 1 : -1
	const name = [`joins sheet ${names.other} here: ${long}`, short]
		.flatMap((words) => [outward, -outward].map((side) => ({ words, side: side as 1 | -1 })))
		.reduce<TextItem | undefined>((found, { words, side }) => found ?? nameText(join, words, side, ink), undefined)
	const marks = join.marks.flatMap((p, index) => mark(movePoint(p, placing), `register mark ${pair} ${index + 1}`))
	return [mating, ...marks, ...(name ? [moveText(name, placing)] : [])]
}
