// Sections of scans against closed forms: plane cuts of an ellipsoid are ellipses, of a sphere circles, of a torus a circle or a known quartic.
import { describe, expect, test } from 'vitest'
import type { ScanMesh } from '../../src/panel/scan/mesh.ts'
import { noiseOf } from '../../src/panel/scan/noise.ts'
import { repair } from '../../src/panel/scan/repair.ts'
import { type ScanSections, type SectionOptions, scanSections } from '../../src/panel/scan/scanSections.ts'
import { ellipsoid, patch, together } from '../panel/scanShapes.ts'

const axes = [240, 130, 110] as const
const stations = Array.from({ length: 15 }, (_, i) => -196 + 28 * i)

function cut(mesh: ScanMesh, options: Partial<SectionOptions> = {}) {
	const sound = repair(mesh, '').value
	if (!sound) throw new Error('the mesh did not come through')
	return scanSections(sound, { hand: 'centre', stations, path: '/found', ...options })
}

/** Distances of the sections' points from the ellipse that the plane cuts, to first order (half a thousandth of them is left). */
function misses({ sections }: ScanSections, [a, b, c]: readonly [number, number, number]): number[] {
	return sections.flatMap(({ along, points }) => {
		const s = Math.sqrt(1 - (along / a) ** 2)
		return points.map(({ across, up }) => {
			const f = Math.hypot(across / (b * s), up / (c * s))
			const slope = Math.hypot(across / (b * s) ** 2, up / (c * s) ** 2) / f
			return (f - 1) / slope
		})
	})
}
const rms = (list: readonly number[]) => Math.sqrt(list.reduce((sum, x) => sum + x * x, 0) / list.length)
const most = (list: readonly number[]) => Math.max(...list.map(Math.abs))
/** What all but one in twenty stay under. */
const nearlyMost = (list: readonly number[]) => list.map(Math.abs).sort((a, b) => a - b)[Math.floor(0.95 * list.length)]!

