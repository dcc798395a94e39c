/** Of an element: its flat colours, and the pen of its lines. */
import type { StrokeOptions } from '../../plane/stroke.ts'
import { readColour } from './colour.ts'
import { type Styles, stylesOf } from './css.ts'
import type { Element } from './element.ts'
import { readFigures } from './length.ts'
import { hrefOf, namedBy, type Source, shareOf, sizeOf } from './source.ts'
import type { Viewport } from './viewport.ts'

/** A gradient may take its colours from another, and that from a third. */
const MOST_REFERRED = 5

/** '#rrggbb'; undefined where nothing is painted. Of a gradient or pattern its first colour, with a warning. */
export function colourOf(source: Source, element: Element, styles: Styles, key: 'fill' | 'stroke'): string | undefined {
	const opacity = shareOf(styles.get(`${key}-opacity`))
	if (opacity === 0) return undefined
	let word = styles.get(key) ?? (key === 'fill' ? 'black' : 'none')
	if (word.startsWith('url(')) {
		const paint = namedBy(source, word)
		word = paint && paint !== 'none' ? firstColour(source, element, paint) : word.slice(word.indexOf(')') + 1).trim() || 'none'
	}
	if (word === 'none') return undefined
	if (word.toLowerCase() === 'currentcolor') word = styles.get('color') ?? 'black'
	const colour = readColour(word)
	if (!colour) {
		source.troubles.add(element, {
			...{ code: 'DRAWING_COLOUR', found: `a colour that is not known, ${JSON.stringify(word.slice(0, 40))}` },
			...{ expected: 'a colour such as #1f6b4f', fix: 'Give it a plain colour in the drawing program.' },
		})
		return undefined
	}
	if (colour.alpha === 0) return undefined
	if (colour.alpha * opacity < 1) warnSeeThrough(source, element)
	return colour.hex
}

function firstColour(source: Source, element: Element, paint: Element): string {
	source.troubles.add(element, {
		...{
			code: 'DRAWING_COLOURS',
			severity: 'warning',
			found: 'a run of colours or a pattern, taken as the first of its colours',
		},
		...{ expected: 'one plain colour', fix: 'Give it the plain colour that is to show.' },
	})
	let from: Element | undefined = paint
	for (let depth = 0; from && depth < MOST_REFERRED; depth++, from = hrefOf(source, from)) {
		for (const child of from.children) {
			const styles = stylesOf(child, new Map(), source.rules)
			if (child.name === 'stop') return styles.get('stop-color') ?? 'black'
			const fill = styles.get('fill')
			if (fill && readColour(fill)) return fill
		}
	}
	return 'black'
}

export function warnSeeThrough({ troubles }: Source, element: Element): void {
	troubles.add(element, {
		...{ code: 'DRAWING_OPACITY', severity: 'warning', found: 'a colour that is half seen through, taken as a full one' },
		...{ expected: 'flat colours', fix: 'Give it the colour that is seen.' },
	})
}

export type Pen = Omit<StrokeOptions, 'toleranceMm'>

/** In the element's own units; undefined where its lines have no width. */
export function penOf(source: Source, element: Element, styles: Styles, viewport: Viewport): Pen | undefined {
	const diagonal = Math.hypot(viewport.width, viewport.height) / Math.SQRT2
	const width = sizeOf(source, element, 'stroke-width', styles.get('stroke-width') ?? '1', diagonal) ?? 0
	if (!(width > 0)) return undefined
	const dashes = readFigures((styles.get('stroke-dasharray') ?? 'none').replace(/%|[a-z]+/g, ' '))
	if (dashes?.some((dash) => dash > 0)) {
		source.troubles.add(element, {
			...{ code: 'DRAWING_DASHES', found: 'a line of dashes', expected: 'whole lines' },
			fix: 'Convert the line to outlines in the drawing program.',
		})
	}
	const cap = styles.get('stroke-linecap')
	const join = styles.get('stroke-linejoin')
	return {
		width,
		cap: cap === 'round' || cap === 'square' ? cap : 'butt',
		join: join === 'round' || join === 'bevel' ? join : 'mitre',
		mitreLimit: Math.max(1, Number.parseFloat(styles.get('stroke-miterlimit') ?? '4') || 4),
	}
}
