/** A drawing as SVG: true size in mm, one user unit to the mm. Only here does y turn to run down. */
import { type Container, type Element, SVG, type Svg, withWindow } from '@svgdotjs/svg.js'
import { createSVGWindow } from 'svgdom'
import type { PlanePoint } from '../plane/point.ts'
import { cutterGroups, knifeLines } from './cutter.ts'
import type { Drawing, GroupItem, Item, PathItem, Segment, Stroke, TextItem } from './drawing.ts'
import { printable, textWidth } from './metrics.ts'
import { clipLoop, compose, flatten, movePath, moveText, type Placing, placingOf, UNMOVED } from './place.ts'
import { MITER_LIMIT } from './stroke.ts'

/** Numbers are written to a ten-thousandth of a mm, far below what paper or a knife can show. */
const DECIMALS = 4

/** A number as written; never '-0', never an exponent. */
const num = (value: number): string => {
	const text = value.toFixed(DECIMALS).replace(/\.?0+$/, '')
	return text === '-0' ? '0' : text
}

interface Sheet {
	readonly svg: Svg
	readonly heightMm: number
	readonly withText: boolean
	readonly taken: Set<string>
}

/** An id that no other element has: blanks become '-', and a number follows where the name is taken. */
function freeId(wanted: string, taken: Set<string>): string {
	const name = wanted.trim().replace(/\s+/g, '-')
	let id = name
	for (let count = 2; taken.has(id); count++) id = `${name}-${count}`
	taken.add(id)
	return id
}

function pathData(segments: readonly Segment[], heightMm: number): string {
	const at = (p: PlanePoint) => `${num(p.x)} ${num(heightMm - p.y)}`
	return segments
		.map((segment) => {
			if (segment.to === 'close') return 'Z'
			if (segment.to === 'cubic') return `C${at(segment.a)} ${at(segment.b)} ${at(segment.p)}`
			return `${segment.to === 'move' ? 'M' : 'L'}${at(segment.p)}`
		})
		.join('')
}

function strokeAttributes(stroke: Stroke | undefined): Record<string, string> {
	if (!stroke) return {}
	return {
		stroke: stroke.colour,
		'stroke-width': num(stroke.widthMm),
		...(stroke.dashMm && stroke.dashMm.length > 0 ? { 'stroke-dasharray': stroke.dashMm.map(num).join(' ') } : {}),
	}
}

const addTitle = (element: Element, title: string | undefined) => {
	if (title !== undefined && title !== '') (element as Container).element('title').words(printableTitle(title))
}
// control characters are not allowed in XML
// biome-ignore lint/suspicious/noControlCharactersInRegex: that is what is taken out
const printableTitle = (title: string) => title.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g, ' ')

function addPath(parent: Container, item: PathItem, sheet: Sheet) {
	const path = parent.path(pathData(item.segments, sheet.heightMm))
	path.attr({ class: item.role, fill: item.fill ?? 'none', ...strokeAttributes(item.stroke) })
	addTitle(path, item.title)
}

/** The width is written beside the text, so that another font takes the room that was laid out for it. */
function addText(parent: Container, item: TextItem, sheet: Sheet) {
	const { text } = printable(item.text)
	if (!sheet.withText || text.trim() === '') return
	const x = num(item.at.x)
	const y = num(sheet.heightMm - item.at.y)
	const degrees = num((-item.angle * 180) / Math.PI)
	parent
		.plain(text)
		.attr({ x, y, class: item.role, 'font-size': num(item.sizeMm), textLength: num(textWidth(text, item)) })
		.attr({ lengthAdjust: 'spacingAndGlyphs', fill: item.colour ?? '#000000' })
		.attr(item.anchor === 'start' ? {} : { 'text-anchor': item.anchor })
		.attr(item.bold ? { 'font-weight': '600' } : {})
		.attr(degrees === '0' ? {} : { transform: `rotate(${degrees} ${x} ${y})` })
}

function addGroup(parent: Container, item: GroupItem, placing: Placing, sheet: Sheet) {
	const group = parent.group()
	if (item.id !== undefined) group.attr('id', freeId(item.id, sheet.taken))
	addTitle(group, item.title)
	const own = compose(placing, placingOf(item))
	const loop = clipLoop(item, own)
	if (loop) {
		const id = freeId('clip', sheet.taken)
		const points = loop.map((p) => `${num(p.x)},${num(sheet.heightMm - p.y)}`).join(' ')
		sheet.svg.defs().element('clipPath').attr('id', id).element('polygon').attr('points', points)
		group.attr('clip-path', `url(#${id})`)
	}
	addItems(group, item.items, own, sheet)
}

function addItems(parent: Container, items: readonly Item[], placing: Placing, sheet: Sheet) {
	for (const item of items) {
		if (item.kind === 'path') addPath(parent, movePath(item, placing), sheet)
		else if (item.kind === 'text') addText(parent, moveText(item, placing), sheet)
		else addGroup(parent, item, placing, sheet)
	}
}

/**
 * The drawing as the text of an SVG file: width and height in mm, viewBox in mm, groups with their ids and titles, roles as
 * classes; coordinates are absolute, with no transforms but the turn of a text. The same drawing gives the same bytes.
 * `embedText: false` leaves all text out.
 */
export function toSvg(drawing: Drawing, { embedText = true }: { readonly embedText?: boolean } = {}): string {
	const window = createSVGWindow()
	return withWindow(window as never, () => {
		const svg = SVG(window.document.documentElement) as Svg
		const [width, height] = [num(drawing.widthMm), num(drawing.heightMm)]
		svg.attr({ width: `${width}mm`, height: `${height}mm`, viewBox: `0 0 ${width} ${height}` })
		svg.attr({ 'stroke-miterlimit': String(MITER_LIMIT), 'font-family': 'sans-serif' })
		addTitle(svg, drawing.title)
		const sheet = { svg, heightMm: drawing.heightMm, withText: embedText, taken: new Set<string>() }
		addItems(svg, drawing.items, UNMOVED, sheet)
		// the document writes its namespace itself; a second one is refused
		svg.node.removeAttribute('xmlns')
		return `${svg.node.outerHTML}\n`
	})
}

/**
 * The drawing for a cutter: knife lines alone, all in one stroke style; closed ones in the group `knife`, open ones in `slits`. Labels
 * follow in a group of their own, `labels`, to be switched off. Fills and clips are left out.
 */
export function toCutterSvg(drawing: Drawing): string {
	const labels = flatten(drawing.items).flatMap(({ item }) => (item.kind === 'text' && item.role === 'label' ? [item] : []))
	return toSvg({ ...drawing, items: cutterGroups(knifeLines(drawing.items), labels) })
}
