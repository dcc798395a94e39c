/** The plan of a panel: its painted side drawn flat at true size, with everything named. */
import { boundsOf } from '../drawing/bounds.ts'
import { boxHeight, boxWidth, grown, unionBox } from '../drawing/box.ts'
import type { Box, Drawing, Item, PathItem, TextItem } from '../drawing/drawing.ts'
import { arrow, line, rect } from '../drawing/path.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { PlanePoint } from '../plane/point.ts'
import { MM_PER_INCH, type Unit } from '../units/length.ts'
import { type Label, type PlacedLabel, placeLabels } from './labels.ts'
import { markSegments } from './planMeasures.ts'
import { INK, KNOWN, LEADER, PAPER, SYMBOL, textSize } from './planStyle.ts'
import { planView, type View } from './planView.ts'

export interface PlanOptions {
	readonly unit: Unit
}

const MARGIN_MM = 10
/** Between the left and the right panel of a pair. */
const BETWEEN_MM = 30

/**
 * The plan, as large as what it shows; undefined where nothing of the panel has a place. A centreline panel is one spread, front
 * to the left and the right side above; of a pair the left panel stands above the right one, whose front is to the right.
 */
export function planDrawing(result: Result, panel: PanelResult, { unit }: PlanOptions): Drawing | undefined {
	const colours = new Map(result.job.paints.map(({ id, name, colour }) => [id, { name, colour }]))
	const charts = panel.shape?.now ?? []
	const chart = charts[0]?.chart
	const area = panel.lines?.area?.region.flat() ?? []
	const textMm = textSize(area.length > 0 ? Math.max(...area.map(({ s }) => s)) - Math.min(...area.map(({ s }) => s)) : 0)
	const views = charts.flatMap(({ hand, chart: own }) => planView({ panel, chart: own, hand, colours, unit, textMm }) ?? [])
	if (views.length === 0 || !chart) return undefined

	const items: Item[] = []
	const left: Label[] = []
	let below: Box | undefined
	for (const view of views) {
		const drawn = drawView(view, textMm)
		const box = boundsOf(drawn.items)
		if (!box) continue
		const at = below ? { x: centre(below) - centre(box), y: below.minY - BETWEEN_MM - box.maxY } : { x: 0, y: 0 }
		items.push({ kind: 'group', id: `${panel.id}-${view.hand}`, title: sideWords(view), at, items: drawn.items })
		const moved = { minX: box.minX + at.x, maxX: box.maxX + at.x, minY: box.minY + at.y, maxY: box.maxY + at.y }
		below = below ? unionBox([below, moved]) : moved
		left.push(...drawn.left)
	}
	const content = boundsOf(items)
	if (!content) return undefined
	const lengthsTrue = chart.euclidean
	const head = heading(result, panel, lengthsTrue, content, textMm)
	const foot = legend(result, panel, left, unit, content, textMm)
	items.push(
		{ kind: 'group', id: 'title', title: 'Title', items: head },
		{ kind: 'group', id: 'legend', title: 'Legend', items: foot },
	)
	const whole = boundsOf(items)
	if (!whole) return undefined
	const page = grown(whole, MARGIN_MM)
	const ground: PathItem = { kind: 'path', role: 'frame', segments: rect(page), fill: PAPER }
	return {
		widthMm: boxWidth(page),
		heightMm: boxHeight(page),
		title: `${result.job.title}: plan of ${panel.title}`,
		items: [{ kind: 'group', at: { x: -page.minX, y: -page.minY }, items: [ground, ...items] }],
	}
}

const centre = (box: Box) => (box.minX + box.maxX) / 2
const sideWords = ({ hand }: View) => (hand === 'centre' ? 'both sides' : hand)

const words = (at: PlanePoint, text: string, sizeMm: number, more: Partial<TextItem> = {}): TextItem => ({
	kind: 'text',
	role: 'label',
	at,
	text,
	sizeMm,
	anchor: 'start',
	angle: 0,
	colour: INK,
	...more,
})

/** The view with its side and front, and its labels placed. */
function drawView(view: View, textMm: number): { readonly items: readonly Item[]; readonly left: readonly Label[] } {
	const furniture = [...frontArrow(view, textMm), ...sideNames(view, textMm)]
	const blocked = furniture.flatMap((item) => boundsOf([item]) ?? []).map((box) => grown(box, 1))
	const { labels, left } = placeLabels(view.labels, { boxes: [...view.marks, ...blocked], lines: view.lines })
	const drawn = labels.flatMap(labelItems)
	return {
		items: [...view.items, ...furniture, { kind: 'group', id: `labels-${view.hand}`, title: 'Labels', items: drawn }],
		left,
	}
}

function labelItems({ label, item, box, leader }: PlacedLabel): Item[] {
	const items: Item[] = []
	if (leader) items.push({ kind: 'path', role: 'label', segments: line(...leader), stroke: LEADER })
	// paper below the words: they can be read over any paint
	items.push({ kind: 'path', role: 'label', segments: rect(box), fill: PAPER, ...(label.framed ? { stroke: LEADER } : {}) }, item)
	return items
}

