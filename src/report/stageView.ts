/** One stage of one panel as one looks at it: what is open, what is covered, and every run of tape with its number. */
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint } from '../chart/point.ts'
import { polyline as curvePoints } from '../chart/region.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { boxHeight, boxWidth, grown } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { arrow, circle, line, rect } from '../drawing/path.ts'
import { frontWord } from '../job/say.ts'
import type { Paint } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { KnifeMask, RunEnd, TapeRun } from '../tape/run.ts'
import { innerPoints } from './innerPoints.ts'
import { type Label, type PlacedLabel, placeLabels } from './labels.ts'
import { words } from './measuringSheetTable.ts'
import { lastOn, type StageWork } from './paintworkPrint.ts'
import { path, regionSegments } from './planPart.ts'
import { BARE, INK, LEADER, PAPER } from './planStyle.ts'
import { COVERED, COVERED_MM, hatchItem, KNIFE, KNIFE_MM, paler } from './stageLook.ts'
import { tapeStyles } from './tapeStyles.ts'

/** How large a picture is, and what of it is read from where. */
export interface PictureSize {
	readonly widthMm: number
	readonly mostMm: number
	/** size of the runs' numbers, and of FRONT, LEFT and RIGHT */
	readonly numberMm: number
	readonly textMm: number
	/** outlines of tape */
	readonly strokeMm: number
}

/** A capital or a figure of this size is 6 mm high: read at two metres. */
const FAR_NUMBER_MM = 8.7

/** On a page for the wall, for a job sheet with several on a page. */
export const LARGE = { numberMm: FAR_NUMBER_MM, textMm: 6, strokeMm: 0.5 } as const
export const SMALL = { numberMm: 3.4, textMm: 3, strokeMm: 0.3 } as const

export interface StageView {
	readonly items: readonly Item[]
	readonly box: Box
	/** numbers that found no room */
	readonly left: readonly string[]
}

/** The labels may stand out further than was reckoned with: the picture is made smaller, so many times at most. */
const TRIES = 6
/** On paper, mm: finer than a printer's dot. */
const SMOOTH_MM = 0.05
const ROUGH_MM = 0.3
/** Of a run on the panel. */
const CHORD_MM = 0.2
const DOT_MM = 0.55
/** Where along a run its number may point to, as a part of its length. */
const ANCHORS = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88]

/** As wide as it may be and no higher than it may be. Not to scale. */
export function stageView(
	of: StageWork,
	paints: readonly Paint[],
	stock: Shop['tapes'],
	size: PictureSize,
): StageView | undefined {
	const whole = boundsAt(of)
	if (!whole) return undefined
	const ends = 2 * (endRoom(size) + 2)
	let scale = Math.min((size.widthMm - ends) / boxWidth(whole), size.mostMm / boxHeight(whole))
	for (let i = 0; ; i++) {
		const view = viewAt(of, paints, stock, size, scale)
		const over = Math.max(boxWidth(view.box) / size.widthMm, boxHeight(view.box) / size.mostMm)
		if (over <= 1 || i === TRIES) return view
		scale *= 0.985 / over
	}
}

/** Beside the panel: the front arrow, and LEFT and RIGHT. */
const endRoom = ({ textMm }: PictureSize) => 4.2 * textMm

/** All that is drawn of the panel, mm on the panel. */
function boundsAt({ work, tape }: StageWork): Box | undefined {
	const regions = [work.seen.area, ...tape.runs.map(({ outline }) => outline), ...tape.knives.map(({ outline }) => outline)]
	return boundsOf(
		regions.map((region) => path(regionSegments(region.map((loop) => loop.map(({ s, g }) => ({ x: s, y: g })))), undefined)),
	)
}

