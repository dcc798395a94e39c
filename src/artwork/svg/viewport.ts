/** The frames of a drawing: how its own units come to px, and whether it has a real size (SVG 2, 8). */

import type { Element } from './element.ts'
import { readFigures, readLength } from './length.ts'
import type { Matrix } from './matrix.ts'
import type { Troubles } from './trouble.ts'

export interface Viewport {
	/** px of the frame around it; what percentages are of */
	readonly width: number
	readonly height: number
}

export interface Frame {
	/** of its contents to the frame around it */
	readonly matrix: Matrix
	/** the frame that its contents see */
	readonly inside: Viewport
	/** what is cut off outside of it, in the units of its contents */
	readonly box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number }
}

interface Box {
	readonly x: number
	readonly y: number
	readonly width: number
	readonly height: number
}

/** Four figures; undefined where they are none, `none` where there is no viewBox. */
export function readViewBox(element: Element): Box | 'none' | undefined {
	const said = element.attributes.get('viewBox')
	if (said === undefined) return 'none'
	const [x, y, width, height, ...more] = readFigures(said) ?? []
	if (x === undefined || y === undefined || width === undefined || height === undefined || more.length > 0) return undefined
	return { x, y, width, height }
}

/** A frame of a width and height in px for a viewBox (SVG 2, 8.2: the equivalent transform). */
export function frameOf(viewBox: Box | 'none', at: Box, fit: string | undefined): Frame {
	if (viewBox === 'none') {
		const inside = { width: at.width, height: at.height }
		return { matrix: [1, 0, 0, 1, at.x, at.y], inside, box: { x: 0, y: 0, ...inside } }
	}
	const [, align = 'xMidYMid', how] = /^\s*(?:defer\s+)?(\w+)(?:\s+(meet|slice))?\s*$/.exec(fit ?? '') ?? []
	let [sx, sy] = [at.width / viewBox.width, at.height / viewBox.height]
	if (align !== 'none') {
		const s = how === 'slice' ? Math.max(sx, sy) : Math.min(sx, sy)
		sx = s
		sy = s
	}
	const share = (word: string) => (word.startsWith('Min') ? 0 : word.startsWith('Max') ? 1 : 0.5)
	const [ax, ay] = align === 'none' ? [0, 0] : [share(align.slice(1, 4)), share(align.slice(5))]
	const dx = at.x - viewBox.x * sx + (at.width - viewBox.width * sx) * ax
	const dy = at.y - viewBox.y * sy + (at.height - viewBox.height * sy) * ay
	return {
		matrix: [sx, 0, 0, sy, dx, dy],
		inside: { width: viewBox.width, height: viewBox.height },
		box: { x: (at.x - dx) / sx, y: (at.y - dy) / sy, width: at.width / sx, height: at.height / sy },
	}
}

export interface RootFrame {
	readonly frame: Frame
	/** mm of one px where the file says its size in units of length; undefined where it only has figures */
	readonly mmPerPx: number | undefined
	/** whether anything is cut off at its edge */
	readonly cuts: boolean
}

const MM_PER_PX = 25.4 / 96
/** What a browser takes where neither size nor viewBox is said; it only has to be something. */
const UNSAID_PX = 100

/** Undefined where the file's size is none: DRAWING_NO_SIZE. */
export function rootFrame(root: Element, troubles: Troubles): RootFrame | undefined {
	const viewBox = readViewBox(root)
	const [w, h] = ['width', 'height'].map((key) => {
		const said = root.attributes.get(key)
		return said === undefined || said.trim() === 'auto' ? undefined : (readLength(said) ?? null)
	})
	const noSize = (found: string) => {
		const expected = 'a width and height above 0, or a viewBox'
		troubles.add(root, { code: 'DRAWING_NO_SIZE', found, expected, fix: 'Set the size of the page in the drawing program.' })
		return undefined
	}
	if (viewBox === undefined) return noSize('a viewBox that is not four figures')
	if (w === null || h === null) return noSize('a width or height that is no length')
	if (viewBox !== 'none' && !(viewBox.width > 0 && viewBox.height > 0)) return noSize('a viewBox without area')
	if ([w, h].some((side) => side && !(side.value > 0))) return noSize('a width or height that is not above 0')

	const figure = (side: typeof w) => (side && side.of !== 'percent' ? side.value : undefined)
	const real = w?.of === 'unit' || h?.of === 'unit'
	let [width, height] = [figure(w), figure(h)]
	if (viewBox !== 'none') {
		const ratio = viewBox.width / viewBox.height
		// one side said: the other follows; neither: units of the viewBox for px
		width ??= height === undefined ? viewBox.width : height * ratio
		height ??= width / ratio
	}
	const cuts = width !== undefined && height !== undefined
	const at = { x: 0, y: 0, width: width ?? UNSAID_PX, height: height ?? UNSAID_PX }
	const frame = frameOf(viewBox, at, root.attributes.get('preserveAspectRatio'))
	return { frame, mmPerPx: real ? MM_PER_PX : undefined, cuts }
}
