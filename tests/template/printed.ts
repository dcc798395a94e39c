/** What is printed on pieces, taken from their drawings. */

import type { Item, PathItem, TextItem } from '../../src/drawing/drawing.ts'
import { type Corners, textBox } from '../../src/drawing/metrics.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import type { Piece } from '../../src/template/piece.ts'

export const texts = (items: readonly Item[]): TextItem[] => items.filter((i): i is TextItem => i.kind === 'text')
export const paths = (items: readonly Item[]): PathItem[] => items.filter((i): i is PathItem => i.kind === 'path')
export const pointsOf = (item: PathItem): PlanePoint[] => item.segments.flatMap((s) => (s.to === 'close' ? [] : [s.p]))
export const words = (piece: Piece): string =>
	texts(piece.items)
		.map((t) => t.text)
		.join(' ')

/** Pairs of labels that overlap, and labels that a knife line runs through, of one piece. */
export function clashes(piece: Piece): string[] {
	const boxes = texts(piece.items).flatMap((t) => {
		const box = textBox(t)
		return box ? [{ text: t.text, box }] : []
	})
	const found: string[] = []
	boxes.forEach((a, i) => {
		for (const b of boxes.slice(i + 1)) if (overlap(a.box, b.box)) found.push(`${piece.number}: "${a.text}" on "${b.text}"`)
		for (const loop of [...piece.knife, ...paths(piece.items).flatMap((p) => (p.role === 'knife' ? [pointsOf(p)] : []))]) {
			const cut = loop.some((p, k) => {
				const q = loop[k + 1] ?? (piece.knife.includes(loop) ? loop[0] : undefined)
				return q !== undefined && overlap(a.box, [p, q])
			})
			if (cut) found.push(`${piece.number}: "${a.text}" on a knife line`)
		}
	})
	return [...new Set(found)]
}

/** Convex shapes overlap unless a line parallel to one of their sides separates them (separating axis theorem). */
function overlap(a: Corners, b: Corners | readonly [PlanePoint, PlanePoint]): boolean {
	const axes = [a, b].flatMap((shape) =>
		shape.map((p, i) => {
			const q = shape[(i + 1) % shape.length] as PlanePoint
			return { x: p.y - q.y, y: q.x - p.x }
		}),
	)
	return axes.every((n) => {
		if (Math.hypot(n.x, n.y) < 1e-12) return true
		const span = (shape: readonly PlanePoint[]) => {
			const d = shape.map((p) => p.x * n.x + p.y * n.y)
			return [Math.min(...d), Math.max(...d)] as const
		}
		const [a0, a1] = span(a)
		const [b0, b1] = span(b)
		return a0 < b1 && b0 < a1
	})
}
