import type { Chart } from '../../src/chart/chart.ts'
import type { ChartCubic, ChartPoint, Curve, SpacePoint } from '../../src/chart/point.ts'
import { flatChart } from '../../src/panel/flat.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { gaugeProfile } from '../../src/panel/gauge.ts'
import { circleProfile, type Profile, straightProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { coneChart, rolledAlong, rolledRound } from '../../src/panel/rolled.ts'

/** Panels and plain measuring that the chart tests share. */

export type Hand = 'centre' | 'left' | 'right'

/** A mudguard's cross-section as a gauge reads it: rounded to 0.5 mm. */
const SECTION = [
	[0, 0],
	[15, 1],
	[30, 4],
	[45, 10],
	[55, 16.5],
	[62, 24.5],
	[66, 34],
	[68, 46],
] as const
export function sectionProfile(): Profile {
	const outcome = gaugeProfile(SECTION, { half: true, sd: 0.5, path: '' })
	if (!outcome.value) throw new Error('the section is good')
	return outcome.value
}

/**
 * Meridian of the ellipsoid of revolution x^2/a^2 + z^2/b^2 = 1 from the parallel at reduced latitude `beta0`, towards the
 * pole for u > 0: r = a cos(beta), z = b sin(beta), du = sqrt(a^2 sin^2 + b^2 cos^2) dbeta.
 */
export function ellipseProfile(
	a: number,
	b: number,
	beta0: number,
): { profile: Profile; crown: number; uOf(beta: number): number } {
	const speed = (t: number) => Math.hypot(a * Math.sin(t), b * Math.cos(t))
	const simpson = (f: (t: number) => number, from: number, to: number) => {
		const n = 400
		const h = (to - from) / n
		let sum = f(from) + f(to)
		for (let i = 1; i < n; i++) sum += f(from + i * h) * (i % 2 === 1 ? 4 : 2)
		return (sum * h) / 3
	}
	const uOf = (beta: number) => simpson(speed, beta0, beta)
	const crown = a * Math.cos(beta0)
	// The reduced latitude at equal lengths, and Newton's method from the nearest of them.
	const STEP = 1
	const table = new Map<number, number>()
	const nodeAt = (i: number): number => {
		const known = table.get(i)
		if (known !== undefined) return known
		let beta = i === 0 ? beta0 : nodeAt(i - Math.sign(i))
		if (i !== 0) for (let k = 0; k < 6; k++) beta -= (uOf(beta) - i * STEP) / speed(beta)
		table.set(i, beta)
		return beta
	}
	const gauss3 = (from: number, to: number) => {
		const [m, h] = [(from + to) / 2, (to - from) / 2]
		const x = Math.sqrt(0.6) * h
		return (h * (5 * speed(m - x) + 8 * speed(m) + 5 * speed(m + x))) / 9
	}
	const betaOf = (u: number) => {
		const i = Math.round(u / STEP)
		const from = nodeAt(i)
		let beta = from + (u - i * STEP) / speed(from)
		for (let k = 0; k < 3; k++) beta -= (gauss3(from, beta) - (u - i * STEP)) / speed(beta)
		return beta
	}
	const at = (u: number) => {
		const t = betaOf(u)
		const v = speed(t)
		const vt = ((a * a - b * b) * Math.sin(t) * Math.cos(t)) / v
		return {
			across: b * (Math.sin(t) - Math.sin(beta0)),
			down: crown - a * Math.cos(t),
			slope: (a * Math.sin(t)) / v,
			bend: (a * Math.cos(t) * v - a * Math.sin(t) * vt) / v ** 3,
			acrossRate: (b * Math.cos(t)) / v,
		}
	}
	const profile: Profile = {
		uMin: uOf(-1.2),
		uMax: uOf(1.2),
		even: false,
		errorMm: 0,
		slopeSd: 0,
		at,
		fall(u, out) {
			const p = at(u)
			out[0] = p.down
			out[1] = p.slope
			out[2] = p.bend
			return out
		},
		downIntegral: (u) => crown * u - simpson((t) => a * Math.cos(t) * speed(t), beta0, betaOf(u)),
	}
	return { profile, crown, uOf }
}

export const sphere = (radius: number, hand: Hand = 'centre'): Chart =>
	revolvedChart(panelFrame('sphere', hand), radius, circleProfile(radius), -4 * radius, 8 * radius)

export const torus = (hand: Hand = 'centre'): Chart => revolvedChart(panelFrame('torus', hand), 140, circleProfile(40), -300, 600)

/** Every kind of panel of this project, with a box of (s, g) well inside it. */
export interface Kind {
	readonly name: string
	chart(hand?: Hand): Chart
	readonly box: { readonly s0: number; readonly s1: number; readonly g0: number; readonly g1: number }
	/** 0.5 where lengths come from a smoothed table: its pieces agree in length to this many mm, else 0 */
	readonly tableMm: number
}
export const KINDS: readonly Kind[] = [
	{
		name: 'flat',
		chart: (hand = 'centre') => flatChart(panelFrame('p', hand), { front: 0, bend: 0 }),
		box: { s0: 20, s1: 220, g0: -60, g1: 60 },
		tableMm: 0,
	},
	{
		name: 'flat, bent baseline',
		chart: (hand = 'centre') => flatChart(panelFrame('p', hand), { front: 0, bend: 1 / 250 }),
		box: { s0: 20, s1: 220, g0: -60, g1: 60 },
		tableMm: 0,
	},
	{
		name: 'rolled, baseline along the axis',
		chart: (hand = 'centre') => rolledAlong(panelFrame('p', hand), circleProfile(60), 0, 300),
		box: { s0: 20, s1: 220, g0: -60, g1: 60 },
		tableMm: 0,
	},
	{
		name: 'rolled from gauge readings, baseline round the profile',
		chart: (hand = 'centre') => rolledRound(panelFrame('p', hand), sectionProfile(), 200),
		box: { s0: -70, s1: 70, g0: -60, g1: 60 },
		tableMm: 1e-5,
	},
	{
		name: 'cone widening to the rear',
		chart: (hand = 'centre') => coneChart(panelFrame('p', hand), { frontDiameter: 120, rearDiameter: 240, slant: 260 }, 0),
		box: { s0: 20, s1: 220, g0: -40, g1: 40 },
		tableMm: 0,
	},
	{
		name: 'cone narrowing to the rear',
		chart: (hand = 'centre') => coneChart(panelFrame('p', hand), { frontDiameter: 240, rearDiameter: 100, slant: 260 }, 10),
		box: { s0: 20, s1: 220, g0: -40, g1: 40 },
		tableMm: 0,
	},
	{
		name: 'revolved, a sphere',
		chart: (hand = 'centre') => sphere(150, hand),
		box: { s0: -100, s1: 100, g0: -80, g1: 80 },
		tableMm: 0,
	},
	{ name: 'revolved, a torus', chart: (hand = 'centre') => torus(hand), box: { s0: -100, s1: 100, g0: -40, g1: 40 }, tableMm: 0 },
	{
		name: 'revolved, falling to one side',
		chart: (hand = 'centre') => revolvedChart(panelFrame('p', hand), 300, straightProfile(200, 0.4), 0, 300),
		box: { s0: 20, s1: 220, g0: -60, g1: 60 },
		tableMm: 0,
	},
	{
		name: 'revolved from gauge readings',
		chart: (hand = 'centre') => revolvedChart(panelFrame('p', hand), 320, sectionProfile(), 0, 500),
		box: { s0: 20, s1: 220, g0: -60, g1: 60 },
		tableMm: 1e-5,
	},
]

/** A place of the box from two shares of it. */
export const inBox = ({ box }: Kind, a: number, b: number): ChartPoint => ({
	s: box.s0 + (box.s1 - box.s0) * a,
	g: box.g0 + (box.g1 - box.g0) * b,
})

export const curve = (cubics: readonly ChartCubic[], closed = false, id = 'line'): Curve => ({
	id,
	cubics,
	closed,
	maxErrorMm: 0,
})

export function straight(p: ChartPoint, q: ChartPoint): ChartCubic {
	const at = (t: number) => ({ s: p.s + (q.s - p.s) * t, g: p.g + (q.g - p.g) * t })
	return [p, at(1 / 3), at(2 / 3), q]
}
/** Straight from corner to corner. */
export function corners(points: readonly (readonly [number, number])[], closed = false): Curve {
	const list = points.map(([s, g]) => ({ s, g }))
	const ends = closed ? [...list.slice(1), list[0] as ChartPoint] : list.slice(1)
	return curve(
		ends.map((q, i) => straight(list[i] as ChartPoint, q)),
		closed,
	)
}

/** Bernstein form written out. */
export function onCubic(c: ChartCubic, t: number): ChartPoint {
	const w = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3]
	return {
		s: c.reduce((sum, p, i) => sum + (w[i] as number) * p.s, 0),
		g: c.reduce((sum, p, i) => sum + (w[i] as number) * p.g, 0),
	}
}

export const sample = (c: Curve, each: number): ChartPoint[] =>
	c.cubics.flatMap((cubic, i) =>
		Array.from({ length: each + (i === c.cubics.length - 1 ? 1 : 0) }, (_, k) => onCubic(cubic, k / each)),
	)

export const apart = (a: SpacePoint, b: SpacePoint) => Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z)

/** Length in space of the curve, from chords of two sizes (their error falls with the square: Richardson). */
export function lengthInSpace(chart: Chart, c: Curve, each: number): number {
	const walk = (n: number) => {
		const points = sample(c, n).map((p) => (chart.embed as (p: ChartPoint) => SpacePoint)(p))
		return points.slice(1).reduce((sum, p, i) => sum + apart(p, points[i] as SpacePoint), 0)
	}
	const [coarse, fine] = [walk(each), walk(2 * each)]
	return fine + (fine - coarse) / 3
}
