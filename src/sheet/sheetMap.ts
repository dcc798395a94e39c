/** The map: a small picture of every sheet with its number, in true proportion. */
import { boxHeight, boxOf, boxWidth, grown, overlaps } from '../drawing/box.ts'
import type { Box, GroupItem, Item, PathItem, TextItem } from '../drawing/drawing.ts'
import { capHeight, textBox } from '../drawing/metrics.ts'
import { polyline, rect } from '../drawing/path.ts'
import { wrapText } from '../drawing/wrap.ts'
import type { PlanePoint } from '../plane/point.ts'
import { LEAST_SIZE_MM } from './textBlock.ts'
import { OVERLAP_MM } from './tile.ts'

/** One sheet, or the sheets of one piece put together. In true mm from their lower left corner. */
export interface MapPart {
	readonly widthMm: number
	readonly heightMm: number
	readonly label: string
	readonly outlines: readonly (readonly PlanePoint[])[]
	/** the paper, or each sheet's window with its name */
	readonly windows: readonly { readonly box: Box; readonly name?: string }[]
}

const THIN = { widthMm: 0.13, colour: '#000000' }
const PAPER = { widthMm: 0.2, colour: '#707070' }
const LABEL = { sizeMm: LEAST_SIZE_MM }
const TITLE = { sizeMm: 3.6, bold: true }
const LINE_MM = LEAST_SIZE_MM * 1.2
const GAP_MM = 4
const TITLE_MM = 7
const INSET_MM = 0.5
/** Labels are wrapped to the picture's width, but not narrower than this. */
const LEAST_WIDTH_MM = 20
/** Scales tried, 1 : n, the clearest first. */
const SCALES = [5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100]
/** Beside a piece the map may not become smaller than this. */
const LEAST_BESIDE = 10

interface Set {
	readonly parts: number
	/** drawn only when the scale is settled */
	readonly items: () => readonly Item[]
}

/** As many of the parts as go into the box at 1 : n, in rows from the top. */
function setParts(parts: readonly MapPart[], box: Box, n: number): Set {
	const drawn: (() => readonly Item[])[] = []
	let [x, y, rowHeight, done] = [box.minX, box.maxY, 0, 0]
	for (const part of parts) {
		const width = Math.max(LEAST_WIDTH_MM, part.widthMm / n)
		const lines = wrapText(part.label, width, LABEL)
		const height = part.heightMm / n + lines.length * LINE_MM + 1
		if (x > box.minX && x + width > box.maxX + 1e-9) {
			x = box.minX
			y -= rowHeight + GAP_MM
			rowHeight = 0
		}
		if (width > boxWidth(box) || y - height < box.minY) break
		const at = { x, y: y - height }
		drawn.push(() => partItems(part, at, n, lines))
		x += width + GAP_MM
		rowHeight = Math.max(rowHeight, height)
		done++
	}
	return { parts: done, items: () => drawn.flatMap((draw) => draw()) }
}

function partItems(part: MapPart, at: PlanePoint, n: number, lines: readonly string[]): readonly Item[] {
	const place = ({ x, y }: PlanePoint): PlanePoint => ({ x: at.x + x / n, y: at.y + y / n })
	const path = (points: readonly PlanePoint[], stroke: typeof THIN): PathItem => ({
		kind: 'path',
		role: 'frame',
		segments: polyline(points.map(place), true),
		stroke,
	})
	const top = at.y + part.heightMm / n + 1
	const text = (words: string, p: PlanePoint): TextItem => ({
		kind: 'text',
		role: 'frame',
		at: p,
		text: words,
		sizeMm: LABEL.sizeMm,
		anchor: 'start',
		angle: 0,
	})
	const words = lines.map((line, i) => text(line, { x: at.x, y: top + (lines.length - 1 - i) * LINE_MM + 0.5 }))
	const boxes = part.windows.map(({ box }): PathItem => {
		const { x: minX, y: minY } = place({ x: box.minX, y: box.minY })
		const { x: maxX, y: maxY } = place({ x: box.maxX, y: box.maxY })
		return { kind: 'path', role: 'frame', segments: rect({ minX, minY, maxX, maxY }), stroke: PAPER }
	})
	const outlines = part.outlines.map((points) => path(points, THIN))
	const near = part.outlines.map((points) => points.map(place))
	const names = part.windows.flatMap(({ box, name }) => (name ? (nameIn(name, box, n, place, near, text) ?? []) : []))
	return [...boxes, ...outlines, ...words, ...names]
}

