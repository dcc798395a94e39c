/** What of a drawing is seen: its areas and lines in painting order, each with its transform and colour. */
import type { StrokedLine } from '../../plane/stroke.ts'
import { type Styles, stylesOf } from './css.ts'
import type { Element } from './element.ts'
import { linesOf } from './elements.ts'
import { type Matrix, stretches, times } from './matrix.ts'
import { rectLines } from './outline.ts'
import { colourOf, type Pen, penOf, warnSeeThrough } from './paint.ts'
import { hrefOf, lengthOf, namedBy, type Source, shareOf, sourceOf, transformOf } from './source.ts'
import type { Troubles } from './trouble.ts'
import { type Frame, frameOf, readViewBox, rootFrame, type Viewport } from './viewport.ts'

/** Lines with what brings them to px of the drawing's page. */
interface Placed {
	readonly lines: readonly StrokedLine[]
	readonly matrix: Matrix
}
export type Fill = Placed & { readonly evenOdd: boolean }
export type Stroke = Placed & { readonly pen: Pen }
/** Only what lies in one of these areas is seen. */
export type Clip = readonly Fill[]

export interface Item {
	readonly element: Element
	readonly colour: string
	readonly paint: Fill | Stroke
	readonly clips: readonly Clip[]
}

export interface Scene {
	readonly items: readonly Item[]
	/** mm of one px, where the file says its size */
	readonly mmPerPx: number | undefined
	/** of the drawing's own units to px */
	readonly root: Matrix
	/** the page, where the file has one: nothing is seen beyond it */
	readonly page: Clip | undefined
}

/** Elements that are drawn, those of `use` each time: far more than any badge has, and soon walked. */
const MOST_DRAWN = 20_000
/** Lines, bends and arcs in all. */
const MOST_SEGMENTS = 50_000
/** Frames and uses within each other. */
const MOST_DEEP = 200
/** A transform that squeezes one way to this share of the other leaves no area. */
const FLAT = 1e-9

const NEVER_DRAWN = new Set(
	(
		'defs symbol clipPath mask marker pattern linearGradient radialGradient filter style title desc metadata ' +
		'view cursor animate animateTransform animateMotion set'
	).split(' '),
)
const GROUPS = new Set(['g', 'a', 'switch', 'use', 'svg'])
const BY_HAND = 'Make it plain shapes in the drawing program.'

interface State {
	readonly matrix: Matrix
	readonly styles: Styles
	readonly viewport: Viewport
	readonly clips: readonly Clip[]
	/** elements that are being used: one within itself has no end */
	readonly using: readonly Element[]
	readonly depth: number
	/** where areas of a clip path go, in place of what is painted */
	readonly areas?: Fill[]
}

/** Undefined where nothing may come of the drawing: `troubles` say why. */
export function readScene(root: Element, troubles: Troubles): Scene | undefined {
	const source = sourceOf(root, troubles)
	const frame = rootFrame(root, troubles)
	if (!frame || troubles.failed) return undefined
	const { matrix, inside } = frame.frame
	const styles = stylesOf(root, new Map(), source.rules)
	const walk = new Walk(source)
	const state = { matrix, styles, viewport: inside, clips: [], using: [], depth: 0 }
	if (styles.get('display') !== 'none') for (const child of root.children) walk.draw(child, state)
	if (troubles.failed) return undefined
	const page = frame.cuts ? [frameArea(frame.frame, matrix)] : undefined
	return { items: walk.items, mmPerPx: frame.mmPerPx, root: matrix, page }
}

const frameArea = ({ box }: Frame, matrix: Matrix): Fill => ({
	lines: rectLines(box.x, box.y, box.width, box.height, 0, 0),
	matrix,
	evenOdd: false,
})

class Walk {
	readonly items: Item[] = []
	readonly #source: Source
	#drawn = 0
	#segments = 0
	#stopped = false

	constructor(source: Source) {
		this.#source = source
	}

