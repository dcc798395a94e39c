import type { StrokedLine } from '../../plane/stroke.ts'
import type { Element } from './element.ts'
import { readFigures } from './length.ts'
import { ellipseLines, pathLines, polyLines, rectLines } from './outline.ts'
import { lengthOf, type Source } from './source.ts'
import type { Viewport } from './viewport.ts'

/** The lines of a shape in its own units; none where it has no size; complaints where it is no shape. */
export function linesOf(source: Source, element: Element, viewport: Viewport): readonly StrokedLine[] {
	const { name, attributes } = element
	const { width: across, height: down } = viewport
	const diagonal = Math.hypot(across, down) / Math.SQRT2
	const get = (key: string, of: number) => lengthOf(source, element, key, of)
	const x = (key: string) => get(key, across) ?? 0
	const y = (key: string) => get(key, down) ?? 0
	const broken = (found: string, expected: string) => {
		source.troubles.add(element, { code: 'DRAWING_PATH', found, expected, fix: 'Save the drawing anew.' })
		return []
	}
	switch (name) {
		case 'path':
			return pathLines(attributes.get('d') ?? '') ?? broken('path data that is none', 'M, L, C, A ... with their figures')
		case 'rect': {
			const [width, height] = [x('width'), y('height')]
			if (!(width > 0 && height > 0)) return []
			const [a, b] = [get('rx', across), get('ry', down)]
			const rx = Math.min(Math.max(0, a ?? b ?? 0), width / 2)
			const ry = Math.min(Math.max(0, b ?? a ?? 0), height / 2)
			return rectLines(x('x'), y('y'), width, height, rx, ry)
		}
		case 'circle': {
			const r = get('r', diagonal) ?? 0
			return r > 0 ? ellipseLines(x('cx'), y('cy'), r, r) : []
		}
		case 'ellipse': {
			const [a, b] = [get('rx', across), get('ry', down)]
			const [rx, ry] = [a ?? b ?? 0, b ?? a ?? 0]
			return rx > 0 && ry > 0 ? ellipseLines(x('cx'), y('cy'), rx, ry) : []
		}
		case 'line':
			return polyLines([x('x1'), y('y1'), x('x2'), y('y2')], false)
		case 'polyline':
		case 'polygon': {
			const figures = readFigures(attributes.get('points') ?? '')
			return figures ? polyLines(figures, name === 'polygon') : broken('points that are no figures', 'x and y of each point')
		}
		default:
			source.troubles.add(element, {
				...{
					code: 'DRAWING_UNKNOWN',
					severity: 'warning',
					found: `an element that is not known, ${JSON.stringify(name.slice(0, 40))}`,
				},
				...{ expected: 'shapes and groups', fix: 'Draw what it shows as paths, if it is to be printed.' },
			})
			return []
	}
}
