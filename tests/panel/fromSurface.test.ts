import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { chartFromSurface } from '../../src/panel/fromSurface.ts'
import type { Surface } from '../../src/panel/surface.ts'
import { cylinderSurface, ellipsoid, revolution } from './surfaces.ts'

const make = (surface: Surface, from: { u: number; v: number }, to: { u: number; v: number }) =>
	chartFromSurface({ frame: panelFrame('p', 'centre'), surface, from, to, front: 0, errorMm: 0.1, curvatureSd: 1e-5 })
function good(...args: Parameters<typeof make>) {
	const made = make(...args)
	if (!made.ok) throw new Error(made.why)
	return made
}

describe('where the chart of a surface ends', () => {
	test('at J = 1/4, on a sphere about its equator: a cosine', () => {
		// J = cos(g / R) (do Carmo 4-4): a quarter at acos(1/4).
		const { chart, fromS } = good(ellipsoid(100, 100, 1.5), { u: -80, v: 0 }, { u: 80, v: 0 })
		expect(chart.gMax(fromS + 50)).toBeCloseTo(100 * Math.acos(0.25), 0)
		expect(chart.gMin(fromS + 50)).toBeCloseTo(-100 * Math.acos(0.25), 0)
		expect(chart.limitReason).toContain('second baseline')
	})

	test('half-way round a tube, where lines from both sides meet though J is 1', () => {
		const tube = { ...cylinderSurface(60, 150), periodU: 200 * Math.PI }
		const { chart, fromS } = good(tube, { u: 0, v: -100 }, { u: 0, v: 100 })
		expect(chart.metric(fromS + 100, 150).j).toBeCloseTo(1, 9)
		// Half of 2 pi 60, less at most a step of the grid.
		for (const reach of [chart.gMax(fromS + 100), -chart.gMin(fromS + 100)]) {
			expect(reach).toBeLessThan(60 * Math.PI)
			expect(reach).toBeGreaterThan(60 * Math.PI - 12)
		}
		expect(chart.limitReason).toContain('nearer to another part of the baseline')
	})

	test('not on a cone about a taut line: its lines are parallel on the unrolled sheet', () => {
		const cone = revolution((t) => ({ r: [-25 * t, -25, 0], z: [96.8 * t, 96.8, 0] }), [-3.1, 3.1, -4, -0.2])
		const { chart, fromS, toS } = good(cone, { u: -250, v: -150 }, { u: 250, v: -150 })
		const middle = (fromS + toS) / 2
		// On the unrolled sector (91 degrees) the taut line is a chord; lines square to it are parallel, so only the surface ends them.
		expect(chart.metric(middle, 30).j).toBeCloseTo(1, 6)
		expect(chart.limitReason).toContain('measured only that far')
	})
})

test('the area of a band of a sphere about its equator is that of the cylinder round it (Archimedes)', () => {
	const { chart, fromS } = good(ellipsoid(150, 150, 1.1), { u: -80, v: 0 }, { u: 80, v: 0 })
	const [s0, s1, g0, g1] = [fromS + 10, fromS + 150, -60, 110]
	const loop = [
		...Array.from({ length: 400 }, (_, i) => ({ s: s0 + ((s1 - s0) * i) / 400, g: g0 })),
		...Array.from({ length: 400 }, (_, i) => ({ s: s1, g: g0 + ((g1 - g0) * i) / 400 })),
		...Array.from({ length: 400 }, (_, i) => ({ s: s1 - ((s1 - s0) * i) / 400, g: g1 })),
		...Array.from({ length: 400 }, (_, i) => ({ s: s0, g: g1 - ((g1 - g0) * i) / 400 })),
	]
	expect(area(chart, [loop])).toBeCloseTo((s1 - s0) * 150 * (Math.sin(110 / 150) - Math.sin(-60 / 150)), 3)
})

test('what cannot be charted says why', () => {
	const ball = ellipsoid(150, 150, 0.6)
	expect(make(ball, { u: 0, v: 0 }, { u: 5, v: 0 })).toEqual({ ok: false, why: 'no-path' })
	// Both places on the rim of a cap: the taut line between them bulges past it.
	expect(make(ball, { u: -70, v: 59 }, { u: 70, v: 59 })).toMatchObject({ ok: false, why: 'leaves' })
})

test('a ring whose taut line does not close is refused', () => {
	const cone = revolution((t) => ({ r: [60 - 40 * t, -40, 0], z: [100 * t, 100, 0] }), [-Math.PI, Math.PI, -0.5, 0.5])
	const ring = { ...cone, periodU: 200 * Math.PI }
	const made = make(ring, { u: -100 * Math.PI, v: 0 }, { u: 100 * Math.PI, v: 0 })
	expect(made.ok).toBe(false)
})
