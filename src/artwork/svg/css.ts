/** Styles: of attributes, of simple style sheets, and what is handed down. */
import type { Element } from './element.ts'
import type { Troubles } from './trouble.ts'

export type Styles = ReadonlyMap<string, string>

interface Rule {
	readonly matches: (element: Element) => boolean
	/** 0 for any, 1 for an element's name, 10 for a class, 100 for an id (CSS Selectors 4, 17) */
	readonly weight: number
	readonly styles: Styles
}
export type Rules = readonly Rule[]

/** Properties that say what is drawn, and whether an element hands them down (SVG 2, appendix F). */
const HANDED_DOWN = new Set([
	...['fill', 'fill-rule', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-linecap', 'stroke-linejoin', 'stroke-miterlimit'],
	...[
		'stroke-dasharray',
		'stroke-opacity',
		'color',
		'visibility',
		'clip-rule',
		'marker',
		'marker-start',
		'marker-mid',
		'marker-end',
	],
	'paint-order',
])
const OWN = new Set(
	'display opacity clip-path mask filter transform overflow stop-color stop-opacity vector-effect transform-origin mix-blend-mode'.split(
		' ',
	),
)

/** The rules of all style sheets of a drawing. Only simple selectors are followed: a name, a class, an id, any. */
export function readRules(root: Element, troubles: Troubles): Rules {
	const rules: Rule[] = []
	const look = (element: Element) => {
		if (element.svg && element.name === 'style') rules.push(...sheetRules(element, troubles))
		for (const child of element.children) look(child)
	}
	look(root)
	return rules.sort((a, b) => a.weight - b.weight)
}

/** A badge's sheet has a dozen rules; each is asked of each element. */
const MOST_RULES = 1000

function sheetRules(sheet: Element, troubles: Troubles): Rule[] {
	const css = without(without(sheet.text, '/*', '*/'), '<!--', '-->')
	if (
		css.toLowerCase().includes('@import') ||
		[...css.matchAll(/url\(\s*["']?([^"')\s]*)/gi)].some(([, to]) => isOutside(to as string))
	) {
		const found = 'a style sheet that refers to another file'
		const fix = 'Bring what it refers to into the drawing, or save it with its styles as attributes.'
		troubles.add(sheet, { code: 'DRAWING_REFUSED', found, expected: 'shapes and their colours alone', fix })
		return []
	}
	const rules: Rule[] = []
	const unknown: string[] = []
	for (const [selectors, block] of blocksOf(css)) {
		if (/^@(charset|namespace|font-face)/i.test(selectors)) continue
		const styles = declarations(block)
		for (const selector of selectors.split(',').map((s) => s.trim())) {
			const found = selectorOf(selector)
			if (found) rules.push({ ...found, styles })
			else unknown.push(selector.slice(0, 30))
		}
	}
	if (unknown.length > 0 || rules.length > MOST_RULES) {
		const what =
			unknown.length > 0 ? `that are not followed: ${unknown.slice(0, 4).join(' | ')}` : `beyond the first ${MOST_RULES}`
		troubles.add(sheet, {
			...{ code: 'DRAWING_STYLE', found: `a style sheet with rules ${what}` },
			...{ expected: 'names, classes and ids alone, such as .red { fill: #c00 }' },
			fix: 'Save the drawing with its styles as attributes.',
		})
	}
	return rules.slice(0, MOST_RULES)
}

/** What is packed into the text itself is no other file. */
const isOutside = (target: string) => !target.startsWith('#') && !target.toLowerCase().startsWith('data:')

/** A text without what stands between two marks. */
function without(text: string, from: string, to: string): string {
	let out = ''
	let at = 0
	for (let start = text.indexOf(from); start >= 0; start = text.indexOf(from, at)) {
		out += text.slice(at, start)
		const end = text.indexOf(to, start + from.length)
		if (end < 0) return out
		at = end + to.length
	}
	return out + text.slice(at)
}

/** Selectors and what stands in their braces; of rules within braces the outermost. Rules without braces have an empty block. */
function blocksOf(css: string): [string, string][] {
	const out: [string, string][] = []
	let depth = 0
	let from = 0
	let selectors = ''
	for (let i = 0; i < css.length; i++) {
		const sign = css[i]
		if (sign === '{' && depth++ === 0) {
			selectors = css.slice(from, i).trim()
			from = i + 1
		} else if (sign === '}' && depth > 0 && --depth === 0) {
			out.push([selectors, css.slice(from, i)])
			from = i + 1
		} else if (sign === ';' && depth === 0) {
			out.push([css.slice(from, i).trim(), ''])
			from = i + 1
		}
	}
	return out
}

function selectorOf(selector: string): Omit<Rule, 'styles'> | undefined {
	if (selector === '*') return { matches: () => true, weight: 0 }
	const [, name, kind, rest] = /^([a-zA-Z]*)(?:([.#])([\w-]+))?$/.exec(selector) ?? []
	if (name === undefined || (name === '' && !kind)) return undefined
	const attribute = kind === '#' ? 'id' : 'class'
	return {
		matches: (element) =>
			(name === '' || element.name === name) &&
			(!kind || (element.attributes.get(attribute) ?? '').split(/\s+/).includes(rest as string)),
		weight: (name === '' ? 0 : 1) + (kind === '#' ? 100 : kind === '.' ? 10 : 0),
	}
}

function declarations(text: string): Styles {
	const styles = new Map<string, string>()
	for (const part of text.split(';')) {
		const colon = part.indexOf(':')
		if (colon < 0) continue
		const value = part.slice(colon + 1).replace(/!\s*important\s*$/i, '')
		styles.set(part.slice(0, colon).trim().toLowerCase(), value.trim())
	}
	return styles
}

/** The styles of an element: those handed down to it, and its own by attribute, sheet and `style`, the later over the earlier. */
export function stylesOf(element: Element, parent: Styles, rules: Rules): Styles {
	const styles = new Map([...parent].filter(([key]) => HANDED_DOWN.has(key)))
	const take = (key: string, value: string) => {
		if (!HANDED_DOWN.has(key) && !OWN.has(key)) return
		if (value === 'inherit') {
			const above = parent.get(key)
			if (above === undefined) styles.delete(key)
			else styles.set(key, above)
		} else styles.set(key, value)
	}
	for (const [key, value] of element.attributes) take(key, value.trim())
	for (const rule of rules) if (rule.matches(element)) for (const [key, value] of rule.styles) take(key, value)
	for (const [key, value] of declarations(element.attributes.get('style') ?? '')) take(key, value)
	return styles
}
