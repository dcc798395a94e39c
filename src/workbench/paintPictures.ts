/** The large pictures of Tape and Paint, as SVG: a stage with its runs, and the films of a panel by thickness. */
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint } from '../chart/point.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { boxHeight, boxWidth } from '../drawing/box.ts'
import type { Drawing, Item } from '../drawing/drawing.ts'
import { circle, line, polyline, rect } from '../drawing/path.ts'
import { toSvg } from '../drawing/svg.ts'
import type { PanelPaintwork } from '../engine/paintwork.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import { innerPoints } from '../report/innerPoints.ts'
import { type PlacedLabel, placeLabels } from '../report/labels.ts'
import { words } from '../report/measuringSheetTable.ts'
import { type PaintworkPrint, panelTitle, stageWorks } from '../report/paintworkPrint.ts'
import { path, regionSegments } from '../report/planPart.ts'
import { BARE, INK, LEADER, PAPER } from '../report/planStyle.ts'
import { legendBlock } from '../report/stageLegend.ts'
import { hatchItem } from '../report/stageLook.ts'
import { pictureBlock } from '../report/stagePicture.ts'
import { LARGE } from '../report/stageView.ts'

/** As wide as a ten-inch tablet: numbers keep their true size there. */
const WIDTH_MM = 160
const MOST_MM = 96
const LEGEND_MM = 4

/** Of a stage by its key, or of the films of a panel: "films/" and its id. Undefined where there is none. */
export function paintPicture(print: PaintworkPrint, key: string): string | undefined {
	const panel = /^films\/(.*)$/.exec(key)?.[1]
	const drawing = panel === undefined ? stageDrawing(print, key) : filmDrawing(print, panel)
	return drawing && toSvg(drawing).trim()
}

function stageDrawing(print: PaintworkPrint, key: string): Drawing | undefined {
	const of = stageWorks(print).find((each) => each.key === key)
	if (!of) return undefined
	const { result, shop } = print
	const picture = pictureBlock(of, result, shop.tapes, { ...LARGE, textMm: 5, widthMm: WIDTH_MM, mostMm: MOST_MM })
	const legend = legendBlock([of], result.job.paints, shop.tapes, WIDTH_MM, LEGEND_MM)
	const heightMm = picture.heightMm + legend.heightMm + 4
	const at = (top: number) => ({ x: 2, top, widthMm: WIDTH_MM })
	return {
		...{ widthMm: WIDTH_MM + 4, heightMm },
		title: `${of.title}, ${of.paint.name}: what is open, what is covered, and the runs of tape by number`,
		items: [...picture.draw(at(heightMm - 2)), ...legend.draw(at(heightMm - 2 - picture.heightMm))],
	}
}

/** Paler where the film is thin. */
const PALEST = [250, 243, 224] as const
const DARKEST = [176, 120, 40] as const
/** Smaller places are seen on the list. */
const NAMED_MM2 = 40
const SMOOTH_MM = 0.05
const FIGURE_MM = 5
const DOT_MM = 0.6
const TITLE_MM = 5
const GAP_MM = 6

function filmDrawing({ paintwork }: PaintworkPrint, panel: string): Drawing | undefined {
	const works = paintwork.panels.filter(({ id }) => id === panel)
	const most = Math.max(0, ...works.flatMap(({ films }) => films.cells.map(({ totalUm }) => totalUm)))
	const least = Math.min(most, ...works.flatMap(({ films }) => films.cells.map(({ totalUm }) => totalUm)))
	const views = works.flatMap((work) => filmView(work, least, most, works.length) ?? [])
	if (views.length === 0) return undefined
	const heightMm = views.reduce((sum, view) => sum + view.heightMm + GAP_MM, 0)
	let top = heightMm
	const items = views.map((view): Item => {
		top -= view.heightMm + GAP_MM
		return { kind: 'group', at: { x: 0, y: top }, items: view.items }
	})
	return {
		widthMm: WIDTH_MM,
		heightMm,
		title: `Films by thickness, in micrometres: ${works.map(panelTitle).join(' and ')}`,
		items,
	}
}

