/** Small things that every piece is drawn from. */

import type { Chart } from '../chart/chart.ts'
import type { Box, Item, PathItem, Role, Segment, Stroke, TextItem } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { arrow, line, polyline } from '../drawing/path.ts'
import { frontWord } from '../job/say.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Span } from './measured.ts'
import type { PieceSide } from './piece.ts'
import { BOLD, INK, SMALL_MM, THIN } from './style.ts'

export const path = (role: Role, segments: readonly Segment[], stroke: Stroke, title?: string): PathItem => ({
	kind: 'path',
	role,
	segments,
	stroke,
	...(title ? { title } : {}),
})
export const filled = (role: Role, loops: readonly (readonly PlanePoint[])[], fill: string): PathItem => ({
	kind: 'path',
	role,
	segments: loops.flatMap((loop) => polyline(loop, true)),
	fill,
})
export const stroke = (role: Role, a: PlanePoint, b: PlanePoint, how: Stroke): PathItem => path(role, line(a, b), how)

export function text(
	at: PlanePoint,
	words: string,
	{
		sizeMm = SMALL_MM,
		anchor = 'start',
		angle = 0,
		bold = false,
		colour = INK,
	}: Partial<Omit<TextItem, 'kind' | 'role' | 'at' | 'text'>> = {},
): TextItem {
	return { kind: 'text', role: 'label', at, text: words, sizeMm, anchor, angle, ...(bold ? { bold } : {}), colour }
}

/** Capitals are about this share of the size: text set so much lower stands on the middle of its line. */
export const MIDDLE = 0.35

/** A scale bar with end ticks, its figure beside the middle; its length lies between the middles of the ticks. */
export function bar(from: PlanePoint, angle: number, { mm: length, words }: Span, tickMm = 2): Item[] {
	const along = { x: Math.cos(angle), y: Math.sin(angle) }
	const across = { x: -along.y, y: along.x }
	const to = { x: from.x + along.x * length, y: from.y + along.y * length }
	const tick = (p: PlanePoint) =>
		stroke(
			'bar',
			{ x: p.x - across.x * tickMm, y: p.y - across.y * tickMm },
			{ x: p.x + across.x * tickMm, y: p.y + across.y * tickMm },
			THIN,
		)
	const gap = textWidth(words, { sizeMm: SMALL_MM }) + 2
	const half = (length - gap) / 2
	const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }
	return [
		tick(from),
		tick(to),
		stroke('bar', from, { x: from.x + along.x * half, y: from.y + along.y * half }, THIN),
		stroke('bar', { x: to.x - along.x * half, y: to.y - along.y * half }, to, THIN),
		text({ x: middle.x - across.x * SMALL_MM * MIDDLE, y: middle.y - across.y * SMALL_MM * MIDDLE }, words, {
			anchor: 'middle',
			angle,
		}),
	]
}

/** The word for the way against which stations run. */
export const frontOf = (chart: Chart): string => frontWord(chart.periodS !== undefined)

/** FRONT, or another word, with its arrow; `angle` is the way to the front on paper. The word stays the right way up. */
export function frontArrow(at: PlanePoint, angle: number, lengthMm = 14, word = 'FRONT'): Item[] {
	const along = { x: Math.cos(angle), y: Math.sin(angle) }
	const tip = { x: at.x + along.x * lengthMm, y: at.y + along.y * lengthMm }
	const upright = Math.cos(angle) < -1e-9 ? angle + Math.PI : angle
	const width = textWidth(word, { sizeMm: SMALL_MM, bold: true })
	const middle = -(width / 2 + 1.2)
	const up = { x: -Math.sin(upright), y: Math.cos(upright) }
	return [
		path('guide', arrow(at, tip, 3), BOLD, `to the ${word.toLowerCase()}`),
		text({ x: at.x + along.x * middle - up.x * SMALL_MM * MIDDLE, y: at.y + along.y * middle - up.y * SMALL_MM * MIDDLE }, word, {
			anchor: 'middle',
			angle: upright,
			bold: true,
		}),
	]
}

export function boxAround(points: readonly PlanePoint[]): Box {
	let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
	for (const p of points) {
		minX = Math.min(minX, p.x)
		maxX = Math.max(maxX, p.x)
		minY = Math.min(minY, p.y)
		maxY = Math.max(maxY, p.y)
	}
	return { minX, minY, maxX, maxY }
}

/** Figures of one decimal, without a needless zero. */
export const figure = (x: number) => (Math.round(x * 10) / 10).toFixed(1).replace(/\.0$/, '')

/** What a piece is known by once it is cut out: its number, its side, and the job's revision. */
export const pieceLabel = ({ side, revision }: { readonly side: PieceSide; readonly revision?: string }, number: number) =>
	`${number} ${side}${revision === undefined ? '' : ` r${revision}`}`
