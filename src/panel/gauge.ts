import type { Outcome, Problem } from '../job/problem.ts'
import { GAUSS_5, gaussLegendre } from '../numeric/quadrature.ts'
import { type SmoothingSpline, smoothByCp } from '../numeric/smoothing.ts'
import { selfIntersections } from '../plane/polyline.ts'
import { type Profile, type ProfilePoint, runOn } from './profile.ts'

/** A gauge's uncertainty where the job does not say (common practice, no source). */
export const GAUGE_SD_MM = 0.5

/** Nodes of the table by arc length, mm apart: quintic pieces 1.5 mm long follow a profile bent at 10 mm to 1e-6 mm. */
const NODE_MM = 1.5
const MAX_NODES = 4000

interface GaugeOptions {
	readonly half: boolean
	readonly sd: number
	/** JSON pointer to the points */
	readonly path: string
}

/** A smooth profile from gauge readings (across, down), the baseline at across = 0. */
export function gaugeProfile(points: readonly (readonly [number, number])[], options: GaugeOptions): Outcome<Profile> {
	const trouble = profileTrouble(points, options)
	if (trouble) return trouble
	const list = options.half ? bothHalves(points) : points
	const t = [0]
	for (let i = 1; i < list.length; i++) {
		const [a, b] = [list[i - 1] as readonly [number, number], list[i] as readonly [number, number]]
		t.push((t[i - 1] as number) + Math.hypot(b[0] - a[0], b[1] - a[1]))
	}
	const [across, down] = smoothed(t, list, options.sd)
	const table = byArcLength(t, across, down, options)
	const whole = options.half ? evenAboutCentre(table) : table
	const share = down.df / list.length
	const spacing = (t[t.length - 1] as number) / list.length
	return {
		value: runOn({
			...whole,
			even: options.half,
			errorMm: options.sd * Math.sqrt(share),
			slopeSd: (SLOPE_FACTOR * options.sd * share ** 1.5) / spacing,
		}),
		problems: [],
	}
}

/**
 * Standard deviation of the slope of a smoothed profile: 1.5 (sd / spacing) (df / n)^1.5. A smoothing spline by the third
 * derivative passes a wave of frequency w by 1 / (1 + (w / c)^6) (Silverman, Annals of Statistics 12, 1984, the equivalent
 * kernel). Over a length of n spacings h its trace is df = n h c / 3, and white noise of the readings leaves a slope of
 * variance sd^2 h c^3 / 12; c put out of the two gives the factor. Measured on 60 to 200 noisy profiles each of circles R 80,
 * 150, 300 and of shoulders read at 21 or 41 places with 0.1 and 0.5 mm: true slope error 0.75 to 1.3 times this. Where the
 * gauge is read too coarsely for a shoulder (three readings round it) the slope is up to 8 times worse: no noise says so.
 */
const SLOPE_FACTOR = 1.5

/** Metal folds sharply, but no gauge reads round a fold of more than 110 degrees: its pins stand in a row. */
const SHARPEST_COS = Math.cos((110 * Math.PI) / 180)

/** What is wrong with readings of a profile, where something is. */
export function profileTrouble(
	points: readonly (readonly [number, number])[],
	{ half, path }: { readonly half: boolean; readonly path: string },
): { readonly problems: readonly Problem[] } | undefined {
	const bad = (at: string, code: string, found: string, expected: string, fix: string): { problems: Problem[] } => ({
		problems: [{ code, severity: 'error', path: at, found, expected, fix }],
	})
	for (let i = 1; i < points.length; i++) {
		const [a, b] = [points[i - 1] as readonly [number, number], points[i] as readonly [number, number]]
		if (Math.hypot(b[0] - a[0], b[1] - a[1]) < 0.01) {
			return bad(
				`${path}/${i}`,
				'PROFILE_REPEATS',
				'the same reading twice in a row',
				'each place on the profile once',
				'take one of the two out',
			)
		}
	}
	const line = points.map(([x, y]) => ({ x, y }))
	const cross = selfIntersections(line)[0]
	if (cross) {
		return bad(
			`${path}/${cross.j}`,
			'PROFILE_CROSSES_ITSELF',
			`the profile crosses itself between readings ${cross.i + 1} and ${cross.j + 2}`,
			'readings in order, from one end to the other',
			'put the readings in the order in which they lie on the gauge',
		)
	}
	const first = points[0]?.[0] as number
	const last = points[points.length - 1]?.[0] as number
	if (half && Math.abs(first) > 0.01) {
		return bad(
			`${path}/0`,
			'PROFILE_OFF_CENTRE',
			`a half profile that starts at ${first} mm across`,
			'its first reading at the centre, 0 across',
			'start the half at the centre, or give both halves and leave out "half"',
		)
	}
	const outward = points[1]?.[0] as number
	const over = half ? points.findIndex(([x], i) => i > 0 && x * outward <= 0) : -1
	if (over > 0) {
		return bad(
			`${path}/${over}`,
			'PROFILE_OFF_CENTRE',
			'a half profile that comes back to the centre',
			'one half alone, on one side of the centre',
			'take out the readings of the other half, or give both halves and leave out "half"',
		)
	}
	if (!half && !(first < 0 && last > 0)) {
		return bad(
			path,
			'PROFILE_OFF_CENTRE',
			`a profile from ${first} to ${last} mm across`,
			'readings on both sides of the baseline, which is 0 across, from left to right (or from below to above)',
			'count across from the baseline, negative on its left (or below)',
		)
	}
	const back = points.findIndex((b, i) => {
		const [a, c] = [points[i - 1], points[i + 1]]
		if (!a || !c) return false
		const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]]
		return ux * vx + uy * vy < SHARPEST_COS * Math.hypot(ux, uy) * Math.hypot(vx, vy)
	})
	if (back > 0) {
		return bad(
			`${path}/${back}`,
			'PROFILE_TURNS_BACK',
			`a profile that turns back on itself at reading ${back + 1} (${round1(points[back]?.[0])} mm across, ${round1(points[back]?.[1])} mm down)`,
			'readings in order along the metal, each going on from the one before',
			"look for a slip in that reading or for two readings put in each other's place",
		)
	}
	return undefined
}

