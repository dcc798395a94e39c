import type { Cubic } from '../plane/point.ts'
import { type Chart, metricRoom } from './chart.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'

/** A curve where it stands at parameter u: 0 at its start, one more for each of its cubics. */
export interface Station {
	readonly at: ChartPoint
	/** first and second derivative by u */
	readonly ds: number
	readonly dg: number
	readonly dds: number
	readonly ddg: number
}

/** In-surface terms of a curve at a parameter. */
export interface Frame {
	readonly at: ChartPoint
	/** direction, from +s towards +g */
	readonly angle: number
	/** mm of panel per unit of u */
	readonly speed: number
	/** in-surface curvature, positive towards +g of its direction (to its plus side), 1/mm */
	readonly curvature: number
}

export function evaluate(curve: Curve, u: number): Station {
	const n = curve.cubics.length
	const i = Math.min(n - 1, Math.max(0, Math.floor(u)))
	return evaluateCubic(curve.cubics[i] as ChartCubic, u - i)
}

export function evaluateCubic([p0, p1, p2, p3]: ChartCubic, t: number): Station {
	const r = 1 - t
	const b0 = r * r * r
	const b1 = 3 * r * r * t
	const b2 = 3 * r * t * t
	const b3 = t * t * t
	const d0 = 3 * r * r
	const d1 = 6 * r * t
	const d2 = 3 * t * t
	return {
		at: { s: b0 * p0.s + b1 * p1.s + b2 * p2.s + b3 * p3.s, g: b0 * p0.g + b1 * p1.g + b2 * p2.g + b3 * p3.g },
		ds: d0 * (p1.s - p0.s) + d1 * (p2.s - p1.s) + d2 * (p3.s - p2.s),
		dg: d0 * (p1.g - p0.g) + d1 * (p2.g - p1.g) + d2 * (p3.g - p2.g),
		dds: 6 * r * (p2.s - 2 * p1.s + p0.s) + 6 * t * (p3.s - 2 * p2.s + p1.s),
		ddg: 6 * r * (p2.g - 2 * p1.g + p0.g) + 6 * t * (p3.g - 2 * p2.g + p1.g),
	}
}

/** Read at once, before any other metric is asked for. */
const room = metricRoom()

/**
 * Direction, speed and in-surface curvature: k = a' - (J_g/J) cos a, a the direction and ' by length
 * (Liouville's formula; do Carmo 4-4, prop. 4).
 */
export function frameOf(chart: Chart, { at, ds, dg, dds, ddg }: Station): Frame {
	const { j, jg, js } = chart.metric(at.s, at.g, room)
	const x = j * ds
	const dx = j * dds + (js * ds + jg * dg) * ds
	const speed = Math.hypot(x, dg)
	const angle = Math.atan2(dg, x)
	const turn = (x * ddg - dg * dx) / (speed * speed * speed)
	return { at, angle, speed, curvature: turn - (jg / j) * (x / speed) }
}

export function frame(chart: Chart, curve: Curve, u: number): Frame {
	return frameOf(chart, evaluate(curve, u))
}

export const toPlaneCubic = (c: ChartCubic): Cubic => c.map((p) => ({ x: p.s, y: p.g })) as unknown as Cubic
export const toChartCubic = (c: Cubic): ChartCubic => c.map((p) => ({ s: p.x, g: p.y })) as unknown as ChartCubic

export function startOf(curve: Curve): ChartPoint {
	return (curve.cubics[0] as ChartCubic)[0]
}
export function endOf(curve: Curve): ChartPoint {
	return (curve.cubics[curve.cubics.length - 1] as ChartCubic)[3]
}

export function reversed(curve: Curve): Curve {
	return { ...curve, cubics: curve.cubics.map(([a, b, c, d]) => [d, c, b, a] as const).reverse() }
}

/** The other side of the baseline: (s, g) -> (s, -g). */
export const mirroredPoint = (p: ChartPoint): ChartPoint => ({ s: p.s, g: p.g === 0 ? 0 : -p.g })

/** On the other side of the baseline, still front to rear. */
export function mirrored(curve: Curve, id = curve.id): Curve {
	const flip = mirroredPoint
	return { ...curve, id, cubics: curve.cubics.map(([a, b, c, d]) => [flip(a), flip(b), flip(c), flip(d)] as const) }
}

/** Whether each is the other on the other side of the baseline, to the last digit. */
export function areMirrored(a: Curve, b: Curve): boolean {
	const same = (p: ChartPoint, q: ChartPoint | undefined) => p.s === q?.s && p.g === -q.g
	return (
		a.closed === b.closed &&
		a.cubics.length === b.cubics.length &&
		a.cubics.every((cubic, i) => cubic.every((p, k) => same(p, b.cubics[i]?.[k])))
	)
}

/** The part between parameters u0 < u1. */
export function part(curve: Curve, u0: number, u1: number, id = curve.id): Curve {
	const cubics: ChartCubic[] = []
	const n = curve.cubics.length
	for (let i = Math.max(0, Math.floor(u0)); i < n && i < u1; i++) {
		const from = Math.max(0, u0 - i)
		const to = Math.min(1, u1 - i)
		if (to - from < 1e-12) continue
		cubics.push(partOfCubic(curve.cubics[i] as ChartCubic, from, to))
	}
	return { id, cubics, closed: false, maxErrorMm: curve.maxErrorMm }
}

/** De Casteljau, twice. */
function partOfCubic(c: ChartCubic, t0: number, t1: number): ChartCubic {
	if (t0 === 0 && t1 === 1) return c
	const a = evaluateCubic(c, t0)
	const b = evaluateCubic(c, t1)
	const w = (t1 - t0) / 3
	return [
		t0 === 0 ? c[0] : a.at,
		{ s: a.at.s + a.ds * w, g: a.at.g + a.dg * w },
		{ s: b.at.s - b.ds * w, g: b.at.g - b.dg * w },
		t1 === 1 ? c[3] : b.at,
	]
}

/** A turn of the tangent between two cubics beyond this is a corner, below it noise of fitting. */
const CORNER_RAD = 0.01

/** Parameters (whole numbers) at which the curve turns sharply, with the turn in radians (positive to its plus side). */
export function cornersOf(chart: Chart, curve: Curve): { u: number; turn: number }[] {
	const corners: { u: number; turn: number }[] = []
	const n = curve.cubics.length
	for (let i = curve.closed ? 0 : 1; i < n; i++) {
		const before = frameOf(chart, evaluateCubic(curve.cubics[(i + n - 1) % n] as ChartCubic, 1))
		const after = frameOf(chart, evaluateCubic(curve.cubics[i] as ChartCubic, 0))
		const turn = wrap(after.angle - before.angle)
		if (Math.abs(turn) > CORNER_RAD) corners.push({ u: i, turn })
	}
	return corners
}

/** An angle brought into (-pi, pi]. */
export function wrap(angle: number): number {
	const a = angle % (2 * Math.PI)
	return a > Math.PI ? a - 2 * Math.PI : a <= -Math.PI ? a + 2 * Math.PI : a
}
