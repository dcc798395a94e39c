/** A panel seen flat from outside, small: where its datums are, and the marks that are to be measured. */
import type { ChartPoint } from '../chart/point.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { boxHeight, boxOf, boxWidth, grown } from '../drawing/box.ts'
import type { Box, Item, Segment } from '../drawing/drawing.ts'
import { arrow, line, polyline } from '../drawing/path.ts'
import { signedGirth } from '../job/place.ts'
import { frontWord } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import { type Label, placeLabels } from './labels.ts'
import type { HandSide, MarkRow } from './measuringSheetBlanks.ts'
import type { RoughPlaces } from './measuringSheetPlaces.ts'
import { type Block, fitted, SMALL_MM, words } from './measuringSheetTable.ts'
import { markSegments } from './planMeasures.ts'
import { path } from './planPart.ts'
import { CENTRE, HALO, LEADER, LINE, OPEN_OUTLINE, OUTLINE, STATION, SYMBOL } from './planStyle.ts'

const NAME_MM = 3
/** On each side of the panel: the front arrow, and LEFT and RIGHT. */
const ENDS_MM = 17
/** Above and below: names beside marks at the rim. */
const RIM_MM = 5
/** A longer name of a mark is cut short; its row has more of it. */
const WIDEST_NAME_MM = 30
const ARROW_MM = 12
/** The baseline runs on past the panel. */
const BEYOND_MM = 3
const APART_MM = 6
/** Names may stand out further than was reckoned with: the picture is made smaller, so many times at most. */
const TRIES = 6
const CHORD_MM = 0.1

/** As wide as it may be and no higher than `mostMm`; both panels of a pair stand side by side. Not to scale. */
export function pictureBlock(
	panel: Panel,
	marks: readonly MarkRow[],
	places: RoughPlaces,
	widthMm: number,
	mostMm: number,
): Block {
	const hands: readonly (HandSide | undefined)[] = panel.hand === 'pair' ? ['left', 'right'] : [undefined]
	const each = (widthMm - APART_MM * (hands.length - 1)) / hands.length
	const views = hands.map((hand) => fittedView({ panel, marks, places, hand }, each, mostMm))
	const heightMm = Math.max(...views.map(({ box }) => boxHeight(box))) + 2
	return {
		heightMm,
		draw: ({ x, top }) =>
			views.map(({ items, box }, i): Item => {
				const left = x + i * (each + APART_MM) + (each - boxWidth(box)) / 2
				return { kind: 'group', title: 'panel, not to scale', at: { x: left - box.minX, y: top - 1 - box.maxY }, items }
			}),
	}
}

interface Seen {
	readonly panel: Panel
	readonly marks: readonly MarkRow[]
	readonly places: RoughPlaces
	/** of a pair: which of the two */
	readonly hand: HandSide | undefined
}

interface View {
	readonly items: readonly Item[]
	readonly box: Box
}

function fittedView(seen: Seen, widthMm: number, mostMm: number): View {
	const { s, g } = seen.places.box
	let scale = Math.min((widthMm - 2 * ENDS_MM) / (s[1] - s[0]), (mostMm - 2 * RIM_MM) / (g[1] - g[0]))
	for (let i = 0; ; i++) {
		const view = viewAt(seen, scale)
		const over = Math.max(boxWidth(view.box) / widthMm, boxHeight(view.box) / mostMm)
		if (over <= 1 || i === TRIES) return view
		scale *= 0.98 / over
	}
}

