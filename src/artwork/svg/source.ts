/** A drawing as it is looked things up in: elements by id, rules of style, and where complaints go. */

import type { Styles } from './css.ts'
import { type Rules, readRules } from './css.ts'
import type { Element } from './element.ts'
import { readLength } from './length.ts'
import { type Matrix, readTransform, SAME } from './matrix.ts'
import type { Troubles } from './trouble.ts'

export interface Source {
	readonly ids: ReadonlyMap<string, Element>
	readonly rules: Rules
	readonly troubles: Troubles
}

export function sourceOf(root: Element, troubles: Troubles): Source {
	const ids = new Map<string, Element>()
	const look = (element: Element) => {
		const id = element.attributes.get('id')
		if (id !== undefined && !ids.has(id)) ids.set(id, element)
		for (const child of element.children) look(child)
	}
	look(root)
	return { ids, rules: readRules(root, troubles), troubles }
}

/** What an element's href names. */
export const hrefOf = ({ ids }: Source, element: Element): Element | undefined =>
	ids.get((element.attributes.get('href') ?? '').trim().slice(1))

/** What a property such as url(#cut) names: 'none' where it is none, undefined where there is no such thing. */
export function namedBy({ ids }: Source, said: string | undefined): Element | 'none' | undefined {
	if (said === undefined || said === 'none') return 'none'
	const [, id] = /^url\(\s*["']?#([^"')]*)["']?\s*\)/.exec(said) ?? []
	return id === undefined ? undefined : ids.get(id)
}

/** An attribute that is a length, px; undefined where it is not said, or wrong. */
export function lengthOf(source: Source, element: Element, key: string, of: number): number | undefined {
	const said = element.attributes.get(key)
	return said === undefined || said.trim() === 'auto' ? undefined : sizeOf(source, element, key, said, of)
}

export function sizeOf(source: Source, element: Element, key: string, said: string, of: number): number | undefined {
	const length = readLength(said)
	if (length) return length.of === 'percent' ? (length.value / 100) * of : length.value
	source.troubles.add(element, {
		...{ code: 'DRAWING_LENGTH', found: `${key} that is no length, ${JSON.stringify(said.slice(0, 40))}` },
		...{ expected: 'a figure, alone or with px, mm, cm, in, pt or pc', fix: 'Save the drawing anew.' },
	})
	return undefined
}

/** Undefined where it is wrong. */
export function transformOf({ troubles }: Source, element: Element, styles: Styles): Matrix | undefined {
	const said = styles.get('transform')
	if (said === undefined) return SAME
	const matrix = readTransform(said)
	if (matrix && !styles.has('transform-origin')) return matrix
	troubles.add(element, {
		...{ code: 'DRAWING_TRANSFORM', found: matrix ? 'a transform about an origin of its own' : 'a transform that is none' },
		...{ expected: 'matrix, translate, scale, rotate, skewX, skewY', fix: 'Save the drawing anew.' },
	})
	return undefined
}

/** A property from 0 to 1; 1 where it is not said. */
export function shareOf(said: string | undefined): number {
	const value = Number.parseFloat(said ?? '1')
	return Number.isNaN(value) ? 1 : Math.min(1, Math.max(0, said?.trim().endsWith('%') ? value / 100 : value))
}
