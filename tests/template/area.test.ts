import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import type { Chart } from '../../src/chart/chart.ts'
import type { ChartRegion, Curve } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile, type Profile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { lengthOf, pointInRegion } from '../../src/plane/polyline.ts'
import { areaOf, clipPolyline, offsetRegion } from '../../src/plane/region.ts'
import { areaCut } from '../../src/template/areaCut.ts'
import { layArea } from '../../src/template/areaLaying.ts'
import { type AreaPieceInput, areaPiece } from '../../src/template/areaPiece.ts'
import { handedness } from '../../src/template/handed.ts'
import type { Piece } from '../../src/template/piece.ts'
import { sphere, torus } from '../chart/panels.ts'
import { box, discOf, edge, onSphere, placeOf } from './areas.ts'
import { foldBack } from './fold.ts'
import { clashes, paths, texts, words } from './printed.ts'

const pieceOf = (chart: Chart, region: ChartRegion, working: readonly Curve[], more: Partial<AreaPieceInput> = {}) =>
	areaPiece({
		chart,
		id: 'piece',
		number: 104,
		panel: 'tank',
		panelTitle: 'Tank',
		side: 'LEFT',
		title: 'Field piece, side',
		region,
		working,
		stations: [-50, 0, 50],
		datums: [],
		limitMm: 0.3,
		unit: 'mm',
		revision: 'ab12',
		...more,
	})
const sound = (piece: Piece | undefined): Piece => {
	if (!piece) throw new Error('no piece')
	return piece
}
const slitsOf = (piece: Piece) =>
	Number(/Cut (?:the (\d+) slits|the slit)/.exec(piece.notes[0] ?? '')?.[1] ?? (piece.notes[0]?.startsWith('No') ? 0 : 1))

/** Waisted: K below 0 all over, the crown of radius 300 in a hollow of radius 200. */
const waist = (): Chart => {
	const round = circleProfile(200)
	const hollow: Profile = {
		...round,
		at: (u) => {
			const p = round.at(u)
			return { ...p, down: -p.down, slope: -p.slope, bend: -p.bend }
		},
		fall: (u, out) => {
			round.fall(u, out)
			for (let i = 0; i < 3; i++) out[i] = -(out[i] as number)
			return out
		},
		downIntegral: (u) => -round.downIntegral(u),
	}
	return revolvedChart(panelFrame('waist', 'centre'), 300, hollow, -400, 800)
}

const side = { region: [box(-80, 80, 10, 90)], working: [edge({ s: -80, g: 10 }, { s: 80, g: 10 })] }