function viewAt({ panel, marks, places, hand }: Seen, scale: number): View {
	// stations run to the right on what is seen from the left or from above, to the left on a right-hand panel
	const way = (hand ?? panel.hand) === 'right' ? -1 : 1
	const to = ({ s, g }: ChartPoint): PlanePoint => ({ x: way * s * scale, y: g * scale })
	const { s, g } = places.box
	const reach = boxOf([to({ s: s[0], g: g[0] }), to({ s: s[1], g: g[1] })]) as Box
	const outline = places.loops.map((loop) => simplify(loop.map(to), CHORD_MM, true))
	const items: Item[] = []
	const labels: Label[] = []
	const boxes: Box[] = []
	const axis = [reach.minX, reach.maxX].map((x) => ({ x, y: 0 }))
	const lines: (readonly PlanePoint[])[] = [...outline, axis]
	const stroke = places.outlined ? OUTLINE : OPEN_OUTLINE
	if (outline.length > 0) {
		items.push(
			path(
				outline.flatMap((loop) => polyline(loop, true)),
				stroke,
				'outline',
			),
		)
	}
	for (const { at, id, closed, side } of places.lines) {
		if (panel.hand === 'pair' && side !== hand) continue
		const points = at.map(to)
		items.push(path(polyline(points, closed), STATION, id))
		lines.push(points)
	}
	items.push(path(baseline(panel, reach, to), CENTRE, panel.hand === 'centre' ? 'centreline' : 'baseline'))
	for (const { from, to: end, what } of panel.baseline.interruptions) {
		const ends = [to({ s: from, g: 0 }), to({ s: end, g: 0 })]
		items.push(
			path(
				ends.flatMap(({ x }) => line({ x, y: -2 }, { x, y: 2 })),
				LINE,
				what,
			),
		)
		labels.push({
			text: fitted(what, WIDEST_NAME_MM, { sizeMm: SMALL_MM }).text,
			anchors: [middleOf(ends)],
			sizeMm: SMALL_MM,
			on: true,
		})
	}
	const put = (id: string, at: PlanePoint, datum: boolean) => {
		const segments = markSegments(at, datum)
		items.push(path(segments, HALO), path(segments, SYMBOL, id))
		boxes.push(grown({ minX: at.x, minY: at.y, maxX: at.x, maxY: at.y }, datum ? 2.1 : 1.6))
		// a name stands outward of its mark, where the pencil's line is not
		labels.push({
			text: fitted(id, WIDEST_NAME_MM, { sizeMm: NAME_MM }).text,
			anchors: [at],
			sizeMm: NAME_MM,
			bold: datum,
			reachMm: 1.8,
			towards: at.y < 0 ? -Math.PI / 2 : Math.PI / 2,
		})
	}
	for (const datum of panel.datums) {
		if (datum.panel !== undefined && datum.panel !== hand) continue
		put(datum.id, to({ s: datum.station, g: signedGirth(datum.girth, datum.side) }), true)
	}
	for (const { name, at } of marksSeen(panel, marks, places, hand)) put(name, to(at), false)
	const furniture = [...front(panel, reach, way), ...sideNames(panel, hand, reach, way)]
	const blocked = furniture.flatMap((item) => boundsOf([item]) ?? [])
	const placed = placeLabels(labels, { boxes: [...boxes, ...blocked], lines })
	for (const { item, leader } of placed.labels) {
		if (leader) items.push({ kind: 'path', role: 'label', segments: line(...leader), stroke: LEADER })
		items.push(item)
	}
	items.push(...furniture)
	return { items, box: boundsOf(items) ?? reach }
}

const middleOf = ([a, b]: readonly PlanePoint[]): PlanePoint => ({ x: ((a?.x ?? 0) + (b?.x ?? 0)) / 2, y: 0 })

/** Each mark once for each side that it is to be measured on. */
function marksSeen(panel: Panel, marks: readonly MarkRow[], places: RoughPlaces, hand: HandSide | undefined) {
	return marks.flatMap(({ mark, crossing, blanks }) =>
		(crossing ? [] : blanks).flatMap(({ side }) => {
			const at = panel.hand === 'pair' && side !== undefined && side !== hand ? undefined : places.of(mark, side ?? hand)
			return at ? [{ name: mark, at }] : []
		}),
	)
}

function baseline(panel: Panel, reach: Box, to: (p: ChartPoint) => PlanePoint): readonly Segment[] {
	const gaps = panel.baseline.interruptions
		.map((gap) => [to({ s: gap.from, g: 0 }).x, to({ s: gap.to, g: 0 }).x].toSorted((a, b) => a - b) as [number, number])
		.toSorted((a, b) => a[0] - b[0])
	const segments: Segment[] = []
	let x = reach.minX - BEYOND_MM
	for (const [from, end] of [...gaps, [reach.maxX + BEYOND_MM, Number.POSITIVE_INFINITY] as const]) {
		if (from > x) segments.push(...line({ x, y: 0 }, { x: from, y: 0 }))
		x = Math.max(x, end)
	}
	return segments
}

/** Beside the front end, on the baseline. */
function front({ found }: Panel, reach: Box, way: number): readonly Item[] {
	const from = way === 1 ? reach.minX - BEYOND_MM - 1 : reach.maxX + BEYOND_MM + 1
	const end = { x: from - way * ARROW_MM, y: 0 }
	const segments = arrow({ x: from, y: 0 }, end, 2.6)
	const word = frontWord(found.kind === 'sections' && found.closed === true)
	return [
		{ kind: 'path', role: 'label', segments, stroke: { ...OUTLINE, widthMm: 0.6 }, title: word.toLowerCase() },
		words((from + end.x) / 2, 1.4, word, { sizeMm: NAME_MM, bold: true, anchor: 'middle' }),
	]
}

/** LEFT and RIGHT at the rear end, each beside its half; of a panel of one side above it. */
function sideNames(panel: Panel, hand: HandSide | undefined, reach: Box, way: number): readonly Item[] {
	const style = { sizeMm: 4, bold: true } as const
	const x = way === 1 ? reach.maxX + BEYOND_MM + 1 : reach.minX - BEYOND_MM - 1
	const anchor = way === 1 ? ('start' as const) : ('end' as const)
	const name = (text: string, y: number) => words(x, y - 1.4, text, { ...style, anchor })
	if (panel.hand !== 'centre') return [name((hand ?? panel.hand).toUpperCase(), Math.max(6, reach.maxY / 2))]
	return [name('RIGHT', Math.max(6, reach.maxY / 2)), name('LEFT', Math.min(-6, reach.minY / 2))]
}
