/** A smooth outline through places that were measured on an old decal. */
import type { TracedShape } from '../job/artworkSchema.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { smoothByCp } from '../numeric/smoothing.ts'
import { lineCubic } from '../plane/cubic.ts'
import { fitCubics } from '../plane/fit.ts'
import { flatten } from '../plane/flatten.ts'
import type { Cubic, Loop, PlanePoint } from '../plane/point.ts'
import { isSimple } from '../plane/polyline.ts'
import { evenOdd } from '../plane/region.ts'
import { distance } from '../plane/vector.ts'
import { CURVE_SHARE, type Drawn } from './drawn.ts'

/** A place read off tracing paper is known to a pencil line, mm (common practice). */
const SD_MM = 0.1
/** A corner is gone through to a thousandth of a millimetre. */
const CORNER_SD_MM = 1e-4
/** A place this far from the line that the others make is a slip of the rule rather than of the pencil, mm (common practice). */
const ODD_MM = 0.5
/** Two-sided 0.1 % of a normal distribution: a place named by chance once in a thousand. */
const ODD_SDS = 3.29
/** So many places and the line of all but one is known between them; of fewer one may be the shape itself. */
const LEAST_JUDGES = 8
/** Places nearer than this are one place read twice, mm. */
const LEAST_MM = 0.01

interface Traced {
	readonly at: PlanePoint
	readonly corner: boolean
}

/** Its loops, smooth between corners; loops within loops are holes. The error is how far the line passes from the places. */
export function tracedShape(shape: TracedShape, toleranceMm: number, path: string): Outcome<Drawn> {
	const problems: Problem[] = []
	const lists = shape.points ? [shape.points] : (shape.loops ?? [])
	const loops: Loop[] = []
	let maxErrorMm = 0
	for (const [k, list] of lists.entries()) {
		const at = shape.points ? `${path}/points` : `${path}/loops/${k}`
		const points = list.map((p): Traced => {
			const [x, y] = Array.isArray(p) ? p : p.at
			return { at: { x, y }, corner: !Array.isArray(p) && p.corner }
		})
		const twice = points.findIndex((p, i) => distance(p.at, (points[(i + 1) % points.length] as Traced).at) < LEAST_MM)
		if (twice >= 0) {
			problems.push(wrong('TRACED_TWICE', at, `item ${twice + 1} at the same place as the one after it`, 'each place once'))
			continue
		}
		const fit = smoothLoop(points, CURVE_SHARE * toleranceMm)
		if (!fit || !isSimple(fit.loop, true)) {
			const found = fit ? 'an outline that crosses itself' : 'places that no outline can be led through'
			problems.push(wrong('TRACED_CROSSES', at, found, 'places in order round the outline'))
			continue
		}
		loops.push(fit.loop)
		maxErrorMm = Math.max(maxErrorMm, fit.errorMm + fit.offMm)
		if (fit.odd) problems.push(odd(at, fit.odd))
	}
	if (lists.length === 0) problems.push(wrong('TRACED_OUTLINE', path, 'a tracing without an outline', 'places round it'))
	if (loops.length < Math.max(1, lists.length)) return { problems }
	return { value: { inks: [{ region: evenOdd(loops), colour: shape.colour }], maxErrorMm }, problems }
}

interface Smooth {
	readonly loop: Loop
	/** of chords and cubics */
	readonly errorMm: number
	/** from the place that it passes farthest from */
	readonly offMm: number
	/** the place that is farthest, in its own sds, from the line that the others make, where that is more than chance */
	readonly odd: { readonly mm: number; readonly index: number } | undefined
}

function smoothLoop(points: readonly Traced[], toleranceMm: number): Smooth | undefined {
	const corner = points.findIndex((p) => p.corner)
	if (corner < 0) return joined([runOf(points, toleranceMm / 2, true)], points, toleranceMm)
	const turned = [...points.slice(corner), ...points.slice(0, corner + 1)]
	const runs: (Run | undefined)[] = []
	let from = 0
	for (let i = 1; i < turned.length; i++) {
		if (!turned[i]?.corner) continue
		runs.push(runOf(turned.slice(from, i + 1), toleranceMm / 2, false))
		from = i
	}
	return joined(runs, points, toleranceMm)
}