/** The name in the corner of its window that no outline runs through; left out where there is none. */
function nameIn(
	name: string,
	box: Box,
	n: number,
	place: (p: PlanePoint) => PlanePoint,
	outlines: readonly (readonly PlanePoint[])[],
	text: (words: string, p: PlanePoint) => TextItem,
): TextItem | undefined {
	const [low, high] = [place({ x: box.minX, y: box.minY }), place({ x: box.maxX, y: box.maxY })]
	const ink = boxOf(textBox(text(name, { x: 0, y: 0 })) ?? [])
	if (!ink) return undefined
	// clear of the neighbour's edge, which lies inside this window
	const edge = OVERLAP_MM / n + 0.5
	const ys = [high.y - capHeight(LABEL) - edge, low.y + edge]
	const xs = [low.x + edge, high.x - boxWidth(ink) - edge]
	for (const y of ys) {
		for (const x of xs) {
			const item = text(name, { x, y })
			const at = grown(boxOf(textBox(item) ?? []) ?? ink, 0.3)
			if (at.minX < low.x || at.maxX > high.x || at.minY < low.y || at.maxY > high.y) continue
			const crossed = outlines.some((points) =>
				points.some(
					(p, i) =>
						overlaps(at, boxOf([p, points.at(i - 1) as PlanePoint]) ?? at) && meets(points.at(i - 1) as PlanePoint, p, at),
				),
			)
			if (!crossed) return item
		}
	}
	return undefined
}

/** Samples along a short line will do: the picture is small. */
function meets(a: PlanePoint, b: PlanePoint, box: Box): boolean {
	const parts = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 0.2))
	for (let k = 0; k <= parts; k++) {
		const [x, y] = [a.x + ((b.x - a.x) * k) / parts, a.y + ((b.y - a.y) * k) / parts]
		if (x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY) return true
	}
	return false
}

function group(items: readonly Item[], box: Box, n: number): GroupItem {
	const title: TextItem = {
		kind: 'text',
		role: 'frame',
		at: { x: box.minX + INSET_MM, y: box.maxY - INSET_MM - capHeight(TITLE) },
		text: `Map of the sheets, 1 : ${n}`,
		sizeMm: TITLE.sizeMm,
		anchor: 'start',
		angle: 0,
		bold: true,
	}
	return { kind: 'group', id: 'map', title: 'Map of the sheets', items: [title, ...items] }
}

/** Under the title, and in by more than a line's width. */
const below = (box: Box): Box => ({ ...grown(box, -INSET_MM), maxY: box.maxY - TITLE_MM })

/** The whole map in a box beside pieces; undefined where it would be too small to read. */
export function mapBeside(parts: readonly MapPart[], box: Box): GroupItem | undefined {
	if (boxWidth(box) < 2 * LEAST_WIDTH_MM || boxHeight(box) < 2 * LEAST_WIDTH_MM) return undefined
	for (const n of SCALES.filter((scale) => scale <= LEAST_BESIDE)) {
		const set = setParts(parts, below(box), n)
		if (set.parts === parts.length) return group(set.items(), box, n)
	}
	return undefined
}

/** Beyond this the pictures say nothing: another sheet of them is better. */
const FULL_AT = 20

/** The map on sheets of its own, at the clearest scale at which one holds all, or 1 : 20 over several; smaller only for a huge piece. */
export function mapSheets(parts: readonly MapPart[], box: Box): readonly GroupItem[] {
	for (const n of SCALES) {
		const sets: Set[] = []
		let done = 0
		while (done < parts.length) {
			const set = setParts(parts.slice(done), below(box), n)
			if (set.parts === 0) break
			sets.push(set)
			done += set.parts
		}
		if (done === parts.length && (sets.length === 1 || n >= FULL_AT)) return sets.map((set) => group(set.items(), box, n))
	}
	return []
}