describe('an ellipsoid', () => {
	test('100k clean triangles: within their own chords (1.8^2 / 8 / 90 mm)', () => {
		const { value, problems } = cut(ellipsoid(224, axes))
		expect(problems).toEqual([])
		expect(most(misses(value as ScanSections, axes))).toBeLessThan(0.0045)
	})
	// 2.6k, 25k and 200k corners with 0.05 mm of noise
	test.each([1, 2, 3])('a finer scan with the same noise is never worse (seed %i)', (seed) => {
		const errors = [51, 158, 447].map((size) => {
			const value = cut(ellipsoid(size, axes, { noiseMm: 0.05, seed })).value as ScanSections
			const list = misses(value, axes)
			return { rms: rms(list), most: nearlyMost(list), said: Math.max(...value.sections.map((s) => s.sdMm)) }
		})
		const [coarse, middle, fine] = errors as [(typeof errors)[0], (typeof errors)[0], (typeof errors)[0]]
		expect(middle.rms).toBeLessThan(coarse.rms)
		expect(fine.rms).toBeLessThan(middle.rms)
		expect(middle.most).toBeLessThan(coarse.most)
		expect(fine.most).toBeLessThan(middle.most)
		expect(fine.rms).toBeLessThan(0.05 / 4)
		// what it says of itself is true of the fine ones; a coarse one has its chords besides
		expect(fine.rms).toBeLessThan(1.5 * fine.said)
	})
	test('the noise is estimated from the mesh', () => {
		for (const noiseMm of [0.02, 0.05, 0.2]) {
			const sound = repair(ellipsoid(200, axes, { noiseMm, seed: 6 }), '').value
			expect((noiseOf(sound?.mesh as ScanMesh, sound?.other as Int32Array) as number) / noiseMm).toBeCloseTo(1, 1)
		}
	})
	test('bends are those of the ellipse, to a tenth: what stripes are laid by', () => {
		const { sections } = cut(ellipsoid(447, axes, { noiseMm: 0.05, seed: 4 })).value as ScanSections
		for (const { along, points } of sections) {
			const s = Math.sqrt(1 - (along / axes[0]) ** 2)
			const [b, c] = [axes[1] * s, axes[2] * s]
			for (let i = 4; i + 4 < points.length; i++) {
				const [p, q, r] = [points[i - 3]!, points[i]!, points[i + 3]!]
				const [ax, ay, bx, by] = [q.across - p.across, q.up - p.up, r.across - q.across, r.up - q.up]
				const bend = (-2 * (ax * by - ay * bx)) / Math.hypot(ax, ay) / Math.hypot(bx, by) / Math.hypot(ax + bx, ay + by)
				const t = Math.atan2(q.up / c, q.across / b)
				const true_ = (b * c) / Math.hypot(b * Math.sin(t), c * Math.cos(t)) ** 3
				expect(Math.abs(bend / true_ - 1)).toBeLessThan(0.1)
			}
		}
	})
	test('a hole is bridged by its bend, and told of', () => {
		const hole = (i: number, j: number) => i > 0.4 && i < 0.55 && j > 0.55 && j < 0.7
		const { value, problems } = cut(ellipsoid(224, axes, { hole, noiseMm: 0.02, seed: 3 }))
		const across = (value as ScanSections).sections.filter((s) => s.gapMm > 20)
		expect(across.length).toBeGreaterThan(1)
		expect(problems.map((p) => p.code)).toEqual(['SECTION_GAP'])
		expect(most(misses(value as ScanSections, axes))).toBeLessThan(0.25)
	})
	test('a second sheet below it is left out, and told of', () => {
		const inner = ellipsoid(80, [234, 124, 104])
		const outer = ellipsoid(120, axes)
		// joined at one edge, as a flange would
		const both = together(outer, inner)
		const from = outer.positions.length / 3
		const bridge = new Uint32Array(both.triangles.length + 6)
		bridge.set(both.triangles)
		bridge.set([0, 1, from, from, 1, from + 1], both.triangles.length)
		const { value, problems } = cut({ positions: both.positions, triangles: bridge })
		expect(problems.map((p) => p.code)).toContain('SECTION_PARTS')
		expect(most(misses(value as ScanSections, axes))).toBeLessThan(0.02)
	})
	test('points run from left to right, and on a side from below to above looking outward', () => {
		const ordered = (list: readonly number[]) => list.every((x, i) => i === 0 || x > list[i - 1]!)
		const centre = cut(ellipsoid(60, axes)).value as ScanSections
		expect(centre.sections.every(({ points }) => ordered(points.map((p) => p.across)))).toBe(true)
		// the same body lying on its side: its top looks to the right of the vehicle
		const onSide = (sign: 1 | -1) => {
			const { positions, triangles } = ellipsoid(60, axes)
			return {
				positions: positions.map((_, i) =>
					i % 3 === 0 ? positions[i]! : i % 3 === 1 ? sign * positions[i + 1]! : positions[i - 1]!,
				),
				triangles,
			}
		}
		for (const [hand, sign] of [
			['right', 1],
			['left', -1],
		] as const) {
			const side = cut(onSide(sign), { hand }).value as ScanSections
			expect(side.sections.every(({ points }) => ordered(points.map((p) => p.across)))).toBe(true)
			expect(most(misses(side, axes))).toBeLessThan(0.08)
		}
	})
	test('where the scan has nothing', () => {
		expect(cut(ellipsoid(40, axes), { stations: [-100, 0, 500] }).problems).toMatchObject([
			{ code: 'SECTION_OFF_SCAN', path: '/found/stations' },
		])
	})
	test('without stations 25 are taken, and the tip is left out', () => {
		const { value, problems } = cut(ellipsoid(224, axes), { stations: undefined })
		expect(value?.sections.length).toBe(25)
		const cone = patch({
			rows: 60,
			columns: 60,
			at: (i, j) => [200 * i, (1 - i) * 80 * Math.sin(2 * j - 1), (1 - i) * 80 * Math.cos(2 * j - 1)],
		})
		expect(cut(cone, { stations: undefined }).problems.map((p) => p.code)).toEqual(['SECTIONS_LEFT_OUT'])
		expect(problems).toEqual([])
	})
})