describe('an area of a doubly curved panel', () => {
	test('needs no slits where it is small, more the larger it is, and none at all is made where they would be too many', () => {
		const pieces = [10, 40, 60].map((r) => pieceOf(sphere(150), [discOf(150, r, 300)], []))
		const counts = pieces.map((p) => slitsOf(sound(p)))
		expect(counts[0]).toBe(0)
		expect(counts[1]).toBeGreaterThan(1)
		expect(counts[2]).toBeGreaterThanOrEqual(counts[1] as number)
		for (const p of pieces) expect(sound(p).errorMm).toBeLessThanOrEqual(0.3)
		expect(pieceOf(sphere(60), [discOf(60, 70, 300)], [], { limitMm: 0.05 })).toBeUndefined()
	})

	test('a tighter limit asks for more slits', () => {
		const counts = [1, 0.5, 0.25].map((limitMm) => {
			const piece = sound(pieceOf(sphere(300), side.region, side.working, { limitMm }))
			expect(piece.errorMm).toBeLessThanOrEqual(limitMm)
			return slitsOf(piece)
		})
		expect(counts).toEqual([...counts].sort((a, b) => a - b))
		expect(counts[2]).toBeGreaterThan(counts[0] as number)
	})

	test('slits come from the edge that is not taped, which stays whole', () => {
		const piece = sound(pieceOf(sphere(300), side.region, side.working))
		expect(slitsOf(piece)).toBeGreaterThan(0)
		expect(piece.working).toHaveLength(1)
		// On the parallel at g the panel is cos(g / R) as long as its baseline (closed form).
		expect(Math.abs(lengthOf(piece.working[0] ?? []) - 160 * Math.cos(10 / 300))).toBeLessThan(2 * piece.errorMm)
	})

	test('laid back on the panel its taped edge returns to its line within what is stated', () => {
		const chart = sphere(300)
		const piece = sound(pieceOf(chart, side.region, side.working))
		const line = [...(piece.working[0] ?? [])].sort((a, b) => a.x - b.x)
		const walked = foldBack(chart, line, { s: -80, g: 10 }, 0, 0.2)
		// Set as well as it can be: a straight line through what is off taken out (least squares).
		const n = walked.length
		const [s, g] = [walked.reduce((t, p) => t + p.s, 0) / n, walked.reduce((t, p) => t + p.g, 0) / n]
		const slope = walked.reduce((t, p) => t + (p.s - s) * (p.g - g), 0) / walked.reduce((t, p) => t + (p.s - s) * (p.s - s), 0)
		for (const p of walked) expect(Math.abs(p.g - g - slope * (p.s - s))).toBeLessThan(piece.errorMm + 0.02)
	})

	test('between slits any two places are as far apart as on the panel, within twice what is stated', () => {
		// Great circles (haversine); half of the difference is what a part that is set by its middle is out by.
		const chart = sphere(150)
		const laid = layArea(chart, [discOf(150, 45, 300)], [], { limitMm: 0.3 })
		const cut = laid && areaCut(laid.flat)
		if (!cut) throw new Error('not laid flat')
		expect(laid.slits.length).toBeGreaterThan(1)
		const n = laid.flat.mesh.vertices
		let seen = 0
		for (let k = 0; k < 1500; k++) {
			const [p, q] = [placeOf(laid.flat, (k * 97) % n), placeOf(laid.flat, (k * 389 + 11) % n)]
			const whole = Math.hypot(p.paper.x - q.paper.x, p.paper.y - q.paper.y)
			const inside = clipPolyline([p.paper, q.paper], cut.knife)[0]
			if (!inside || lengthOf(inside.points) < whole - 1e-6 || crosses(p.paper, q.paper, cut.cuts)) continue
			seen++
			expect(Math.abs(whole - onSphere(150, p.at, q.at)) / 2).toBeLessThan(laid.flat.layingMm + 0.01)
		}
		expect(seen).toBeGreaterThan(300)
	})

	test('where the panel is hollow slits are plain cuts that open on it', () => {
		const chart = waist()
		const region = [box(-80, 80, -40, 40)]
		const working = [edge({ s: -80, g: -40 }, { s: 80, g: -40 })]
		const piece = sound(pieceOf(chart, region, working))
		expect(slitsOf(piece)).toBeGreaterThan(0)
		expect(piece.notes[0]).toContain('open on the panel')
		expect(areaOf(piece.knife)).toBeLessThan(area(chart, region))
		expect(paths(piece.items).filter((i) => i.role === 'knife').length).toBeGreaterThan(piece.knife.length)
	})

	test('a hole stays a hole, and has its own edge', () => {
		const chart = torus()
		const hole = discOf(140, 8, 80).reverse()
		const piece = sound(pieceOf(chart, [box(-40, 40, -14, 14), hole], [], { limitMm: 0.5 }))
		expect(piece.knife).toHaveLength(2)
		expect(Math.abs(areaOf(piece.knife) - area(chart, [box(-40, 40, -14, 14), hole]))).toBeLessThan(12)
	})

	test('left and right are mirror images, and so are both of a pair', () => {
		const left = sound(pieceOf(sphere(300), side.region, side.working))
		const mirrored = side.region.map((loop) => loop.map(({ s, g }) => ({ s, g: -g })).reverse())
		const right = sound(pieceOf(sphere(300), mirrored, [edge({ s: -80, g: -10 }, { s: 80, g: -10 })], { side: 'RIGHT' }))
		const twin = sound(pieceOf(sphere(300, 'right'), side.region, side.working, { side: 'RIGHT' }))
		for (const other of [right, twin]) {
			const [a, b] = [front(left.working[0]), front(other.working[0])]
			const fit = [handedness(a, b).mirroredMm, handedness(a, [...b].reverse()).mirroredMm]
			expect(Math.min(...fit)).toBeLessThan(0.05)
			expect(slitsOf(other)).toBe(slitsOf(left))
		}
		for (const piece of [left, right, twin]) for (const loop of piece.knife) expect(areaOf([loop])).toBeGreaterThan(0)
	})

	test('carries what it must to be known, placed and proved', () => {
		const piece = sound(
			pieceOf(sphere(300), side.region, side.working, {
				datums: [
					{ id: 'neck', s: 20, g: 40 },
					{ id: 'far', s: 20, g: -40 },
				],
			}),
		)
		const said = words(piece)
		for (const word of ['104 LEFT rab12', 'FRONT', 'this face up', 'Tank', 'neck', '50 mm']) expect(said).toContain(word)
		expect(said).not.toContain('far')
		const bars = paths(piece.items).filter((i) => i.role === 'bar')
		expect(bars.length).toBeGreaterThanOrEqual(8)
		const ticks = paths(piece.items).filter((i) => i.role === 'tick')
		expect(ticks).toHaveLength(3)
		expect(texts(piece.items).filter((t) => ['-50', '0', '50'].includes(t.text))).toHaveLength(3)
		expect(clashes(piece)).toEqual([])
		expect(piece.notes.join(' ')).toContain(`${piece.errorMm.toFixed(2)} mm`)
	})

	test('tells how far its paper stretches: as the square of its width, and by lines of less inside it', () => {
		// A small disc of a sphere: what is left of shape goes as K r^2, whatever the way of laying it flat.
		const [small, large] = [10, 20].map((r) => sound(pieceOf(sphere(300), [discOf(300, r, 120)], [])).stretch)
		expect((large?.most ?? 0) / (small?.most ?? 1)).toBeGreaterThan(3.4)
		expect((large?.most ?? 0) / (small?.most ?? 1)).toBeLessThan(4.6)
		// Laid flat by the stereographic projection its scale changes by tan^2(r / 2R) from the middle to the rim: the best is below it.
		expect(large?.most).toBeLessThan(Math.tan(20 / 600) ** 2)
		const piece = sound(pieceOf(sphere(300), side.region, side.working))
		const { most, lines } = piece.stretch ?? { most: 0, lines: [] }
		expect(lines.length).toBeGreaterThan(0)
		const grown = offsetRegion(piece.knife, 0.05, { join: 'mitre' })
		for (const { level, points } of lines) {
			expect(level).toBeLessThan(most)
			for (const p of points) expect(pointInRegion(p, grown)).toBe(true)
		}
	})

	test('no label lies on a slit', () => {
		for (const r of [25, 40, 60]) expect(clashes(sound(pieceOf(sphere(150), [discOf(150, r, 300)], [])))).toEqual([])
		expect(clashes(sound(pieceOf(torus(), [box(-60, 60, -20, 20)], [])))).toEqual([])
	})
})

const front = (line: readonly PlanePoint[] | undefined) => {
	const list = [...(line ?? [])]
	return (list[0]?.x ?? 0) <= (list[list.length - 1]?.x ?? 0) ? list : list.reverse()
}

const crosses = (p: PlanePoint, q: PlanePoint, lines: readonly (readonly PlanePoint[])[]) => {
	const turn = (a: PlanePoint, b: PlanePoint, c: PlanePoint) => (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
	return lines.some((line) =>
		line.slice(1).some((b, i) => {
			const a = line[i] as PlanePoint
			return turn(p, q, a) * turn(p, q, b) < 0 && turn(a, b, p) * turn(a, b, q) < 0
		}),
	)
}