/** Beside the panel's front end, off the baseline. */
function frontArrow({ box, frontX, front }: View, textMm: number): Item[] {
	const length = 5 * textMm
	const from = frontX === -1 ? box.minX - 14 : box.maxX + 14
	const y = 2 * textMm
	const [a, b] = [
		{ x: from, y },
		{ x: from + frontX * length, y },
	]
	const middle = { x: (a.x + b.x) / 2, y: y + 0.6 * textMm }
	return [
		{
			kind: 'path',
			role: 'label',
			segments: arrow(a, b, 0.8 * textMm),
			stroke: { widthMm: 0.6, colour: INK },
			title: front.toLowerCase(),
		},
		words(middle, front, textMm, { bold: true, anchor: 'middle' }),
	]
}

/** LEFT and RIGHT at the rear end of a spread, each beside its half; on one side's panel beside the whole. */
function sideNames({ hand, box, frontX }: View, textMm: number): Item[] {
	const size = 1.5 * textMm
	const x = frontX === -1 ? box.maxX + 14 : box.minX - 14
	const anchor = frontX === -1 ? 'start' : 'end'
	const name = (text: string, y: number) => words({ x, y: y - 0.35 * size }, text, size, { bold: true, anchor })
	if (hand !== 'centre') return [name(hand.toUpperCase(), Math.max(2.5 * size, (box.minY + box.maxY) / 2))]
	return [name('RIGHT', Math.max(1.5 * size, box.maxY / 2)), name('LEFT', Math.min(-1.5 * size, box.minY / 2))]
}

const TRUE_SIZE = 'True size.'
const SPREAD = 'Flat spread about the baseline: lengths across are true, lengths along only on the baseline.'

function heading({ job, revision }: Result, panel: PanelResult, lengthsTrue: boolean, content: Box, textMm: number): Item[] {
	const x = content.minX
	const y = content.maxY + 3 * textMm
	const note = `${lengthsTrue ? TRUE_SIZE : SPREAD} Seen from outside, on the painted side.`
	return [
		words({ x, y: y + 3.4 * textMm }, panel.title, 2 * textMm, { bold: true }),
		words({ x, y: y + 1.5 * textMm }, `${job.title}, revision ${revision}`, textMm),
		words({ x, y }, note, textMm),
	]
}

/** Paints, symbols, a scale bar, and the labels that found no place. */
function legend({ job }: Result, panel: PanelResult, left: readonly Label[], unit: Unit, content: Box, textMm: number): Item[] {
	const items: Item[] = []
	const x = content.minX
	const row = 1.7 * textMm
	let y = content.minY - 3 * textMm
	items.push(...scaleBar({ x, y }, unit, textMm))
	y -= 1.4 * row
	const used = new Set([
		...panel.panel.fields.map(({ paint }) => paint),
		...panel.panel.stripes.flatMap(({ bands }) => bands.flatMap((band) => ('paint' in band ? [band.paint] : []))),
	])
	for (const { id, name, colour } of job.paints) {
		if (!used.has(id)) continue
		const swatch = { minX: x, maxX: x + 3 * textMm, minY: y - 0.2 * textMm, maxY: y + 0.9 * textMm }
		items.push({ kind: 'path', role: 'fill', segments: rect(swatch), fill: colour, stroke: LEADER, title: name })
		items.push(words({ x: x + 4 * textMm, y }, name, textMm))
		y -= row
	}
	const symbol = (draw: Item, text: string) => {
		items.push(draw, words({ x: x + 4 * textMm, y }, text, textMm))
		y -= row
	}
	const at = () => ({ x: x + 1.5 * textMm, y: y + 0.35 * textMm })
	symbol({ kind: 'path', role: 'guide', segments: markSegments(at(), true), stroke: SYMBOL }, 'datum')
	symbol({ kind: 'path', role: 'guide', segments: markSegments(at(), false), stroke: SYMBOL }, 'mark, as measured')
	const { x: besideX, y: besideY } = at()
	const beside = [0.3, -0.3].flatMap((up) =>
		line({ x: besideX - textMm, y: besideY + up * textMm }, { x: besideX + textMm, y: besideY + up * textMm }),
	)
	symbol({ kind: 'path', role: 'guide', segments: beside, stroke: KNOWN }, 'a line lies between these 95 times in 100')
	const { x: atX, y: atY } = at()
	const frame = { minX: atX - textMm, maxX: atX + textMm, minY: atY - 0.65 * textMm, maxY: atY + 0.65 * textMm }
	const some = String(panel.pieces?.[0]?.number ?? 1)
	items.push(words({ x: atX, y }, some, 0.9 * textMm, { bold: true, anchor: 'middle' }))
	symbol({ kind: 'path', role: 'label', segments: rect(frame), stroke: LEADER }, 'number of a piece, as on its sheets')
	if (left.length > 0) symbol({ kind: 'group', items: [] }, `no room to name: ${left.map(({ text }) => text).join(', ')}`)
	return items
}

/** A bar that is checked with a ruler: 100 mm, or 4 in. */
function scaleBar(at: PlanePoint, unit: Unit, textMm: number): Item[] {
	const [length, text] = unit === 'mm' ? [100, '100 mm'] : [4 * MM_PER_INCH, '4 in']
	const end = { x: at.x + length, y: at.y }
	const tick = (x: number) => line({ x, y: at.y - 1.5 }, { x, y: at.y + 1.5 })
	const segments = [...line(at, end), ...tick(at.x), ...tick(at.x + length / 2), ...tick(end.x)]
	return [
		{ kind: 'path', role: 'bar', segments, stroke: SYMBOL, title: text },
		words({ x: end.x + 2, y: at.y - 0.35 * textMm }, text, textMm),
	]
}
