import type { Chart } from '../chart/chart.ts'
import {
	endOf,
	evaluateCubic,
	frameOf,
	mirrored,
	mirroredPoint,
	part,
	reversed,
	startOf,
	toPlaneCubic,
	wrap,
} from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { measure } from '../chart/measure.ts'
import { offset } from '../chart/offset.ts'
import type { ChartCubic, ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import type { Trim } from '../chart/trim.ts'
import type { Width } from '../chart/width.ts'
import type { StripeEnd } from '../job/schema.ts'
import { pulledRun, straightOn } from '../line/run.ts'
import { type Flattened, flattenWithParams } from '../plane/flatten.ts'
import type { PlanePoint } from '../plane/point.ts'
import { boxOf, intersections } from '../plane/polyline.ts'
import { normalise, xor } from '../plane/region.ts'
import { blend, scaled, sum, widthOf } from './width.ts'

/** Chords of a region leave its true outline by no more than this, mm. */
export const CHORD_MM = 0.001

/** Between two rounded ends at least this much of the line is left, mm: less is a dot. */
const LEAST_BAND_MM = 1e-3

export interface BandShape {
	/** the two painted edges in the line's direction; `near` is nearer the line that the stripe is laid off */
	readonly near: readonly Curve[]
	readonly far: readonly Curve[]
	/** curves across the ends, where they are not sharp points: front, rear */
	readonly caps: readonly Curve[]
	readonly region: ChartRegion
	/** an open band's line, led on where a raked end reaches past it, and how far off it the band's middle lies half-way along */
	readonly spine?: { readonly line: Curve; readonly middleMm: number }
	readonly trims: readonly Trim[]
	/** what could not be made as it was asked for; with 'ends-meet' or 'rake-missed' the region is empty */
	readonly flaws: readonly BandFlaw[]
	readonly maxErrorMm: number
}

export type BandFlaw =
	/** the ends need more length than the line has */
	| { readonly kind: 'ends-meet'; readonly neededMm: number; readonly lengthMm: number }
	/** a point is longer than half the line */
	| { readonly kind: 'point-shortened'; readonly end: 'front' | 'rear'; readonly askedMm: number; readonly madeMm: number }
	/** the cut across a raked end does not meet an edge */
	| { readonly kind: 'rake-missed'; readonly end: 'front' | 'rear' }

export interface BandInput {
	readonly id: string
	/** the line, in its own direction */
	readonly base: Curve
	/** signed distances of the two edges off the line */
	readonly near: Width
	readonly far: Width
	/** what a pointed end comes to: the middle of all bands of a stripe, which share one point; the band's own middle where absent */
	readonly point?: Width
	/** lengths along the line where a width breaks */
	readonly breaks: readonly number[]
	readonly front: StripeEnd
	readonly rear: StripeEnd
	readonly corners: 'mitred' | 'rounded'
	readonly toleranceMm: number
}

/** The same band on the other side of a panel that is its own mirror image; `id` is its own. */
export function mirroredBand(shape: BandShape, from: string, id: string): BandShape {
	const curve = (c: Curve) => mirrored(c, c.id.replace(from, id))
	return {
		...shape,
		near: shape.near.map(curve),
		far: shape.far.map(curve),
		caps: shape.caps.map(curve),
		// Turned round, an outline stays anticlockwise.
		region: shape.region.map((loop) => loop.map(mirroredPoint).reverse()),
		...(shape.spine ? { spine: { line: mirrored(shape.spine.line), middleMm: -shape.spine.middleMm } } : {}),
		trims: shape.trims.map((trim) => ({ ...trim, at: mirroredPoint(trim.at) })),
	}
}

/** The outline of one band between two parallels of a line, with its ends. */
export function layBand(chart: Chart, input: BandInput): BandShape {
	if (input.base.closed) return ring(chart, input)
	const whole = measure(chart, input.base)
	const length = whole.length
	const ends = { front: endPlan(input.front, 0, input, length), rear: endPlan(input.rear, length, input, length) }
	const flaws: BandFlaw[] = []
	for (const end of ['front', 'rear'] as const) {
		const asked = input[end]
		const madeMm = ends[end].taper
		if (asked.shape === 'pointed' && asked.length > madeMm + 1e-9)
			flaws.push({ kind: 'point-shortened', end, askedMm: asked.length, madeMm })
	}

	// A line split where a width breaks or an end begins keeps each cubic's widths smooth.
	let near = input.near
	let far = input.far
	if (ends.front.taper > 0 || ends.rear.taper > 0) {
		const shut = sharpening(ends.front.taper, ends.rear.taper, length)
		const middle = input.point ?? scaled(sum(near, far), 0.5)
		;[near, far] = [blend(near, middle, shut), blend(far, middle, shut)]
	}
	const from = ends.front.inset
	const to = length - ends.rear.inset
	if (to - from < LEAST_BAND_MM) {
		flaws.push({ kind: 'ends-meet', neededMm: ends.front.inset + ends.rear.inset, lengthMm: length })
		return { near: [], far: [], caps: [], region: [], trims: [], flaws, maxErrorMm: 0 }
	}
	const cuts = [from, ...input.breaks, ends.front.taper, length - ends.rear.taper, to]
		.filter((l) => l >= from && l <= to)
		.sort((a, b) => a - b)
	const pieces: ChartCubic[] = []
	for (let i = 0; i + 1 < cuts.length; i++) {
		const [a, b] = [cuts[i] as number, cuts[i + 1] as number]
		if (b - a > 1e-6) pieces.push(...part(input.base, whole.at(a), whole.at(b)).cubics)
	}
	const lead = { front: ends.front.lead, rear: ends.rear.lead }
	const first = frameOf(chart, evaluateCubic(pieces[0] as ChartCubic, 0))
	const last = frameOf(chart, evaluateCubic(pieces[pieces.length - 1] as ChartCubic, 1))
	const before =
		lead.front > 0
			? reversed(asCurve(straightOn(chart, first.at, first.angle + Math.PI, lead.front, input.toleranceMm).cubics)).cubics
			: []
	const after = lead.rear > 0 ? straightOn(chart, last.at, last.angle, lead.rear, input.toleranceMm).cubics : []
	const base: Curve = { ...input.base, cubics: [...before, ...pieces, ...after] }
	const spine = {
		line: { ...input.base, cubics: [...before, ...input.base.cubics, ...after] },
		middleMm: (input.near.at(length / 2) + input.far.at(length / 2)) / 2,
	}
	// Lengths along the led-on line, counted as along the line itself.
	const shift = from - measure(chart, asCurve(before)).length
	const shifted = (w: Width): Width => ({ at: (l) => w.at(l + shift), rate: (l) => w.rate(l + shift) })

	const make = (w: Width, name: string) =>
		offset(chart, base, shifted(w), { id: `${input.id}/${name}`, toleranceMm: input.toleranceMm, corners: input.corners })
	const a = make(near, 'near')
	const b = make(far, 'far')
	let nearCurves = a.curves
	let farCurves = b.curves
	const trims = [...a.trims, ...b.trims]
	const maxErrorMm = Math.max(a.maxErrorMm, b.maxErrorMm)
	if (nearCurves.length === 0 || farCurves.length === 0)
		return { near: nearCurves, far: farCurves, caps: [], region: [], spine, trims, flaws, maxErrorMm }

	const caps: Curve[] = []
	for (const which of ['front', 'rear'] as const) {
		const plan = ends[which]
		const at = which === 'front' ? first : last
		if (input[which].shape === 'raked') {
			const rake = rakeLine(chart, at.at, at.angle, plan, which === 'front', input, length)
			const [n, f] = [cutBy(nearCurves, rake, which), cutBy(farCurves, rake, which)]
			if (!n || !f) {
				flaws.push({ kind: 'rake-missed', end: which })
				return { near: [], far: [], caps: [], region: [], spine, trims, flaws, maxErrorMm }
			}
			nearCurves = n
			farCurves = f
		}
		const p = which === 'front' ? startOf(nearCurves[0] as Curve) : endOf(nearCurves[nearCurves.length - 1] as Curve)
		const q = which === 'front' ? startOf(farCurves[0] as Curve) : endOf(farCurves[farCurves.length - 1] as Curve)
		const l = which === 'front' ? from : to
		if (input[which].shape === 'rounded') caps.push(roundCap(chart, at, near.at(l), far.at(l), which === 'front', input))
		else if (Math.hypot(p.s - q.s, p.g - q.g) > 1e-3) caps.push(straightCap(chart, p, q, input))
	}
	const pa = nearCurves.flatMap((c) => polyline(chart, c, CHORD_MM))
	const pb = farCurves.flatMap((c) => polyline(chart, c, CHORD_MM))
	const capLines = caps.map((c) => polyline(chart, c, CHORD_MM))
	const region = toChart(normalise(toPlane([closeLoop(pa, pb, capLines)])))
	return { near: nearCurves, far: farCurves, caps, region, spine, trims, flaws, maxErrorMm }
}

const asCurve = (cubics: readonly ChartCubic[], id = ''): Curve => ({ id, cubics, closed: false, maxErrorMm: 0 })

/** near forward, the rear cap, far backward, the front cap. */
function closeLoop(near: readonly ChartPoint[], far: readonly ChartPoint[], caps: readonly ChartPoint[][]): ChartPoint[] {
	const close = (a: ChartPoint | undefined, b: ChartPoint | undefined) => a && b && Math.hypot(a.s - b.s, a.g - b.g) < 0.01
	const start = near[0]
	const end = near[near.length - 1]
	const fit = (at: ChartPoint | undefined) => {
		for (const c of caps) {
			if (close(c[0], at)) return c
			if (close(c[c.length - 1], at)) return [...c].reverse()
		}
		return []
	}
	return [...near, ...fit(end), ...[...far].reverse(), ...fit(start).slice().reverse()]
}

interface EndPlan {
	/** the band proper stops this much before the end of the line */
	readonly inset: number
	/** and is first led on by this much beyond it */
	readonly lead: number
	/** the sides come together over this length */
	readonly taper: number
}

function endPlan(end: StripeEnd, at: number, input: BandInput, length: number): EndPlan {
	const reach = Math.max(Math.abs(input.near.at(at)), Math.abs(input.far.at(at)))
	switch (end.shape) {
		case 'pointed':
			return { inset: 0, lead: 0, taper: Math.min(end.length, length / 2) }
		case 'rounded':
			return { inset: Math.abs(input.far.at(at) - input.near.at(at)) / 2, lead: 0, taper: 0 }
		case 'raked':
			return { inset: 0, lead: (reach / Math.abs(Math.tan((end.angleDeg * Math.PI) / 180))) * 1.2 + 2, taper: 0 }
		default:
			return { inset: 0, lead: 0, taper: 0 }
	}
}

/** 0 along the band, rising to 1 at a pointed end. */
function sharpening(front: number, rear: number, length: number): Width {
	const points = [
		...(front > 0
			? [
					{ along: 0, width: 1 },
					{ along: front, width: 0 },
				]
			: [{ along: 0, width: 0 }]),
		...(rear > 0
			? [
					{ along: length - rear, width: 0 },
					{ along: length, width: 1 },
				]
			: [{ along: length, width: 0 }]),
	]
	return widthOf(points)
}

/** The straight line (as a taut tape lies) across a raked end. */
function rakeLine(
	chart: Chart,
	at: ChartPoint,
	angle: number,
	plan: EndPlan,
	front: boolean,
	input: BandInput,
	length: number,
): ChartPoint[] {
	const end = front ? input.front : input.rear
	const rake = end.shape === 'raked' ? (end.angleDeg * Math.PI) / 180 : Math.PI / 2
	// Counted on the side to which the stripe is laid, from the line led on: under 90 the far edge is the longer one.
	const side = input.far.at(length / 2) >= input.near.at(length / 2) ? 1 : -1
	const way = front ? angle + Math.PI - side * rake : angle + side * rake
	const widest = Math.max(...[0, length, ...input.breaks].flatMap((l) => [Math.abs(input.near.at(l)), Math.abs(input.far.at(l))]))
	const reach = Math.hypot(plan.lead, widest) * 1.5 + 5
	const start = shoot(chart, at, way, -reach)
	return polyline(chart, asCurve(straightOn(chart, start.at, start.angle, 2 * reach, input.toleranceMm).cubics), CHORD_MM)
}

/** The curves as far as a line across their end, or undefined where it does not meet them (or leaves nothing of them). */
function cutBy(curves: readonly Curve[], line: readonly ChartPoint[], which: 'front' | 'rear'): readonly Curve[] | undefined {
	const across = line.map((p) => ({ x: p.s, y: p.g }))
	const order = which === 'rear' ? [...curves.keys()].reverse() : [...curves.keys()]
	for (const i of order) {
		const curve = curves[i] as Curve
		const flat = flatNear(curve, across)
		const met = intersections(flat.points, across)
		const hit = which === 'rear' ? met[met.length - 1] : met[0]
		if (!hit) continue
		const u0 = flat.params[hit.i] as number
		const u = u0 + ((flat.params[hit.i + 1] as number) - u0) * hit.a
		const left =
			which === 'rear'
				? [...curves.slice(0, i), part(curve, 0, u, curve.id)]
				: [part(curve, u, curve.cubics.length, curve.id), ...curves.slice(i + 1)]
		const some = left.filter((c) => c.cubics.length > 0)
		return some.length > 0 ? some : undefined
	}
	return undefined
}

/** Chords along a curve; what cannot meet a line is left as it is, end to end. */
function flatNear(curve: Curve, line: readonly PlanePoint[]): Flattened {
	const box = boxOf(line)
	const points: PlanePoint[] = []
	const params: number[] = []
	curve.cubics.forEach((cubic, i) => {
		const c = toPlaneCubic(cubic)
		const own = boxOf(c)
		const apart = !box || !own || own.maxX < box.minX || box.maxX < own.minX || own.maxY < box.minY || box.maxY < own.minY
		const flat = apart ? { points: [c[0], c[3]], params: [0, 1] } : flattenWithParams([c], CHORD_MM)
		const from = i === 0 ? 0 : 1
		points.push(...flat.points.slice(from))
		params.push(...flat.params.slice(from).map((u) => i + u))
	})
	return { points, params }
}

/** Straight across, as a taut tape lies. */
function straightCap(chart: Chart, p: ChartPoint, q: ChartPoint, input: BandInput): Curve {
	const third = (t: number): ChartPoint => ({ s: p.s + (q.s - p.s) * t, g: p.g + (q.g - p.g) * t })
	// Where the chart knows no path between the two the end is only a cut in (s, g).
	const cubics = pulledRun(chart, p, q, input.toleranceMm)?.cubics ?? [[p, third(1 / 3), third(2 / 3), q] as const]
	return { ...asCurve(cubics, `${input.id}/end`), maxErrorMm: input.toleranceMm }
}

/** Half a circle about the middle of the band's end, from the near edge to the far one. */
function roundCap(
	chart: Chart,
	at: { at: ChartPoint; angle: number },
	near: number,
	far: number,
	front: boolean,
	input: BandInput,
): Curve {
	const half = Math.abs(far - near) / 2
	const middle = shoot(chart, at.at, at.angle + Math.PI / 2, (near + far) / 2)
	const along = wrap(middle.angle - Math.PI / 2)
	const toNear = along + (near < far ? -Math.PI / 2 : Math.PI / 2)
	const turn = (near < far ? Math.PI : -Math.PI) * (front ? -1 : 1)
	const cubics: ChartCubic[] = []
	// Eight arcs of 22.5 degrees: a cubic leaves such an arc by less than 1e-7 of its radius.
	const N = 8
	const point = (a: number) => shoot(chart, middle.at, a, half, { spread: 0, spreadRate: 1 })
	for (let i = 0; i < N; i++) {
		const a0 = toNear + (turn * i) / N
		const a1 = toNear + (turn * (i + 1)) / N
		const [p, q] = [point(a0), point(a1)]
		const step = turn / N / 3
		const handle = (s: typeof p, sign: 1 | -1): ChartPoint => {
			const j = chart.metric(s.at.s, s.at.g).j
			const e = s.angle + Math.PI / 2
			return { s: s.at.s + (sign * step * s.spread * Math.cos(e)) / j, g: s.at.g + sign * step * s.spread * Math.sin(e) }
		}
		cubics.push([p.at, handle(p, 1), handle(q, -1), q.at])
	}
	return { ...asCurve(cubics, `${input.id}/end`), maxErrorMm: input.toleranceMm }
}

function ring(chart: Chart, input: BandInput): BandShape {
	const make = (w: Width, name: string) =>
		offset(chart, input.base, w, { id: `${input.id}/${name}`, toleranceMm: input.toleranceMm, corners: input.corners })
	const a = make(input.near, 'near')
	const b = make(input.far, 'far')
	const loops = (curves: readonly Curve[]) => normalise(toPlane(curves.map((c) => polyline(chart, c, CHORD_MM))))
	return {
		near: a.curves,
		far: b.curves,
		caps: [],
		region: toChart(xor(loops(a.curves), loops(b.curves))),
		trims: [...a.trims, ...b.trims],
		flaws: [],
		maxErrorMm: Math.max(a.maxErrorMm, b.maxErrorMm),
	}
}