/** From the left end to the right one, whichever half was read. */
export const bothHalves = (half: readonly (readonly [number, number])[]) => [
	...half
		.slice(1)
		.map(([x, d]) => [-Math.abs(x), d] as const)
		.reverse(),
	...half.map(([x, d]) => [Math.abs(x), d] as const),
]

/**
 * Both coordinates smoothed by one weight, by Mallows' Cp with the gauge's own uncertainty. Against leaving the readings by a
 * fixed third of it (as a curve through them, whose slopes go wild as readings come closer), on circles and shoulders: the
 * same place or better, and slopes 2 to 14 times nearer to the true ones where a gauge is read every 5 to 10 mm.
 */
function smoothed(
	t: readonly number[],
	list: readonly (readonly [number, number])[],
	sd: number,
): [SmoothingSpline, SmoothingSpline] {
	const sigma = t.map(() => sd)
	const fit = smoothByCp(
		t,
		[0, 1].map((c) => ({ y: list.map((p) => p[c] as number), sigma })),
	)
	// Only fewer than two readings leave a curve undetermined, and the job's schema asks for three.
	if (!fit) throw new RangeError('a profile needs two readings or more')
	return fit.coordinates as [SmoothingSpline, SmoothingSpline]
}

/** A profile before it is known how good it is. */
type Table = Omit<Profile, 'even' | 'errorMm' | 'slopeSd'>