test('a sphere cap, cut near its edge too: circles', () => {
	const R = 150
	const cap = patch({
		rows: 160,
		columns: 160,
		at: (i, j) => [R * Math.sin(i - 0.5) * Math.cos(j - 0.5), R * Math.sin(j - 0.5), R * Math.cos(i - 0.5) * Math.cos(j - 0.5)],
	})
	const { sections } = cut(cap, { stations: [-55, -30, 0, 30, 55] }).value as ScanSections
	for (const { along, points } of sections) {
		for (const { across, up } of points) expect(Math.hypot(across, up)).toBeCloseTo(Math.sqrt(R * R - along * along), 2)
	}
})

test('a torus about x: each plane cuts rings, of which the longest is the panel', () => {
	// x = 40 sin b, and the circles of radius 100 + 40 cos b in that plane; the outer half only
	const [R, r] = [100, 40]
	const ringed = patch({
		rows: 120,
		columns: 600,
		ring: true,
		at: (i, j) => {
			const b = 2.4 * (i - 0.5)
			const w = R + r * Math.cos(b)
			return [r * Math.sin(b), w * Math.sin(2 * Math.PI * j), w * Math.cos(2 * Math.PI * j)]
		},
	})
	const { sections } = cut(ringed, { stations: [-35, -20, 0, 15, 30] }).value as ScanSections
	for (const { along, points, closed } of sections) {
		expect(closed).toBe(true)
		const w = R + Math.sqrt(r * r - along * along)
		for (const { across, up } of points) expect(Math.abs(Math.hypot(across, up) - w)).toBeLessThan(0.012)
		// opened below, one end to the left and one to the right of the seam, over the top from left to right
		const [first, middle, last] = [points[0]!, points[Math.floor(points.length / 2)]!, points[points.length - 1]!]
		expect(first.across).toBeCloseTo(-1, 1)
		expect(last.across).toBeCloseTo(1, 1)
		expect(first.up).toBeLessThan(0)
		expect(middle.up).toBeGreaterThan(0.99 * w)
		expect(points[3]?.across).toBeLessThan(0)
	}
})

test('a torus about z: the outer line of a cut beside the axis (Perseus)', () => {
	const [R, r] = [150, 50]
	const band = patch({
		rows: 200,
		columns: 120,
		at: (i, j) => {
			const [a, b] = [2.6 * (i - 0.5), 2.6 * (j - 0.5)]
			const w = R + r * Math.cos(b)
			return [w * Math.sin(a), w * Math.cos(a), r * Math.sin(b)]
		},
	})
	const { sections } = cut(band, { hand: 'right', stations: [-90, -40, 0, 60, 100] }).value as ScanSections
	for (const { along, points } of sections) {
		for (const { across, up } of points) expect(Math.abs(Math.hypot(Math.hypot(along, up) - R, across) - r)).toBeLessThan(0.02)
	}
})

test('a flat sheet with a step of a millimetre keeps its step', () => {
	const step = patch({
		rows: 120,
		columns: 600,
		at: (i, j) => [100 * i, 200 * (j - 0.5), 0.5 * Math.tanh((200 * (j - 0.5)) / 3)],
		noiseMm: 0.03,
		seed: 2,
	})
	const { sections } = cut(step, { stations: [20, 40, 60, 80] }).value as ScanSections
	for (const { points } of sections)
		for (const { across, up } of points) expect(Math.abs(up - 0.5 * Math.tanh(across / 3))).toBeLessThan(0.09)
})
