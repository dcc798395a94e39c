import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fewLooks } from '../../src/plane/fewLooks.ts'
import type { Jet } from '../../src/plane/fit.ts'

const TOLERANCE = 1e-5
/** A curve that counts how often it is looked at. */
function counted(at: (t: number) => Jet) {
	const seen = { looks: 0 }
	return {
		seen,
		at: (t: number) => {
			seen.looks++
			return at(t)
		},
	}
}
const circle = (r: number) => (t: number) => ({
	x: r * Math.cos(t),
	y: r * Math.sin(t),
	dx: -r * Math.sin(t),
	dy: r * Math.cos(t),
})
const apart = (a: Jet, b: Jet) => Math.hypot(a.x - b.x, a.y - b.y)

describe('a curve by few looks', () => {
	test('five looks along a gentle arc say where it is between them, to far below the tolerance, whichever way it runs', () => {
		fc.assert(
			fc.property(fc.double({ min: -3, max: 3, noNaN: true }), fc.double({ min: 0.02, max: 0.12, noNaN: true }), (from, turn) => {
				for (const to of [from + turn, from - turn]) {
					const { at, seen } = counted(circle(100))
					const between = fewLooks(at, from, to, { toleranceMm: TOLERANCE })
					expect(seen.looks).toBe(5)
					for (let k = 0; k <= 50; k++) {
						const t = from + ((to - from) * k) / 50
						const [made, true_] = [between(t), circle(100)(t)]
						expect(apart(made, true_)).toBeLessThan(TOLERANCE / 100)
						expect(Math.hypot(made.dx - true_.dx, made.dy - true_.dy)).toBeLessThan(TOLERANCE)
					}
					expect(seen.looks).toBe(5)
				}
			}),
		)
	})

	test('where it bends more it is looked at more often, on both halves and in both directions', () => {
		for (const [from, to] of [
			[0.2, 1.7],
			[1.7, 0.2],
			[0.6, -0.6],
		] as const) {
			const { at, seen } = counted(circle(100))
			const between = fewLooks(at, from, to, { toleranceMm: TOLERANCE })
			expect(seen.looks).toBeGreaterThan(5)
			for (let k = 0; k <= 97; k++) {
				const t = from + ((to - from) * k) / 97
				expect(apart(between(t), circle(100)(t))).toBeLessThan(TOLERANCE)
			}
		}
	})

	test('at its ends it is the curve to the last digit', () => {
		const at = circle(37)
		const between = fewLooks(at, 0.3, 0.35, { toleranceMm: TOLERANCE })
		for (const t of [0.3, 0.35]) expect(between(t)).toEqual(at(t))
	})

	test('a curve with a bend in it, which no polynomial follows, is looked at place by place', () => {
		const bent = (t: number): Jet => ({ x: t, y: Math.abs(t - 0.37) * 50, dx: 1, dy: t < 0.37 ? -50 : 50 })
		const between = fewLooks(bent, 0, 1, { toleranceMm: TOLERANCE })
		for (let k = 0; k <= 200; k++) expect(apart(between(k / 200), bent(k / 200))).toBeLessThan(TOLERANCE)
	})
})