/** How far the line passes from a place, and the line of all others, in mm and in standard deviations. */
interface Off {
	readonly mm: number
	readonly othersMm: number
	readonly sds: number
}

interface Run {
	readonly cubics: readonly Cubic[]
	readonly off: ReadonlyMap<Traced, Off>
}

function joined(runs: readonly (Run | undefined)[], points: readonly Traced[], toleranceMm: number): Smooth | undefined {
	const cubics: Cubic[] = []
	let offMm = 0
	let worst: { mm: number; sds: number; index: number } | undefined
	for (const run of runs) {
		if (!run) return undefined
		cubics.push(...run.cubics)
		for (const [p, { mm, othersMm, sds }] of run.off) {
			offMm = Math.max(offMm, mm)
			if (othersMm > ODD_MM && sds > Math.max(ODD_SDS, worst?.sds ?? 0)) worst = { mm: othersMm, sds, index: points.indexOf(p) }
		}
	}
	const loop = flatten(cubics, toleranceMm / 2)
	// it comes round to a rounding
	loop.pop()
	return { loop, errorMm: toleranceMm, offMm, odd: worst }
}

/** Quintic smoothing splines of x and y over the length from place to place, one weight for both by Mallows' Cp. */
function runOf(points: readonly Traced[], toleranceMm: number, closed: boolean): Run | undefined {
	const [first, second] = points as [Traced, Traced]
	if (points.length === 2) return { cubics: [lineCubic(first.at, second.at)], off: new Map() }
	const t = [0]
	const round = closed ? [...points, first] : points
	for (let i = 1; i < round.length; i++) {
		t.push((t[i - 1] as number) + distance((round[i - 1] as Traced).at, (round[i] as Traced).at))
	}
	const knots = [...t]
	const period = closed ? t.pop() : undefined
	const sigma = points.map((_, i) => (!closed && (i === 0 || i === points.length - 1) ? CORNER_SD_MM : SD_MM))
	const coordinates = [
		{ y: points.map(({ at }) => at.x), sigma },
		{ y: points.map(({ at }) => at.y), sigma },
	]
	const fit = smoothByCp(t, coordinates, period === undefined ? {} : { period })
	const [x, y] = fit?.coordinates ?? []
	if (!x || !y) return undefined
	const [a, b] = [new Float64Array(4), new Float64Array(4)]
	const jet = (u: number) => {
		x.at(u, a)
		y.at(u, b)
		return { x: a[0] as number, y: b[0] as number, dx: a[1] as number, dy: b[1] as number }
	}
	const cubics: Cubic[] = []
	for (let i = 1; i < knots.length; i++) {
		cubics.push(...fitCubics(jet, knots[i - 1] as number, knots[i] as number, { toleranceMm }).cubics)
	}
	const off = points.flatMap((p, i): [Traced, Off][] => {
		const { dx, dy, ...at } = jet(t[i] as number)
		const speed = Math.hypot(dx, dy)
		const [ex, ey] = [x.deleted[i], y.deleted[i]]
		// only what lies across the line counts: along it a place is free to slide
		const othersMm = ex && ey && points.length > LEAST_JUDGES ? Math.abs(dx * ey.residual - dy * ex.residual) / speed : 0
		const sd = ex && ey ? Math.hypot(dx * ey.sd, dy * ex.sd) / speed : 1
		return closed || (i > 0 && i < points.length - 1) ? [[p, { mm: distance(p.at, at), othersMm, sds: othersMm / sd }]] : []
	})
	return { cubics, off: new Map(off) }
}

const wrong = (code: string, path: string, found: string, expected: string): Problem => ({
	...{ code, severity: 'error', path, found, expected },
	fix: 'Look at the places in their order round the outline.',
})

const odd = (path: string, { mm, index }: NonNullable<Smooth['odd']>): Problem => ({
	...{ code: 'TRACED_ODD', severity: 'warning', path: `${path}/${index}` },
	found: `a place ${mm.toFixed(2)} mm off the smooth line through the others`,
	expected: 'places that one smooth line goes through',
	fix: 'Measure it again; where the outline turns sharply there, say "corner": true.',
})