function filmView({ title, hand, seen, films, ridges }: PanelPaintwork, least: number, most: number, of: number) {
	const { chart } = seen
	const flat = (p: ChartPoint) => toPaper(chart, { x: p.s, y: p.g })
	const box = boundsOf([path(regionSegments(seen.area.map((loop) => loop.map(flat))), undefined)])
	if (!box) return undefined
	const scale = Math.min((WIDTH_MM - 4) / boxWidth(box), MOST_MM / of / boxHeight(box))
	const left = (WIDTH_MM - scale * boxWidth(box)) / 2
	const to = (p: ChartPoint) => {
		const { x, y } = flat(p)
		return { x: left + (x - box.minX) * scale, y: 2 + (y - box.minY) * scale }
	}
	const region = (loops: readonly (readonly ChartPoint[])[]) =>
		loops.map((loop) => simplify(loop.map(to), SMOOTH_MM, true)).filter((loop) => loop.length > 2)
	const share = (um: number) => (most > least ? (um - least) / (most - least) : 0.5)
	const cells = films.cells.map((cell) => ({ cell, loops: region(cell.region) }))
	const grounds = cells.flatMap(({ cell: { totalUm }, loops }): Item[] => {
		const fill = totalUm === 0 ? BARE : shade(share(totalUm))
		const hatch = { widthMm: 0.15, colour: '#4b3a14' }
		const close = 5 - 3 * share(totalUm)
		return [
			path(regionSegments(loops), undefined, `${Math.round(totalUm)} um`, fill),
			...(totalUm > 0 && share(totalUm) > 0 ? [hatchItem(loops, hatch, close, 'thicker: closer lines')] : []),
		]
	})
	const edges = ridges.map(({ kind, line: points }) =>
		path(
			polyline(points.map(to)),
			{ widthMm: kind === 'line' ? 0.45 : 0.35, colour: INK, ...(kind === 'line' ? {} : { dashMm: [1.6, 1.2] }) },
			kind === 'line' ? 'ridge on a line' : 'ridge below a later paint',
		),
	)
	const outline = path(regionSegments(region(seen.area)), { widthMm: 0.6, colour: INK }, 'outline')
	const figures = cells
		.filter(({ cell: { areaMm2 }, loops }) => areaMm2 > NAMED_MM2 && loops.length > 0)
		.sort((a, b) => b.cell.areaMm2 - a.cell.areaMm2)
		.map(({ cell, loops }) => {
			const places = innerPoints(loops)
			// where there is no room a leader says what is meant
			const on = (places[0]?.off ?? 0) > FIGURE_MM
			const text = `${Math.round(cell.totalUm)} um`
			return { text, anchors: places.map(({ p }) => p), sizeMm: FIGURE_MM, bold: true, framed: true, on }
		})
		.filter(({ anchors }) => anchors.length > 0)
	const { labels } = placeLabels(figures, { boxes: [], lines: [] })
	const name = panelTitle({ title, hand })
	const high = scale * boxHeight(box) + 4
	return {
		heightMm: high + TITLE_MM + 2,
		items: [
			...grounds,
			...edges,
			outline,
			...labels.flatMap(pointer),
			...labels.flatMap(({ item, box: around }) => [path(rect(around), LEADER, undefined, PAPER), item]),
			words(left, high + 1.5, name, { sizeMm: TITLE_MM, bold: true }),
		] as readonly Item[],
	}
}

/** From a figure that has no room where it is meant, to that place. */
function pointer({ label, box, leader }: PlacedLabel): readonly Item[] {
	if (label.on) return []
	const within = ({ x, y }: PlanePoint) => ({
		x: Math.min(box.maxX, Math.max(box.minX, x)),
		y: Math.min(box.maxY, Math.max(box.minY, y)),
	})
	const off = (p: PlanePoint) => Math.hypot(p.x - within(p).x, p.y - within(p).y)
	const from = leader?.[0] ?? label.anchors.reduce((best, p) => (off(p) < off(best) ? p : best))
	return [path(line(from, within(from)), LEADER), path(circle(from, DOT_MM), undefined, undefined, INK)]
}

const shade = (part: number) =>
	`#${PALEST.map((pale, i) =>
		Math.round(pale + ((DARKEST[i] as number) - pale) * part)
			.toString(16)
			.padStart(2, '0'),
	).join('')}`