/** The curve by its own length from across = 0, as quintic pieces between nodes (value, slope and bend agree at each). */
function byArcLength(t: readonly number[], across: SmoothingSpline, down: SmoothingSpline, { half }: GaugeOptions): Table {
	const a = new Float64Array(4)
	const d = new Float64Array(4)
	const speed = (p: number) => Math.hypot(across.at(p, a)[1] as number, down.at(p, d)[1] as number)
	const from = t[0] as number
	const to = t[t.length - 1] as number
	const centre = half ? (from + to) / 2 : zeroOf((p) => across.at(p, a)[0] as number, from, to)
	const panels = (length: number) => Math.max(1, Math.ceil(Math.abs(length) / 2))
	const uMin = -gaussLegendre(speed, from, centre, GAUSS_5, panels(centre - from))
	const uMax = gaussLegendre(speed, centre, to, GAUSS_5, panels(to - centre))
	const count = Math.min(MAX_NODES, Math.max(8, Math.ceil((uMax - uMin) / NODE_MM)))
	const h = (uMax - uMin) / count
	const nodes: ProfilePoint[] = []
	const acrossBend: number[] = []
	let p = from
	for (let i = 0; i <= count; i++) {
		if (i > 0) {
			// The parameter one node on: Newton on length, whose derivative is the speed.
			let q = p + h / speed(p)
			for (let k = 0; k < 20; k++) {
				const miss = gaussLegendre(speed, p, q, GAUSS_5, 1) - h
				q -= miss / speed(q)
				// Newton squares what was missing: corrected by this it is right to rounding.
				if (Math.abs(miss) < 1e-6) break
			}
			p = i === count ? to : q
		}
		across.at(p, a)
		down.at(p, d)
		const v2 = (a[1] as number) ** 2 + (d[1] as number) ** 2
		const v = Math.sqrt(v2)
		// d''/u^2 by the chain rule: the part of the second derivative along the curve takes nothing.
		const along = ((a[1] as number) * (a[2] as number) + (d[1] as number) * (d[2] as number)) / v2
		nodes.push({
			across: a[0] as number,
			down: d[0] as number,
			slope: (d[1] as number) / v,
			bend: ((d[2] as number) - along * (d[1] as number)) / v2,
			acrossRate: (a[1] as number) / v,
		})
		acrossBend.push(((a[2] as number) - along * (a[1] as number)) / v2)
	}
	// Downwards is counted from the baseline.
	const top = down.at(centre, d)[0] as number
	const pieces = nodes.slice(0, -1).map((n, i) => {
		const m = nodes[i + 1] as ProfilePoint
		return {
			down: quintic(n.down - top, n.slope, n.bend, m.down - top, m.slope, m.bend, h),
			across: quintic(n.across, n.acrossRate, acrossBend[i] as number, m.across, m.acrossRate, acrossBend[i + 1] as number, h),
		}
	})
	const integrals = [0]
	for (const piece of pieces) integrals.push((integrals[integrals.length - 1] as number) + integralOf(piece.down, h))
	const find = (u: number) => {
		const i = Math.min(count - 1, Math.max(0, Math.floor((u - uMin) / h)))
		return { i, x: u - uMin - i * h }
	}
	const total = (u: number) => {
		const { i, x } = find(u)
		return (integrals[i] as number) + integralOf(pieces[i]?.down as Quintic, x)
	}
	const zero = total(0)
	return {
		uMin,
		uMax,
		at(u) {
			const { i, x } = find(u)
			const piece = pieces[i] as (typeof pieces)[number]
			return {
				down: value(piece.down, x),
				slope: rate(piece.down, x),
				bend: rate2(piece.down, x),
				across: value(piece.across, x),
				acrossRate: rate(piece.across, x),
			}
		},
		fall(u, out) {
			const i = Math.min(count - 1, Math.max(0, Math.floor((u - uMin) / h)))
			const x = u - uMin - i * h
			const c = (pieces[i] as (typeof pieces)[number]).down
			out[0] = value(c, x)
			out[1] = rate(c, x)
			out[2] = rate2(c, x)
			return out
		},
		downIntegral: (u) => total(u) - zero,
	}
}

/** Both halves from the right one, so that left and right are alike to the last digit. */
function evenAboutCentre(table: Table): Table {
	const end = table.uMax
	return {
		uMin: -end,
		uMax: end,
		at(u) {
			const p = table.at(Math.abs(u))
			return u < 0 ? { ...p, across: -p.across, slope: -p.slope } : p
		},
		fall(u, out) {
			table.fall(Math.abs(u), out)
			if (u < 0) out[1] = -(out[1] as number)
			return out
		},
		downIntegral: (u) => Math.sign(u) * table.downIntegral(Math.abs(u)),
	}
}

function zeroOf(f: (p: number) => number, from: number, to: number): number {
	let a = from
	let b = to
	for (let i = 0; i < 80; i++) {
		const m = (a + b) / 2
		if (f(m) < 0) a = m
		else b = m
	}
	return (a + b) / 2
}

type Quintic = readonly [number, number, number, number, number, number]

/** The quintic on [0, h] with value, first and second derivative given at both ends. */
function quintic(p0: number, v0: number, a0: number, p1: number, v1: number, a1: number, h: number): Quintic {
	const d = p1 - p0 - v0 * h - (a0 * h * h) / 2
	const v = v1 - v0 - a0 * h
	const a = a1 - a0
	return [
		p0,
		v0,
		a0 / 2,
		(10 * d - 4 * v * h + (a * h * h) / 2) / h ** 3,
		(-15 * d + 7 * v * h - a * h * h) / h ** 4,
		(6 * d - 3 * v * h + (a * h * h) / 2) / h ** 5,
	]
}
const value = (c: Quintic, x: number) => c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * c[5]))))
const rate = (c: Quintic, x: number) => c[1] + x * (2 * c[2] + x * (3 * c[3] + x * (4 * c[4] + x * 5 * c[5])))
const rate2 = (c: Quintic, x: number) => 2 * c[2] + x * (6 * c[3] + x * (12 * c[4] + x * 20 * c[5]))
const integralOf = (c: Quintic, x: number) =>
	x * (c[0] + x * (c[1] / 2 + x * (c[2] / 3 + x * (c[3] / 4 + x * (c[4] / 5 + (x * c[5]) / 6)))))
const round1 = (x = 0) => Math.round(x * 10) / 10
