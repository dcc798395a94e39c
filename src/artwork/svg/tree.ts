/** The text of a drawing as a tree of elements, and what has no business in one. */
import { SaxesParser } from 'saxes'
import type { Element } from './element.ts'
import type { Troubles } from './trouble.ts'

const SVG = 'http://www.w3.org/2000/svg'
const XLINK = 'http://www.w3.org/1999/xlink'
/** Drawing programs nest a dozen levels; what is far deeper can only overrun whoever walks it. */
const MOST_DEEP = 100
/** A badge has some hundred elements. */
const MOST_ELEMENTS = 50_000

/** Ends the reading of a text that is refused; never leaves this file. */
class Stop extends Error {}

/** The root element; undefined where the text is no drawing, is refused or too large: `troubles` say why. */
export function readTree(text: string, troubles: Troubles): Element | undefined {
	const parser = new SaxesParser({ xmlns: true, position: true })
	const open: Element[] = []
	let root: Element | undefined
	let count = 0
	const stop = (line: number | undefined, code: string, found: string, expected: string, fix: string): never => {
		troubles.add(line, { code, found, expected, fix })
		throw new Stop()
	}
	parser.on('error', (error) => {
		const what = error.message.replace(/^(\d+:\d+|undefined:\d+:\d+): /, '').replace(/\.$/, '')
		const found = `no well-formed XML (${what})`
		stop(parser.line, 'DRAWING_NOT_XML', found, 'a drawing saved as SVG', 'Save it again as plain SVG.')
	})
	parser.on('doctype', (doctype) => {
		if (!/[[\]]|<!/.test(doctype)) return
		const fix = 'Save it again as plain SVG, without entities.'
		stop(parser.line, 'DRAWING_ENTITIES', 'a document type with declarations of its own', 'no entities', fix)
	})
	parser.on('opentag', (tag) => {
		if (++count > MOST_ELEMENTS) tooMany(stop, parser.line, `more than ${MOST_ELEMENTS} elements`)
		if (open.length >= MOST_DEEP) tooMany(stop, parser.line, `elements more than ${MOST_DEEP} deep`)
		const svg = tag.uri === SVG || tag.uri === ''
		const attributes = new Map<string, string>()
		for (const { uri, prefix, local, value } of Object.values(tag.attributes)) {
			if ((prefix === '' && uri === '') || uri === XLINK) {
				// the plain href goes before xlink's (SVG 2, 16.1.6)
				if (uri !== XLINK || !attributes.has(local)) attributes.set(local, value)
			}
		}
		const plain = Object.values(tag.attributes).find(({ name }) => name === 'href')
		if (plain) attributes.set('href', plain.value)
		const element: Element = { name: svg ? tag.local : tag.name, svg, attributes, children: [], line: parser.line, text: '' }
		refuseForeign(element, tag.local, troubles)
		open.at(-1)?.children.push(element)
		root ??= element
		open.push(element)
	})
	parser.on('closetag', () => {
		open.pop()
	})
	const keep = (words: string) => {
		const style = open.at(-1)
		if (style?.svg && style.name === 'style') style.text += words
	}
	parser.on('text', keep)
	parser.on('cdata', keep)
	try {
		parser.write(text).close()
	} catch (error) {
		if (error instanceof Stop) return undefined
		throw error
	}
	if (root && (root.name !== 'svg' || !root.svg)) {
		const found = `an XML file that is no drawing: its root is <${root.name}>`
		troubles.add(undefined, {
			code: 'DRAWING_NOT_SVG',
			found,
			expected: 'a drawing saved as SVG',
			fix: 'Name the drawing itself.',
		})
	}
	return troubles.failed ? undefined : root
}

function tooMany(stop: (...words: [number, string, string, string, string]) => never, line: number, found: string): never {
	return stop(line, 'DRAWING_TOO_LARGE', found, 'one badge or mark', 'Leave out of the drawing what is not printed.')
}

const REFERENCE = /url\(\s*(["']?)\s*([^"')\s]*)/gi

/** Programs, foreign documents and other files within a drawing: it is refused with them, wherever they stand. */
function refuseForeign(element: Element, local: string, troubles: Troubles): void {
	const refuse = (found: string, fix: string) =>
		troubles.add(element, { code: 'DRAWING_REFUSED', found, expected: 'shapes and their colours alone', fix })
	const name = local.toLowerCase()
	if (name === 'script') refuse('a script', 'Take it away: save the drawing as plain SVG.')
	if (name === 'foreignobject') refuse('another document inside the drawing', 'Draw what it shows as paths.')
	for (const [key, value] of element.attributes) {
		if (/^on/i.test(key)) refuse(`a script (the attribute ${key.slice(0, 40)})`, 'Take it away: save the drawing as plain SVG.')
		if (key === 'href' && name !== 'image' && !value.trim().startsWith('#')) {
			refuse(`a reference to another file (${value.slice(0, 40)})`, 'Bring what it refers to into the drawing.')
		}
		for (const [, , target] of value.matchAll(REFERENCE)) {
			if (!(target as string).startsWith('#')) {
				refuse(`a reference to another file (${(target as string).slice(0, 40)})`, 'Bring what it refers to into the drawing.')
			}
		}
	}
}
