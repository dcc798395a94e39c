/** The sheet that a printer is measured with. */
import { boxHeight, boxWidth, grown } from '../drawing/box.ts'
import type { Box, Drawing, GroupItem, Item, PathItem, TextItem } from '../drawing/drawing.ts'
import { filledFrame, line, rect } from '../drawing/path.ts'
import type { Outcome } from '../job/problem.ts'
import { CLEAR_MM, printableBox, SQUARE_LINE_MM, SQUARE_MM } from './arrange.ts'
import type { Paper } from './paper.ts'
import { type Margins, type Printer, TEST_LENGTH_MM } from './printer.ts'
import { type Paragraph, setText } from './textBlock.ts'

/** As long as an upright sheet of A3: a roll needs no more for its bars. */
const ROLL_LENGTH_MM = 420
const TICK_MM = { width: 0.2, length: 8 }
/** From one bar's line to the next: the tick, its words, and room for the rule. */
const STEP_MM = 17
const WORDS_MM = 4
/** Made smaller by itself where the sheet is small. */
const BODY_MM = 4.4
/** Longer lines are hard to read. */
const MOST_WORDS_MM = 180
const UPRIGHT = { x: 1, y: 1 }

type Axis = 'across' | 'along'

interface Bar {
	readonly name: string
	readonly lengthMm: number
	/** the outer edge of its first tick, along its axis */
	readonly from: number
	/** its line, square off its axis: ticks stand on the side of growing y, or of falling x */
	readonly line: number
}

/**
 * Two filled ticks on a thin line, and the bar's name between them. Both ticks are one path: a viewer may move the edges of a lone
 * rectangle to whole dots as it does with strokes, but not those of a path in parts.
 */
function barGroup(axis: Axis, { name, lengthMm, from, line: base }: Bar): GroupItem {
	const end = from + lengthMm
	const place = (along: number, off: number) => (axis === 'across' ? { x: along, y: base + off } : { x: base - off, y: along })
	const box = (start: number): Box => {
		const [a, b] = [place(start, 0), place(start + TICK_MM.width, TICK_MM.length)]
		return { minX: Math.min(a.x, b.x), minY: Math.min(a.y, b.y), maxX: Math.max(a.x, b.x), maxY: Math.max(a.y, b.y) }
	}
	const ticks: PathItem = {
		kind: 'path',
		role: 'bar',
		segments: [from, end - TICK_MM.width].flatMap((start) => rect(box(start))),
		fill: '#000000',
		title: `${name}: end ticks`,
	}
	const thin: PathItem = {
		kind: 'path',
		role: 'bar',
		segments: line(place(from + TICK_MM.width, 0), place(end - TICK_MM.width, 0)),
		stroke: { widthMm: 0.1, colour: '#000000' },
	}
	const label: TextItem = {
		kind: 'text',
		role: 'bar',
		at: place((from + end) / 2, 2.5),
		text: `${name}: ${lengthMm} mm from the outer edge of one tick to the outer edge of the other`,
		sizeMm: lengthMm < TEST_LENGTH_MM ? 2.6 : WORDS_MM,
		anchor: 'middle',
		angle: axis === 'across' ? 0 : Math.PI / 2,
	}
	return { kind: 'group', id: `bar-${name.replaceAll(' ', '-').toLowerCase()}`, title: name, items: [ticks, thin, label] }
}

/** One bar where it fits; else two halves, the second beside the first, of which the lengths are added. */
function barsOf(axis: Axis, from: number, to: number, first: number): readonly Bar[] {
	const name = axis.toUpperCase()
	const step = axis === 'across' ? -STEP_MM : STEP_MM
	if (to - from >= TEST_LENGTH_MM) return [{ name, lengthMm: TEST_LENGTH_MM, from, line: first }]
	const half = TEST_LENGTH_MM / 2
	return [
		{ name: `${name} A`, lengthMm: half, from, line: first },
		{ name: `${name} B`, lengthMm: half, from: to - half, line: first + step },
	]
}

const blank = (axis: Axis, bars: readonly Bar[]) => {
	const [one, two] = bars
	const what = axis === 'across' ? 'Across the sheet' : 'Along the sheet'
	return one && two ? `${what}: A ________ + B ________ = __________ mm` : `${what}: __________ mm`
}

