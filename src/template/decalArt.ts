/** A decal as it is printed: artwork at true size on its film, with register marks. */

import type { PlacedDecal } from '../decal/decal.ts'
import { turnedOn } from '../decal/turned.ts'
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { Decal, Panel } from '../job/schema.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf } from '../plane/polyline.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { filled, frontArrow, MIDDLE, path, stroke, text } from './marks.ts'
import type { Piece, PieceSide } from './piece.ts'
import { KNIFE, SMALL_MM, THIN } from './style.ts'

export interface DecalArtInput {
	readonly panel: Panel
	readonly decal: Decal
	readonly placed: PlacedDecal
	readonly name: string
	readonly number: number
	readonly unit: Unit
	readonly revision?: string
}

/** Register crosses stand so far off the film, mm, and are so long. */
const OFF_MM = 4
const CROSS_MM = 3

/** As it is seen on the panel; what is drawn of it is not laid flat from the panel: film is printed as the artwork is. */
export function decalArt({ panel, decal, placed, name, number, unit, revision }: DecalArtInput): Piece {
	const { artwork, side } = placed
	const flip = turnedOn(decal, side).mirrored
	const seen = (region: Region): PlanePoint[][] =>
		region.map((loop) => (flip ? loop.map(({ x, y }) => ({ x: -x, y })).reverse() : [...loop]))
	const knife = seen(artwork.carrier)
	const box = boxOf(knife.flat()) as { minX: number; minY: number; maxX: number; maxY: number }
	const label: PieceSide = side === 'both' ? 'BOTH' : side === 'left' ? 'LEFT' : 'RIGHT'
	const size = [artwork.width, artwork.height].map((mm) => formatLength(mm, unit, unit === 'mm' ? {} : { fraction: 64 }).text)
	const words = `${number} ${label}${revision ? ` r${revision}` : ''}, ${size.join(' x ')}`
	const corners = [
		{ x: box.minX - OFF_MM, y: box.minY - OFF_MM },
		{ x: box.maxX + OFF_MM, y: box.minY - OFF_MM },
		{ x: box.maxX + OFF_MM, y: box.maxY + OFF_MM },
		{ x: box.minX - OFF_MM, y: box.maxY + OFF_MM },
	]
	const cross = ({ x, y }: PlanePoint): Item[] => [
		stroke('register', { x: x - CROSS_MM, y }, { x: x + CROSS_MM, y }, THIN),
		stroke('register', { x, y: y - CROSS_MM }, { x, y: y + CROSS_MM }, THIN),
	]
	// Someone at the left of the vehicle has its front at their left.
	const front = side === 'right' ? 0 : Math.PI
	const below = box.minY - OFF_MM - SMALL_MM - 1
	const labelMm = textWidth(words, { sizeMm: SMALL_MM, bold: true })
	const arrowAt = box.minX + labelMm + (front === 0 ? 16 : 18)
	const items: Item[] = [
		...artwork.inks.map(({ region, colour }) => filled('fill', seen(region), colour)),
		...knife.map((loop) => path('knife', polyline(loop, true), KNIFE, 'edge of the film')),
		...corners.flatMap(cross),
		text({ x: box.minX, y: below }, words, { bold: true }),
		...(side === 'both' ? [] : frontArrow({ x: arrowAt, y: below + SMALL_MM * MIDDLE }, front, 12)),
	]
	return {
		id: `${panel.id}/${placed.id}/artwork`,
		number,
		kind: 'decal',
		panel: panel.id,
		panelTitle: panel.title ?? panel.id,
		// Decals of both sides are printed on one film.
		side: 'BOTH',
		title: `Decal, ${name}${label === 'BOTH' ? '' : `, ${label}`}`,
		knife,
		working: [],
		items,
		bounds: {
			minX: box.minX - OFF_MM - CROSS_MM - 1,
			maxX: Math.max(box.maxX + OFF_MM + CROSS_MM + 1, box.minX + labelMm + 32),
			minY: box.minY - OFF_MM - SMALL_MM - 3,
			maxY: box.maxY + OFF_MM + CROSS_MM + 1,
		},
		errorMm: artwork.maxErrorMm,
		notes: ['Check its size with a rule before it is laid.'],
	}
}
