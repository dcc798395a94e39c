import { expect, test } from 'vitest'
import { curveFromCurvature } from '../../src/plane/develop.ts'

// Fresnel integrals C(x), S(x) with pi/2 t^2: Abramowitz & Stegun, Handbook of Mathematical Functions, table 7.7, 7 digits.
const FRESNEL = [
	[0.5, 0.492_344_2, 0.064_732_4],
	[1.0, 0.779_893_4, 0.438_259_1],
	[1.5, 0.445_261_2, 0.697_505],
	[2.0, 0.488_253_4, 0.343_415_7],
] as const

test('a curve whose curvature grows with length is the spiral of the Fresnel integrals', () => {
	// k = pi l / a^2 with a = 100 mm gives (a C(l/a), a S(l/a))
	const spiral = curveFromCurvature((l) => (Math.PI * l) / 1e4, 200, { toleranceMm: 1e-7 })
	expect(spiral.met).toBe(true)
	for (const [x, c, s] of FRESNEL) {
		const p = spiral.at(100 * x)
		expect(Math.abs(p.x / 100 - c)).toBeLessThan(0.5e-7 + 1e-9)
		expect(Math.abs(p.y / 100 - s)).toBeLessThan(0.5e-7 + 1e-9)
		expect(p.heading).toBeCloseTo((Math.PI / 2) * x * x, 9)
	}
})

test('the rim of a cone develops to an arc of its slant height', () => {
	// closed form: radius r, slant s, in-surface curvature of the rim 1/s, length 2 pi r: sector of 360 r/s degrees
	const rim = curveFromCurvature(() => 1 / 100, 2 * Math.PI * 60, { toleranceMm: 1e-6 })
	expect((rim.at(rim.length).heading * 180) / Math.PI).toBeCloseTo(216, 9)
	for (const l of [0, 100, 250, rim.length]) {
		const p = rim.at(l)
		expect(Math.hypot(p.x, p.y - 100)).toBeCloseTo(100, 9)
	}
})

test("a sphere's small circle develops to an arc of radius R tan(colatitude)", () => {
	// conic projection with one standard parallel: Snyder, Map Projections, USGS Professional Paper 1395, ch. 15
	const [radius, colatitude] = [150, Math.PI / 3]
	const k = 1 / (radius * Math.tan(colatitude))
	const arc = curveFromCurvature(() => k, 200, { toleranceMm: 1e-6 })
	const p = arc.at(200)
	expect(Math.hypot(p.x, p.y - 259.807_621_135)).toBeCloseTo(259.807_621_135, 7)
})
