import type { PlanePoint } from '../plane/point.ts'
import type { FlatArea } from './flatten.ts'
import { levelLines } from './levelLines.ts'
import type { PaperStretch } from './piece.ts'

/** Stretches at which lines are drawn, each about twice the one before. */
export const STRETCH_LEVELS = [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05]

/**
 * How paper would stretch to lie on the panel whole: the most of it, and lines of equal stretch (the larger difference of a triangle's
 * singular values from 1, averaged at the vertices).
 */
export function stretchPicture(
	flat: FlatArea,
	place: (line: readonly PlanePoint[]) => readonly (readonly PlanePoint[])[],
): PaperStretch {
	const { mesh, x, y, stretch } = flat
	const sum = new Float64Array(mesh.vertices)
	const count = new Float64Array(mesh.vertices)
	mesh.triangles.forEach((v, e) => {
		const t = Math.floor(e / 3)
		sum[v]! += Math.max(Math.abs(stretch.most[t]! - 1), Math.abs(stretch.least[t]! - 1))
		count[v]! += 1
	})
	const values = sum.map((s, v) => s / Math.max(1, count[v]!))
	const lines = levelLines(mesh, values, STRETCH_LEVELS).flatMap((found, k) =>
		found.flatMap((line) => {
			const points = [line[0]!.from, ...line.map((step) => step.to)].map(({ corner, t }): PlanePoint => {
				const a = mesh.triangles[corner]!
				const b = mesh.triangles[corner % 3 === 2 ? corner - 2 : corner + 1]!
				return { x: x[a]! + (x[b]! - x[a]!) * t, y: y[a]! + (y[b]! - y[a]!) * t }
			})
			return place(points).map((piece) => ({ level: STRETCH_LEVELS[k]!, points: piece }))
		}),
	)
	return { most: stretch.worst, lines }
}
