/** Pieces made by hand, as another part of the house makes them from a job. */

import { boxOf } from '../../src/drawing/box.ts'
import type { Box, Item, PathItem } from '../../src/drawing/drawing.ts'
import { arrow, circle, line, polyline, rect } from '../../src/drawing/path.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import type { Piece, PieceKind } from '../../src/template/piece.ts'

const KNIFE = { widthMm: 0.2, colour: '#000000' }
const THIN = { widthMm: 0.15, colour: '#000000' }

const label = (text: string, at: PlanePoint, sizeMm = 3): Item => ({
	kind: 'text',
	role: 'label',
	at,
	text,
	sizeMm,
	anchor: 'start',
	angle: 0,
})
const knifeLine = (points: readonly PlanePoint[]): PathItem => ({
	kind: 'path',
	role: 'knife',
	segments: polyline(points, true),
	stroke: KNIFE,
})

interface Made {
	readonly number: number
	readonly kind: PieceKind
	readonly title: string
	readonly knife: readonly (readonly PlanePoint[])[]
	readonly working: readonly (readonly PlanePoint[])[]
	readonly items: readonly Item[]
	readonly notes?: readonly string[]
}

export function piece({ number, kind, title, knife, working, items, notes = [] }: Made): Piece {
	return {
		id: `tank/left/upper/${kind}/${number}`,
		number,
		kind,
		panel: 'tank',
		panelTitle: 'Fuel tank',
		side: 'LEFT',
		title,
		knife,
		working,
		items: [...knife.map(knifeLine), ...items],
		bounds: boxOf(knife.flat()) as Box,
		errorMm: 0.12,
		lineSdMm: 0.4,
		notes,
	}
}

const box = (w: number, h: number) => [
	{ x: 0, y: 0 },
	{ x: w, y: 0 },
	{ x: w, y: h },
	{ x: 0, y: h },
]

/** A closed outline with a wave, a hole, and bars both ways: larger than a sheet. */
export function wavySquare(number: number, side = 250): Piece {
	const steps = 240
	const outer = Array.from({ length: steps }, (_, i) => {
		const t = (2 * Math.PI * i) / steps
		const r = (side / 2) * (0.94 + 0.06 * Math.cos(8 * t))
		return { x: side / 2 + r * Math.cos(t), y: side / 2 + r * Math.sin(t) }
	})
	return piece({
		number,
		kind: 'area',
		title: 'Colour field, knee recess, whole outline with its hole for the filler',
		knife: [outer],
		working: [outer],
		items: [
			{ kind: 'path', role: 'knife', segments: circle({ x: side / 2, y: side / 2 }, 20), stroke: KNIFE },
			{ kind: 'path', role: 'bar', segments: line({ x: 60, y: 90 }, { x: 160, y: 90 }), stroke: THIN },
			{ kind: 'path', role: 'bar', segments: line({ x: 60, y: 90 }, { x: 60, y: 190 }), stroke: THIN },
			{ kind: 'path', role: 'guide', segments: arrow({ x: 90, y: 60 }, { x: 60, y: 60 }, 5), stroke: THIN },
			label('FRONT', { x: 93, y: 59 }, 4),
			label('100 mm', { x: 100, y: 92 }),
		],
		notes: ['This face up, arrow to the front.', 'Lay on the datums D1 and D2 before taping.'],
	})
}

/** A long girth strip, standing. */
export function longStrip(number: number, width = 30, length = 700): Piece {
	const ticks = Array.from(
		{ length: Math.floor(length / 10) },
		(_, i): Item => ({
			kind: 'path',
			role: 'tick',
			segments: line({ x: 0, y: 10 * i }, { x: i % 10 === 0 ? 8 : 4, y: 10 * i }),
			stroke: THIN,
		}),
	)
	const figures = Array.from({ length: Math.floor(length / 100) }, (_, i) => label(`${100 * i}`, { x: 9, y: 100 * i + 1 }))
	return piece({
		number,
		kind: 'strip',
		title: 'Girth strip at station 320, both sides in one',
		knife: [box(width, length)],
		working: [
			[
				{ x: 0, y: 0 },
				{ x: 0, y: length },
			],
		],
		items: [...ticks, ...figures],
		notes: ['Working edge on the square-off line; T-head along the centreline.', 'Zero at the centre.'],
	})
}

/** A bent edge guide that fits one sheet when it is turned. */
export function bentGuide(number: number, length = 160, radius = 400): Piece {
	const body = 8
	const arc = (r: number) =>
		Array.from({ length: 41 }, (_, i) => {
			const t = (length / radius) * (i / 40 - 0.5) + 0.6
			return { x: 200 + r * Math.sin(t) - 200, y: r * Math.cos(t) - 300 }
		})
	const edge = arc(radius)
	const knife = [...edge, ...arc(radius - body).reverse()]
	return piece({
		number,
		kind: 'guide',
		title: 'Edge guide 2 of 3, upper coach line, outer edge',
		knife: [knife],
		working: [edge],
		items: [
			{ kind: 'path', role: 'fill', segments: polyline([...edge, ...arc(radius + 6).reverse()], true), fill: '#000000' },
			{ kind: 'path', role: 'bar', segments: rect({ minX: 190, minY: -10, maxX: 200, maxY: 0 }), stroke: THIN },
		],
		notes: ['Leave no black, cut no white.', '6 mm fine-line tape against the edge.', 'Joins guide 3 with 20 mm overlap.'],
	})
}
