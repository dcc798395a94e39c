/** What the patterns on the pictures of stages mean. */

import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { line, rect } from '../drawing/path.ts'
import type { Job } from '../job/schema.ts'
import type { Shop, Tape } from '../job/shop.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { type Block, words } from './measuringSheetTable.ts'
import { lastOn, type StageWork } from './paintworkPrint.ts'
import { path } from './planPart.ts'
import { BARE, INK, LEADER, PAPER } from './planStyle.ts'
import { COVERED, COVERED_MM, hatchItem, KNIFE, KNIFE_MM, paler } from './stageLook.ts'
import { tapeStyles } from './tapeStyles.ts'

interface Entry {
	readonly text: string
	/** in a box as wide and as high as this, its corner at 0, 0 */
	draw(widthMm: number, heightMm: number): readonly Item[]
}

const box = (w: number, h: number) => ({ minX: 0, minY: 0, maxX: w, maxY: h })
const loop = (w: number, h: number) => [
	[
		{ x: 0, y: 0 },
		{ x: w, y: 0 },
		{ x: w, y: h },
		{ x: 0, y: h },
	],
]

/** What stands on the pictures of these stages, each kind once. */
function entriesOf(works: readonly StageWork[], paintsOf: Job['paints'], stock: Shop['tapes']): readonly Entry[] {
	const styleOf = tapeStyles(stock)
	const tapes = new Map<string, Tape>(
		works.flatMap(({ tape }) => tape.runs.map((run) => [tapeWords(run.tape), run.tape] as const)),
	)
	const paints = new Map(works.map(({ paint }) => [paint.name, paint.colour]))
	const colour = [...paints.values()][0] ?? BARE
	const open = paints.size === 1 ? `open: ${[...paints.keys()][0]}` : 'open, in its paint'
	const finished = new Set(
		works.flatMap(({ work, stage }) =>
			work.seen.parts.flatMap(({ coats }, i) => {
				const own = paintsOf.find(({ id }) => id === lastOn({ work, stage }, coats))
				return stage.standing[i] === 'closed' && own ? [own.colour] : []
			}),
		),
	)
	const cut = works.some(({ tape }) => tape.runs.some(({ front, rear }) => front.kind === 'cut' || rear.kind === 'cut'))
	return [
		{ text: open, draw: (w, h) => [path(rect(box(w, h)), LEADER, undefined, colour)] },
		{
			text: 'covered',
			draw: (w, h) => [path(rect(box(w, h)), LEADER, undefined, PAPER), hatchItem(loop(w, h), COVERED, COVERED_MM, 'covered')],
		},
		...(finished.size > 0
			? [
					{
						text: 'finished, paler than it is',
						draw: (w: number, h: number) =>
							[...finished].map((each, i, all) =>
								path(
									rect({ minX: (i * w) / all.length, maxX: ((i + 1) * w) / all.length, minY: 0, maxY: h }),
									LEADER,
									undefined,
									paler(each),
								),
							),
					},
				]
			: []),
		...[...tapes.entries()]
			.sort(([, a], [, b]) => a.width - b.width)
			.map(([text, tape]): Entry => {
				const { stroke, fill } = styleOf(tape, 0.5)
				return { text, draw: (w, h) => [path(rect({ minX: 0, maxX: w, minY: 0.1 * h, maxY: 0.9 * h }), stroke, undefined, fill)] }
			}),
		...(works.some(({ tape }) => tape.knives.length > 0)
			? [
					{
						text: 'knife mask',
						draw: (w: number, h: number) => [
							path(rect(box(w, h)), KNIFE, undefined, PAPER),
							hatchItem(loop(w, h), KNIFE, KNIFE_MM, 'knife mask', 'left'),
						],
					},
				]
			: []),
		...(cut
			? [
					{
						text: 'end of a run that is cut to the line',
						draw: (w: number, h: number) => [
							path(line({ x: w / 2, y: -0.1 * h }, { x: w / 2, y: 1.1 * h }), { widthMm: 0.7, colour: INK }),
						],
					},
				]
			: []),
	]
}

const SWATCH = 2.6

/** In rows as wide as there is room; what lies on another is drawn over it. */
export function legendBlock(
	works: readonly StageWork[],
	paints: Job['paints'],
	stock: Shop['tapes'],
	widthMm: number,
	textMm: number,
): Block {
	const entries = entriesOf(works, paints, stock)
	const swatch = SWATCH * textMm
	const row = 1.9 * textMm
	let [x, y] = [0, 0]
	const placed = entries.map((entry) => {
		const wide = swatch + 0.6 * textMm + textWidth(entry.text, { sizeMm: textMm })
		if (x > 0 && x + wide > widthMm) [x, y] = [0, y + row]
		const at = { entry, x, y }
		x += wide + 1.6 * textMm
		return at
	})
	return {
		heightMm: y + row + 0.5 * textMm,
		draw: ({ x: left, top }) =>
			placed.flatMap(({ entry, x: dx, y: dy }): Item[] => {
				const base = top - dy - 1.3 * textMm
				return [
					{ kind: 'group', at: { x: left + dx, y: base - 0.15 * textMm }, items: entry.draw(swatch, textMm) },
					words(left + dx + swatch + 0.6 * textMm, base, entry.text, { sizeMm: textMm }),
				]
			}),
	}
}
