import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { measure } from '../../src/chart/measure.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { lengthOf } from '../../src/plane/polyline.ts'
import { areaOf } from '../../src/plane/region.ts'
import type { BandInput } from '../../src/scheme/band.ts'
import type { Piece } from '../../src/template/piece.ts'
import { stripePiece } from '../../src/template/stripePiece.ts'
import { band, bow, guard, pulled } from '../scheme/bench.ts'
import { paths } from './printed.ts'

const pieceOf = (width: number, more: Partial<BandInput> = {}, base = bow(guard)) => {
	const b = band(guard, base, 0, width, more)
	if (!b.spine) throw new Error('no spine')
	const made = stripePiece({
		chart: guard,
		id: 'piece',
		number: 101,
		panel: 'panel',
		panelTitle: 'Panel',
		side: 'LEFT',
		name: 'stripe',
		region: b.region,
		edges: [...b.near, ...b.far],
		spine: b.spine,
		stations: [100, 200],
		limitMm: 0.3,
		toleranceMm: 0.0005,
		unit: 'mm',
	})
	return { piece: made.ok ? made.piece : undefined, band: b }
}
const slits = (piece: ReturnType<typeof pieceOf>['piece']) =>
	paths(piece?.items ?? []).filter((i) => i.role === 'knife' && i.title !== 'knife line').length

describe('a stripe piece of a doubly curved panel', () => {
	test('needs more slits the wider it is, and is never out by more than the limit', () => {
		const counts = [8, 16, 24, 32].map((width) => {
			const { piece } = pieceOf(width)
			expect(piece?.errorMm).toBeLessThanOrEqual(0.3)
			return slits(piece)
		})
		expect(counts).toEqual([...counts].sort((a, b) => a - b))
		expect(counts[3]).toBeGreaterThan((counts[0] as number) + 2)
	})

	test('both its edges are as long as on the panel, but for what slits take up', () => {
		const { piece, band: b } = pieceOf(20)
		const printed = (piece?.working ?? []).map((l) => lengthOf(l))
		;[...b.near, ...b.far].forEach((curve, i) => {
			const misfit = Math.abs((printed[i] as number) - measure(guard, curve).length)
			expect(misfit).toBeLessThan(0.3 * 2 * (slits(piece) + 2))
		})
	})

	test('comes to its point where the band does', () => {
		const square = pieceOf(24)
		const pointed = pieceOf(24, { rear: { shape: 'pointed', length: 70 } })
		// About half of 70 x 24 is cut away, of the panel as of the paper.
		const panel = area(guard, square.band.region) - area(guard, pointed.band.region)
		expect(Math.abs(panel - 840)).toBeLessThan(20)
		expect(areaOf(square.piece?.knife ?? []) - areaOf(pointed.piece?.knife ?? [])).toBeCloseTo(panel, -1)
		const [near, far] = (pointed.piece as Piece).working as readonly (readonly PlanePoint[])[]
		const [p, q] = [near?.[near.length - 1], far?.[far.length - 1]] as [PlanePoint, PlanePoint]
		expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeLessThan(0.001)
	})

	test('keeps the angle of a raked end', () => {
		const { piece } = pieceOf(24, { front: { shape: 'raked', angleDeg: 60 } }, pulled(guard, [50, 20], [350, 20]))
		const [near, far] = (piece as Piece).working as readonly (readonly PlanePoint[])[]
		const [p, next, q] = [near?.[0], near?.[1], far?.[0]] as [PlanePoint, PlanePoint, PlanePoint]
		const along = Math.atan2(next.y - p.y, next.x - p.x)
		const end = Math.atan2(q.y - p.y, q.x - p.x)
		// Between the way back along the edge and the end.
		const angle = 180 - (Math.abs(end - along) * 180) / Math.PI
		expect(Math.abs(angle - 60)).toBeLessThan(1)
	})

	test('is left out where its line has a corner', () => {
		expect(pieceOf(20, {}, pulled(guard, [20, 20], [150, 24], [300, 70])).piece).toBeUndefined()
	})
})
