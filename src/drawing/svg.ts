/** A drawing as SVG: true size in mm, one user unit to the mm. Only here does y turn to run down. */
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

const SVG = 'http://www.w3.org/2000/svg'
const XMLNS = 'http://www.w3.org/2000/xmlns/'
const XLINK = 'http://www.w3.org/1999/xlink'

type Attributes = Readonly<Record<string, string>>

interface Sheet {
	readonly svg: Element
	readonly heightMm: number
	readonly withText: boolean
	readonly taken: Set<string>
	defs?: Element
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

/** A new last child, with its attributes in the order given. */
function add(parent: Element, name: string, attributes: Attributes = {}, text?: string): Element {
	const document = parent.ownerDocument
	const element = document.createElementNS(SVG, name)
	for (const key in attributes) element.setAttribute(key, attributes[key] as string)
	if (text !== undefined) element.appendChild(document.createTextNode(text))
	parent.appendChild(element)
	return element
}

function strokeAttributes(stroke: Stroke | undefined): Attributes {
	if (!stroke) return {}
	return {
		stroke: stroke.colour.toLowerCase(),
		'stroke-width': num(stroke.widthMm),
		...(stroke.dashMm && stroke.dashMm.length > 0 ? { 'stroke-dasharray': stroke.dashMm.map(num).join(' ') } : {}),
	}
}

const addTitle = (element: Element, title: string | undefined) => {
	if (title !== undefined && title !== '') add(element, 'title', {}, printableTitle(title))
}
// control characters are not allowed in XML
// biome-ignore lint/suspicious/noControlCharactersInRegex: that is what is taken out
const printableTitle = (title: string) => title.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g, ' ')

function addPath(parent: Element, item: PathItem, sheet: Sheet) {
	const d = pathData(item.segments, sheet.heightMm)
	const fill = item.fill?.toLowerCase() ?? 'none'
	addTitle(add(parent, 'path', { d, class: item.role, fill, ...strokeAttributes(item.stroke) }), item.title)
}

/** The width is written beside the text, so that another font takes the room that was laid out for it. */
function addText(parent: Element, item: TextItem, sheet: Sheet) {
	const { text } = printable(item.text)
	if (!sheet.withText || text.trim() === '') return
	const x = num(item.at.x)
	const y = num(sheet.heightMm - item.at.y)
	const degrees = num((-item.angle * 180) / Math.PI)
	const attributes = {
		x,
		y,
		class: item.role,
		'font-size': num(item.sizeMm),
		textLength: num(textWidth(text, item)),
		lengthAdjust: 'spacingAndGlyphs',
		fill: item.colour?.toLowerCase() ?? '#000000',
		...(item.anchor === 'start' ? {} : { 'text-anchor': item.anchor }),
		...(item.bold ? { 'font-weight': '600' } : {}),
		...(degrees === '0' ? {} : { transform: `rotate(${degrees} ${x} ${y})` }),
	}
	add(parent, 'text', attributes, text)
}

function addGroup(parent: Element, item: GroupItem, placing: Placing, sheet: Sheet) {
	const group = add(parent, 'g', item.id === undefined ? {} : { id: freeId(item.id, sheet.taken) })
	addTitle(group, item.title)
	const own = compose(placing, placingOf(item))
	const loop = clipLoop(item, own)
	if (loop) {
		const id = freeId('clip', sheet.taken)
		const points = loop.map((p) => `${num(p.x)},${num(sheet.heightMm - p.y)}`).join(' ')
		sheet.defs ??= add(sheet.svg, 'defs')
		add(add(sheet.defs, 'clipPath', { id }), 'polygon', { points })
		group.setAttribute('clip-path', `url(#${id})`)
	}
	addItems(group, item.items, own, sheet)
}

function addItems(parent: Element, items: readonly Item[], placing: Placing, sheet: Sheet) {
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
	const svg = createSVGWindow().document.documentElement
	const [width, height] = [num(drawing.widthMm), num(drawing.heightMm)]
	const root = {
		version: '1.1',
		width: `${width}mm`,
		height: `${height}mm`,
		viewBox: `0 0 ${width} ${height}`,
		'stroke-miterlimit': String(MITER_LIMIT),
		'font-family': 'sans-serif',
	}
	for (const [name, value] of Object.entries(root)) svg.setAttribute(name, value)
	// old readers expect it, used or not
	svg.setAttributeNS(XMLNS, 'xmlns:xlink', XLINK)
	addTitle(svg, drawing.title)
	addItems(svg, drawing.items, UNMOVED, { svg, heightMm: drawing.heightMm, withText: embedText, taken: new Set() })
	return `${svg.outerHTML}\n`
}

/**
 * The drawing for a cutter: knife lines alone, all in one stroke style; closed ones in the group `knife`, open ones in `slits`. Labels
 * follow in a group of their own, `labels`, to be switched off. Fills and clips are left out.
 */
export function toCutterSvg(drawing: Drawing): string {
	const labels = flatten(drawing.items).flatMap(({ item }) => (item.kind === 'text' && item.role === 'label' ? [item] : []))
	return toSvg({ ...drawing, items: cutterGroups(knifeLines(drawing.items), labels) })
}
