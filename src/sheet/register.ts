/** Register marks, mating lines and the names of neighbours, drawn on a sheet. */
import { boxOf, grown, overlaps } from '../drawing/box.ts'
import type { Item, PathItem, TextItem } from '../drawing/drawing.ts'
import { textBox, textWidth } from '../drawing/metrics.ts'
import { line } from '../drawing/path.ts'
import { movePoint, moveText, type Placing } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk } from './ink.ts'
import { boxesOf, clearSpan, type Join, MARK_ALONG_MM, MARK_ARM_MM, nearestFree, onJoin } from './join.ts'

const COLOUR = '#000000'
/** Half of the misfit that marks must show to the eye, 0.2 mm: lines that much out of step no longer touch. */
const MARK_STROKE = { widthMm: 0.1, colour: COLOUR }
const MATING_STROKE = { widthMm: 0.1, colour: COLOUR, dashMm: [3, 1.5] }
/** A comb's teeth on the sheet that stays whole stand this far apart; those of the sheet laid on it 0.2 mm closer: Vernier's scale. */
const TOOTH_MM = 0.9
export const COMB_STEP_MM = 0.2
/** Teeth to either side of the middle one: misfits up to 0.8 mm can be read. */
const TEETH = 4
const TOOTH_LENGTH_MM = { middle: 3.6, other: 2.4 }
const NAME_SIZE_MM = 2.6
/** From the mating line to the words, so that both stay legible. */
/** The piece's lines are known to a tenth here, and words keep a little off them. */
const NAME_CLEAR_MM = 0.5
const NAME_OFF_MM = 1.6

/** Two hairlines that cross on the mating line at a flat angle: each goes on in a straight line over the join, or shows a step. */
function mark(join: Join, p: PlanePoint, placing: Placing, title: string): PathItem {
	const along = join.upright ? p.y : p.x
	const corner = (way: 1 | -1, side: 1 | -1) => movePoint(onJoin(join, along + way * MARK_ALONG_MM, side * MARK_ARM_MM), placing)
	const segments = [...line(corner(-1, -1), corner(1, 1)), ...line(corner(-1, 1), corner(1, -1))]
	return { kind: 'path', role: 'register', stroke: MARK_STROKE, title, segments }
}

/** Teeth on both sides of the mating line, in step only at the middle: where two meet after joining tells the misfit along the join. */
function comb(join: Join, p: PlanePoint, placing: Placing, title: string): PathItem {
	const along = join.upright ? p.y : p.x
	// the first sheet lies left of an upright join and above a lying one
	const first = join.upright ? -1 : 1
	const tooth = (at: number, side: number, length: number) =>
		line(movePoint(onJoin(join, along + at), placing), movePoint(onJoin(join, along + at, side * length), placing))
	const segments = Array.from({ length: 2 * TEETH + 1 }, (_, i) => i - TEETH).flatMap((n) => {
		const length = n === 0 ? TOOTH_LENGTH_MM.middle : TOOTH_LENGTH_MM.other
		return [...tooth(n * TOOTH_MM, first, length), ...tooth(n * (TOOTH_MM - COMB_STEP_MM), -first, length)]
	})
	return { kind: 'path', role: 'register', stroke: MARK_STROKE, title, segments }
}

/** How the marks are used, for the sheets that have them. */
export const READING_JOINS: readonly string[] = [
	'Joins: trim where it says so, lay that sheet on its neighbour. Every arm of an X must run on in one straight line: two lines side by side are 0.2 mm out, in or along the join.',
	'In a comb the long middle teeth meet. If the next pair meets instead, slide the sheet by 0.2 mm; the pair after that, 0.4 mm.',
]

/** The words along the join, on the given side of the mating line, clear of marks and ink; undefined where there is no room. */
function nameText(join: Join, text: string, side: 1 | -1): TextItem | undefined {
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
	const taken = boxesOf(join).map((box) => grown(box, 1))
	const free = (along: number) => {
		const box = boxOf(textBox(item(along)) ?? [])
		return box !== undefined && !taken.some((other) => overlaps(other, box)) && !hasInk(join.ink, grown(box, NAME_CLEAR_MM))
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
	const [long, short] = [which === 'first' ? 'lay it to this line' : 'trim to this line', `joins ${names.other} here`]
	// outward: the strip beyond the line is covered by the neighbour, or trimmed off
	const outward = (which === 'first') === join.upright ? 1 : -1
	const name = [`joins sheet ${names.other} here: ${long}`, short]
		.flatMap((words) => [outward, -outward].map((side) => ({ words, side: side as 1 | -1 })))
		.reduce<TextItem | undefined>((found, { words, side }) => found ?? nameText(join, words, side), undefined)
	const marks = join.marks.map((p, index) => mark(join, p, placing, `register mark ${pair} ${index + 1}`))
	const combs = join.combs.map((p, index) => comb(join, p, placing, `comb ${pair} ${index + 1}`))
	return [mating, ...marks, ...combs, ...(name ? [moveText(name, placing)] : [])]
}