	draw(element: Element, above: State): void {
		if (this.#stopped || !element.svg || NEVER_DRAWN.has(element.name)) return
		if (++this.#drawn > MOST_DRAWN) {
			this.#stop(element, `more than ${MOST_DRAWN} elements, used ones counted each time`)
			return
		}
		if (above.depth > MOST_DEEP) {
			this.#stop(element, `elements used more than ${MOST_DEEP} deep`)
			return
		}
		const styles = stylesOf(element, above.styles, this.#source.rules)
		const opacity = shareOf(styles.get('opacity'))
		if (styles.get('display') === 'none' || opacity === 0) return
		if (opacity < 1) warnSeeThrough(this.#source, element)
		const own = transformOf(this.#source, element, styles)
		if (!own) return
		this.#complainOfEffects(element, styles)
		const state = { ...above, styles, matrix: times(above.matrix, own), depth: above.depth + 1 }
		this.#inside(element, { ...state, clips: [...state.clips, ...this.#clipsOf(element, state)] })
	}

	#inside(element: Element, state: State): void {
		const { name } = element
		if (name === 'g' || name === 'a') for (const child of element.children) this.draw(child, state)
		else if (name === 'switch') {
			const first = element.children.find((child) => child.svg && !NEVER_DRAWN.has(child.name))
			if (first) this.draw(first, state)
		} else if (name === 'svg') this.#nested(element, element, state)
		else if (name === 'use') this.#use(element, state)
		else if (name === 'text') {
			const fix = 'Convert the text to outlines in the drawing program, or make it an artwork of kind "lettering".'
			this.#refuse(element, 'DRAWING_TEXT', 'text, which looks different with every font', 'outlines of letters', fix)
		} else if (name === 'image') {
			const fix = 'Trace it in the drawing program, or measure it as an artwork of kind "traced".'
			this.#refuse(element, 'DRAWING_PICTURE', 'a picture made of dots', 'shapes with outlines', fix)
		} else this.#shape(element, state)
	}

	#shape(element: Element, { styles, matrix, clips, viewport, areas }: State): void {
		const lines = linesOf(this.#source, element, viewport)
		this.#segments += lines.reduce((sum, { cubics }) => sum + cubics.length, 0)
		if (this.#segments > MOST_SEGMENTS) {
			this.#stop(element, `more than ${MOST_SEGMENTS} lines and bends`)
			return
		}
		if (lines.length === 0 || ['hidden', 'collapse'].includes(styles.get('visibility') ?? '')) return
		const { most, least } = stretches(matrix)
		if (!(least > FLAT * most) || !Number.isFinite(most)) {
			this.#source.troubles.add(element, {
				...{ code: 'DRAWING_FLAT', severity: 'warning', found: 'a shape that its transforms squeeze to no area' },
				...{ expected: 'a shape with area', fix: 'Look at the transforms of it and of the groups around it.' },
			})
			return
		}
		const closed = lines.map(({ cubics }) => ({ cubics, closed: true }))
		const evenOdd = styles.get(areas ? 'clip-rule' : 'fill-rule') === 'evenodd'
		if (areas) {
			areas.push({ lines: closed, matrix, evenOdd })
			return
		}
		const both: Item[] = []
		const fill = colourOf(this.#source, element, styles, 'fill')
		if (fill) both.push({ element, colour: fill, clips, paint: { lines: closed, matrix, evenOdd } })
		const stroke = colourOf(this.#source, element, styles, 'stroke')
		const pen = stroke && penOf(this.#source, element, styles, viewport)
		if (stroke && pen) both.push({ element, colour: stroke, clips, paint: { lines, matrix, pen } })
		this.items.push(...(styles.get('paint-order')?.startsWith('stroke') ? both.reverse() : both))
	}

	#use(element: Element, state: State): void {
		const target = hrefOf(this.#source, element)
		if (!target || state.using.includes(target)) {
			const found = target ? 'an element that is used within itself' : 'a reference to an element that is not there'
			this.#refuse(element, 'DRAWING_REFERENCE', found, 'the id of another element', 'Save the drawing anew.')
			return
		}
		const { width, height } = state.viewport
		const length = (key: string, of: number) => lengthOf(this.#source, element, key, of) ?? 0
		const matrix = times(state.matrix, [1, 0, 0, 1, length('x', width), length('y', height)])
		const inside = { ...state, matrix, using: [...state.using, target] }
		if (target.name !== 'symbol' && target.name !== 'svg') {
			this.draw(target, inside)
			return
		}
		const styles = stylesOf(target, state.styles, this.#source.rules)
		if (styles.get('display') !== 'none') this.#nested(target, element, { ...inside, styles })
	}

	/** A frame of its own; `sized` is what says its width and height before it does. */
	#nested(element: Element, sized: Element, state: State): void {
		const { viewport } = state
		const length = (from: Element, key: string, of: number) => lengthOf(this.#source, from, key, of)
		const size = (key: 'width' | 'height') =>
			length(sized, key, viewport[key]) ?? length(element, key, viewport[key]) ?? viewport[key]
		const placed = element.name === 'svg'
		const at = {
			x: placed ? (length(element, 'x', viewport.width) ?? 0) : 0,
			y: placed ? (length(element, 'y', viewport.height) ?? 0) : 0,
			width: size('width'),
			height: size('height'),
		}
		const viewBox = readViewBox(element)
		if (viewBox === undefined || !(at.width > 0 && at.height > 0)) return
		if (viewBox !== 'none' && !(viewBox.width > 0 && viewBox.height > 0)) return
		const frame = frameOf(viewBox, at, element.attributes.get('preserveAspectRatio'))
		const matrix = times(state.matrix, frame.matrix)
		const open = ['visible', 'auto'].includes(state.styles.get('overflow') ?? '')
		const clips = open ? state.clips : [...state.clips, [frameArea(frame, matrix)]]
		for (const child of element.children) this.draw(child, { ...state, matrix, viewport: frame.inside, clips })
	}

	#clipsOf(element: Element, state: State): readonly Clip[] {
		const target = namedBy(this.#source, state.styles.get('clip-path'))
		if (target === 'none') return []
		const refuse = (found: string) => {
			this.#refuse(
				element,
				'DRAWING_CLIP',
				found,
				'a clip path in the units of the drawing',
				'Cut the shape itself in the drawing program.',
			)
			return []
		}
		if (target?.name !== 'clipPath') return refuse('a clip path that is not there')
		if (state.areas) return refuse('a clip path within a clip path')
		if (state.using.includes(target)) return refuse('a clip path that is cut by itself')
		if (target.attributes.get('clipPathUnits') === 'objectBoundingBox') return refuse('a clip path in parts of what it cuts')
		const styles = stylesOf(target, new Map(), this.#source.rules)
		const own = transformOf(this.#source, target, styles)
		if (!own) return []
		const areas: Fill[] = []
		const using = [...state.using, target]
		const inside = { ...state, styles, matrix: times(state.matrix, own), clips: [], using, areas }
		for (const child of target.children) if (child.name !== 'g') this.draw(child, inside)
		return [areas, ...this.#clipsOf(target, { ...state, styles, using })]
	}

	#complainOfEffects(element: Element, styles: Styles): void {
		const has = (key: string) => (styles.get(key) ?? 'none') !== 'none'
		if (has('mask')) this.#refuse(element, 'DRAWING_MASK', 'a mask', 'shapes that are cut themselves', BY_HAND)
		if (['marker', 'marker-start', 'marker-mid', 'marker-end'].some(has) && !GROUPS.has(element.name)) {
			this.#refuse(element, 'DRAWING_MARKER', 'marks on a line (arrow heads)', 'shapes of their own', BY_HAND)
		}
		const warn = (found: string) =>
			this.#source.troubles.add(element, {
				...{ code: 'DRAWING_EFFECT', severity: 'warning', found, expected: 'flat colours', fix: BY_HAND },
			})
		if (has('filter')) warn('a shadow or another effect, which is left out')
		if (styles.get('vector-effect') === 'non-scaling-stroke')
			warn('a line as wide as a screen says; here it grows with the drawing')
	}

	#refuse(element: Element, code: string, found: string, expected: string, fix: string): void {
		this.#source.troubles.add(element, { code, found, expected, fix })
	}

	#stop(element: Element, found: string): void {
		this.#stopped = true
		const fix = 'Leave out of the drawing what is not printed, or simplify it in the drawing program.'
		this.#refuse(element, 'DRAWING_TOO_LARGE', found, 'one badge or mark', fix)
	}
}