function viewAt(of: StageWork, paints: readonly Paint[], stock: Shop['tapes'], size: PictureSize, scale: number): StageView {
	const { work, tape, key } = of
	const { chart } = work.seen
	const to = ({ s, g }: ChartPoint): PlanePoint => {
		const { x, y } = toPaper(chart, { x: s, y: g })
		return { x: x * scale, y: y * scale }
	}
	const region = (loops: readonly (readonly ChartPoint[])[]): Region =>
		loops.map((loop) => simplify(loop.map(to), SMOOTH_MM, true)).filter((loop) => loop.length > 2)
	const ground = groundItems(of, paints, region)
	const styleOf = tapeStyles(stock)
	const laid = [...tape.runs, ...tape.knives].sort((a, b) => a.number - b.number)
	const drawn = laid.map((each): { each: TapeRun | KnifeMask; outline: Region; item: Item } => {
		const outline = region(each.outline)
		const segments = regionSegments(outline)
		const id = `${key}-run-${each.number}`
		if ('tape' in each) {
			const { stroke, fill } = styleOf(each.tape, size.strokeMm)
			return { each, outline, item: { kind: 'group', id, items: [path(segments, stroke, `run ${each.number}`, fill)] } }
		}
		const title = `knife mask ${each.number}`
		const items = [path(segments, KNIFE, title, PAPER), hatchItem(outline, KNIFE, KNIFE_MM, title, 'left')]
		return { each, outline, item: { kind: 'group', id, items } }
	})
	const cuts = tape.runs.flatMap((run) => cutMarks(of, run, to))
	const outline = path(regionSegments(region(work.seen.area)), { widthMm: size.strokeMm + 0.2, colour: INK }, 'outline')
	const under = [...ground, ...drawn.map(({ item }) => item), outline, ...cuts]
	const box = boundsOf(under) ?? { minX: 0, minY: 0, maxX: 0, maxY: 0 }
	const furniture = endItems(of, box, size)
	const numbers = drawn.map(
		({ each, outline: loops }): Label => ({
			text: String(each.number),
			anchors: 'tape' in each ? middleOf(of, each, to) : [...innerPoints(loops).map(({ p }) => p), to(each.at)],
			sizeMm: size.numberMm,
			bold: true,
			framed: true,
		}),
	)
	const blocked = furniture.flatMap((item) => boundsOf([item]) ?? []).map((each) => grown(each, 1))
	const lines = drawn.flatMap(({ outline: loops }) => loops.map((loop) => simplify([...loop, ...loop.slice(0, 1)], ROUGH_MM)))
	const { labels, left } = placeLabels(numbers, { boxes: blocked, lines })
	const items: Item[] = [
		...under,
		...furniture,
		{ kind: 'group', title: 'numbers', items: [...labels.flatMap(leaderItems), ...labels.flatMap(numberItems)] },
	]
	return { items, box: boundsOf(items) ?? box, left: left.map(({ text }) => text) }
}

/** Bare panel, finished parts paler, what is open in its paint, and a hatch over what is covered. */
function groundItems({ work, stage, paint }: StageWork, paints: readonly Paint[], region: To): readonly Item[] {
	const finished = work.seen.parts.flatMap(({ region: part, coats, what }, i) => {
		const colour = paints.find(({ id }) => id === lastOn({ work, stage }, coats))?.colour
		if (stage.standing[i] !== 'closed' || !colour) return []
		return [path(regionSegments(region(part)), undefined, `finished: ${what}`, paler(colour))]
	})
	return [
		path(regionSegments(region(work.seen.area)), undefined, 'panel', BARE),
		...finished,
		path(regionSegments(region(stage.open)), undefined, `open: ${paint.name}`, paint.colour),
		hatchItem(region(stage.covered), COVERED, COVERED_MM, 'covered'),
	]
}
type To = (loops: readonly (readonly ChartPoint[])[]) => Region

/** Points on the middle of a run of tape, the middle of its length first. */
function middleOf(of: StageWork, run: TapeRun, to: (p: ChartPoint) => PlanePoint): readonly PlanePoint[] {
	const points = curvePoints(of.work.seen.chart, run.line, CHORD_MM)
	return ANCHORS.map((part) => to(besideAt(points, part * (points.length - 1), run.offMm + run.tape.width / 2)))
}

/** A point beside a polyline, on its plus side; `at` counts its points. */
function besideAt(points: readonly ChartPoint[], at: number, offMm: number): ChartPoint {
	const i = Math.min(points.length - 2, Math.max(0, Math.floor(at)))
	const [a, b] = [points[i] as ChartPoint, points[i + 1] as ChartPoint]
	const t = Math.min(1, Math.max(0, at - i))
	const [ds, dg] = [b.s - a.s, b.g - a.g]
	const length = Math.hypot(ds, dg) || 1
	return { s: a.s + t * ds - (offMm * dg) / length, g: a.g + t * dg + (offMm * ds) / length }
}

