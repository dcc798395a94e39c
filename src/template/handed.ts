import type { PlanePoint } from '../plane/point.ts'
import { lengthOf, pointAtLength } from '../plane/polyline.ts'

/** How two pieces of a pair relate: after the best turn and shift, rms distance of their edges, with and without turning over. */
export interface Handedness {
	/** as mirror images, mm */
	readonly mirroredMm: number
	/** as unturned copies of each other, mm */
	readonly sameMm: number
}

/**
 * Whether a left and a right piece are mirror images, by the best fit of one edge on the other: closed form in the plane
 * (Procrustes; Gower & Dijksterhuis, Procrustes Problems, ch. 4). Edges run front to rear on both, so that points correspond.
 */
export function handedness(left: readonly PlanePoint[], right: readonly PlanePoint[], samples = 64): Handedness {
	const a = even(left, samples)
	const b = even(right, samples)
	return {
		mirroredMm: misfit(
			a,
			b.map((p) => ({ x: p.x, y: -p.y })),
		),
		sameMm: misfit(a, b),
	}
}

function misfit(a: readonly PlanePoint[], b: readonly PlanePoint[]): number {
	const n = a.length
	const mean = (list: readonly PlanePoint[]) => list.reduce((m, p) => ({ x: m.x + p.x / n, y: m.y + p.y / n }), { x: 0, y: 0 })
	const [ca, cb] = [mean(a), mean(b)]
	let [dot, cross] = [0, 0]
	for (let i = 0; i < n; i++) {
		const [p, q] = [a[i] as PlanePoint, b[i] as PlanePoint]
		const [px, py, qx, qy] = [p.x - ca.x, p.y - ca.y, q.x - cb.x, q.y - cb.y]
		dot += px * qx + py * qy
		cross += qx * py - qy * px
	}
	const turn = Math.atan2(cross, dot)
	const [c, s] = [Math.cos(turn), Math.sin(turn)]
	let sum = 0
	for (let i = 0; i < n; i++) {
		const [p, q] = [a[i] as PlanePoint, b[i] as PlanePoint]
		const [x, y] = [q.x - cb.x, q.y - cb.y]
		sum += (c * x - s * y - (p.x - ca.x)) ** 2 + (s * x + c * y - (p.y - ca.y)) ** 2
	}
	return Math.sqrt(sum / n)
}

/** Points at equal lengths along a polyline. */
function even(line: readonly PlanePoint[], samples: number): PlanePoint[] {
	const total = lengthOf(line)
	return Array.from({ length: samples }, (_, k) => pointAtLength(line, (total * k) / (samples - 1)))
}