function wordsOf(
	paper: Paper,
	printer: Printer | undefined,
	across: readonly Bar[],
	along: readonly Bar[],
): readonly Paragraph[] {
	const size = paper.heightMm === undefined ? '' : `, ${round(paper.widthMm)} × ${round(paper.heightMm)} mm, upright`
	const halves = across.length > 1 || along.length > 1
	const name = printer ? (printer.name ?? printer.id) : '______________'
	const of = (text: string, before = 1.5): Paragraph => ({ text, sizeMm: BODY_MM, before })
	return [
		{ text: 'Test sheet for a printer', sizeMm: 8, bold: true },
		of(`Printer: ${name}. Paper: ${paper.name}${size}. Printed without any correction: that is what is measured.`, 2),
		of(
			'1. Print at 100 % (actual size): no fit, no shrink, no borderless. Choose this paper in the printer’s settings, and the tray, quality and side that the templates will be printed with.',
			2.5,
		),
		of('2. Let the sheet lie flat until it is cool: paper straight from a hot printer is short.'),
		of(
			'3. Measure both directions with a steel rule, not a tape. Lay the rule on the thin line and begin at its 10 mm mark, not at its end. Measure from the outer edge of one tick to the outer edge of the other, take the 10 mm off, and read to a fifth of a millimetre.',
		),
		...(halves ? [of('This paper has no room for 200 mm in one: measure A and B, and add them.')] : []),
		{ text: blank('across', across), sizeMm: 6, bold: true, before: 5 },
		{ text: blank('along', along), sizeMm: 6, bold: true, before: 5 },
		of('4. Type both into the shop file, at this printer:', 4),
		{
			text: `{ "id": ${JSON.stringify(printer?.id ?? '______')}, "measured": { "across": "______ mm", "along": "______ mm" } }`,
			sizeMm: BODY_MM,
			bold: true,
		},
		...(printer?.measured
			? [of(`The shop file has ${round(printer.measured.across)} mm across and ${round(printer.measured.along)} mm along now.`)]
			: []),
		of('More than 4 mm off, or the two more than 1 mm apart: look at the settings first, and print this sheet again.'),
		of('Again for another tray, paper or printer, and when a cartridge or drum has been changed.'),
	]
}

const round = (mm: number) => String(Math.round(mm * 100) / 100)

/** Words beside the check square of this sheet: it is not corrected yet. */
const SQUARE_WORDS: readonly Paragraph[] = [
	{ text: 'This square: 100 mm in the file', sizeMm: 4.4, bold: true },
	{
		text: 'From the middle of one line to the middle of the other. Here it shows what the printer does. On the templates, once both lengths are in the shop file, it must measure 100 mm both ways.',
		sizeMm: 3.2,
		before: 1,
	},
]

const tooSmall = (paper: Paper, { left, right, top, bottom }: Margins): Outcome<Drawing> => ({
	problems: [
		{
			code: 'PAPER_TOO_SMALL',
			severity: 'error',
			path: '/paper',
			found: `a test sheet on ${paper.name} with margins of ${left} left, ${right} right, ${top} top, ${bottom} bottom (mm)`,
			expected: 'a sheet with room inside its margins for bars both ways, a check square of 100 mm and the words',
			fix: 'Take a larger paper for the test sheet, or correct the margins in the shop file.',
		},
	],
})

/**
 * The test sheet, upright, to be printed with no correction. Bars ACROSS and ALONG are 200.00 mm from the outer edge of one end tick to
 * the outer edge of the other. Where 200 mm do not fit between the margins (across A4 with 10 mm each side: 190 mm) the bar comes as two
 * halves of 100.00 mm, A and B, which overlap side by side: their sum is what 200 mm of this printer measure, so that what is typed into
 * the shop file is always for 200 mm. With them the check square (100.00 mm from middle to middle of its line), what to do, blanks for
 * the figures and the line of the shop file that they go into. Problem PAPER_TOO_SMALL where that does not fit.
 */
export function testSheet(paper: Paper, margins: Margins, printer?: Printer): Outcome<Drawing> {
	const size = { widthMm: paper.widthMm, heightMm: paper.heightMm ?? ROLL_LENGTH_MM }
	const room = printableBox(size, margins, 'portrait', UPRIGHT)
	const across = barsOf('across', room.minX, room.maxX, room.maxY - TICK_MM.length)
	const top = room.maxY - STEP_MM * across.length
	const along = barsOf('along', room.minY, top, room.minX + TICK_MM.length)
	const left = room.minX + STEP_MM * along.length
	const half = SQUARE_LINE_MM / 2
	const square: Box = {
		minX: left + half,
		minY: room.minY + half,
		maxX: left + half + SQUARE_MM,
		maxY: room.minY + half + SQUARE_MM,
	}
	const space: Box = {
		minX: left,
		minY: square.maxY + half + CLEAR_MM,
		maxX: Math.min(room.maxX, left + MOST_WORDS_MM),
		maxY: top,
	}
	const shortest = TEST_LENGTH_MM / 2
	if (boxWidth(room) < shortest || top - room.minY < shortest || square.maxX + half > room.maxX) return tooSmall(paper, margins)
	if (boxHeight(space) <= 0) return tooSmall(paper, margins)
	const words = setText(wordsOf(paper, printer, across, along), space, 'frame')
	const inside = setText(SQUARE_WORDS, grown(square, -(CLEAR_MM + 1)), 'bar')
	if (words.cut > 0 || inside.cut > 0) return tooSmall(paper, margins)
	const frame: PathItem = {
		kind: 'path',
		role: 'bar',
		segments: filledFrame(square, SQUARE_LINE_MM),
		fill: '#000000',
		title: 'check square',
	}
	const items: readonly Item[] = [
		...across.map((bar) => barGroup('across', bar)),
		...along.map((bar) => barGroup('along', bar)),
		{ kind: 'group', id: 'check-square', title: 'Check square', items: [frame, ...inside.items] },
		{ kind: 'group', id: 'words', title: 'What to do', items: words.items },
	]
	return { value: { ...size, title: `Test sheet, ${paper.name}`, items }, problems: [] }
}