const CUT_OVER_MM = 1.2

/** A bar across the tape where its end is cut. */
function cutMarks({ work }: StageWork, run: TapeRun, to: (p: ChartPoint) => PlanePoint): readonly Item[] {
	const cut = [run.front, run.rear].filter(({ kind }: RunEnd) => kind === 'cut')
	if (cut.length === 0) return []
	const points = curvePoints(work.seen.chart, run.line, CHORD_MM)
	return cut.flatMap(({ at }): Item[] => {
		const away = (p: ChartPoint) => Math.hypot(p.s - at.s, p.g - at.g)
		const i = points.reduce((best, p, k) => (away(p) < away(points[best] as ChartPoint) ? k : best), 0)
		const [a, b] = [to(besideAt(points, i, run.offMm)), to(besideAt(points, i, run.offMm + run.tape.width))]
		const length = Math.hypot(b.x - a.x, b.y - a.y) || 1
		const over = { x: ((b.x - a.x) / length) * CUT_OVER_MM, y: ((b.y - a.y) / length) * CUT_OVER_MM }
		const bar = line({ x: a.x - over.x, y: a.y - over.y }, { x: b.x + over.x, y: b.y + over.y })
		return [path(bar, { widthMm: 1.3, colour: PAPER }), path(bar, { widthMm: 0.7, colour: INK }, `end of run ${run.number}, cut`)]
	})
}

/** FRONT at the front end, LEFT and RIGHT beside their halves at the rear end. */
function endItems({ work }: StageWork, box: Box, size: PictureSize): readonly Item[] {
	const { chart } = work.seen
	const { textMm } = size
	const frontX = chart.orientation === 1 ? -1 : 1
	const from = frontX === -1 ? box.minX - 0.7 * textMm : box.maxX + 0.7 * textMm
	const to = from + frontX * 3.4 * textMm
	const sizeMm = 0.9 * textMm
	const middle = { x: (from + to) / 2, y: 0 }
	const arrowAt: Item = path(
		arrow({ x: from, y: 0 }, { x: to, y: 0 }, 0.8 * textMm),
		{ widthMm: Math.max(0.4, size.strokeMm), colour: INK },
		'front',
	)
	const front = words(middle.x, 0.5 * textMm, frontWord(chart.periodS !== undefined), { sizeMm, bold: true, anchor: 'middle' })
	const x = frontX === -1 ? box.maxX + 0.7 * textMm : box.minX - 0.7 * textMm
	const side = (text: string, y: number) =>
		words(x, y - 0.35 * textMm, text, { sizeMm, bold: true, anchor: frontX === -1 ? 'start' : 'end' })
	if (work.hand !== 'centre') return [arrowAt, front, side(work.hand.toUpperCase(), Math.max(1.5 * textMm, box.maxY / 2))]
	return [
		arrowAt,
		front,
		side('RIGHT', Math.max(1.2 * textMm, box.maxY / 2)),
		side('LEFT', Math.min(-1.2 * textMm, box.minY / 2)),
	]
}

/** A leader from a dot on the tape of a number, however near that is. All are drawn before the numbers: those can be read over them. */
function leaderItems({ label, box, leader }: PlacedLabel): readonly Item[] {
	const from = leader?.[0] ?? nearestTo(label.anchors, box)
	const to = leader?.[1] ?? { x: clamp(from.x, box.minX, box.maxX), y: clamp(from.y, box.minY, box.maxY) }
	return [
		path(line(from, to), { widthMm: 0.7, colour: PAPER }),
		path(line(from, to), { ...LEADER, widthMm: 0.25 }),
		path(circle(from, DOT_MM), undefined, undefined, INK),
	]
}

const numberItems = ({ item, box }: PlacedLabel): readonly Item[] => [path(rect(box), LEADER, undefined, PAPER), item]

const clamp = (x: number, least: number, most: number) => Math.min(most, Math.max(least, x))
function nearestTo(anchors: readonly PlanePoint[], box: Box): PlanePoint {
	const off = (p: PlanePoint) => Math.hypot(p.x - clamp(p.x, box.minX, box.maxX), p.y - clamp(p.y, box.minY, box.maxY))
	return anchors.reduce((best, p) => (off(p) < off(best) ? p : best), anchors[0] ?? { x: box.minX, y: box.minY })
}
