/** The outlines of a painted emblem as smooth closed lines of the panel: masked, offset and taped like any other. */
import type { Chart } from '../chart/chart.ts'
import type { ChartCubic, ChartPoint, Curve } from '../chart/point.ts'
import { cubicAt, cubicDerivative, splitCubic } from '../plane/cubic.ts'
import { pointInLoop } from '../plane/inside.ts'
import type { Cubic, Loop, PlanePoint, Region } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import type { PlacedDecal } from './decal.ts'
import type { Laying } from './lay.ts'

/** One part of an emblem: its outer line and the holes in it. */
export interface EmblemPart {
	readonly outer: Curve
	readonly holes: readonly Curve[]
}

/** What a part of an emblem is called, of how many: as the emblem itself where it is in one. */
export const partName = (decal: string, k: number, of: number): string => (of > 1 ? `${decal}-${k + 1}` : decal)
/** The line round a hole in such a part. */
export const holeName = (part: string, h: number): string => `${part}-hole-${h}`
/** Whether a field or a line is of an emblem: of a part of it, or round a hole in one. */
export const isOfEmblem = (name: string, decal: string): boolean =>
	name.startsWith(decal) && /^(-\d+)?(-hole-\d+)?$/.test(name.slice(decal.length))

/** A polyline that turns by more than this at a place has a corner there: an arc of half a millimetre, chorded to a hundredth, turns by less. */
const CORNER_RAD = 0.45
/** Beside a chord so many times shorter a long one is a straight that an arc goes on from. */
const STRAIGHT = 3
/** No cubic is longer, mm: it bends with the panel. */
const LONGEST_MM = 8
const STEP = 1e-3

export function emblemParts(chart: Chart, { id, laying, inFrame, artwork }: PlacedDecal): readonly EmblemPart[] {
	const loops = inFrame.outline
	const name = (k: number) => `${id}/outline/${k + 1}`
	const lineOf = (loop: Loop) => closedLine(chart, laying, loop, name(loops.indexOf(loop)), artwork.maxErrorMm)
	const holes = loops.filter((loop) => signedArea(loop) < 0)
	return outerLoops(loops).map((outer) => ({
		outer: lineOf(outer),
		holes: holes.filter((hole) => innermost(loops, hole) === outer).map(lineOf),
	}))
}

const outerLoops = (loops: Region) => loops.filter((loop) => signedArea(loop) > 0)

/** The smallest outer loop round a hole. */
function innermost(loops: Region, hole: Loop): Loop | undefined {
	const round = outerLoops(loops).filter((outer) => pointInLoop(hole[0] as PlanePoint, outer))
	return round.sort((a, b) => signedArea(a) - signedArea(b))[0]
}

function closedLine(chart: Chart, laying: Laying, loop: Loop, id: string, errorMm: number): Curve {
	const flat = smoothed(loop).flatMap(halved)
	let worst = 0
	const cubics = flat.map((cubic) => {
		const laid = laidCubic(laying, cubic)
		worst = Math.max(worst, missMm(chart, laying, cubic, laid))
		return laid
	})
	// Neighbours share their ends to the last digit.
	const joined = cubics.map((c, i): ChartCubic => [c[0], c[1], c[2], (cubics[(i + 1) % cubics.length] as ChartCubic)[0]])
	return { id, cubics: joined, closed: true, maxErrorMm: errorMm + worst }
}

/** Through the places of a loop, with one tangent at each but the corners. */
function smoothed(loop: Loop): Cubic[] {
	const n = loop.length
	const at = (i: number) => loop[((i % n) + n) % n] as PlanePoint
	const chord = (i: number) => {
		const [a, b] = [at(i), at(i + 1)]
		const length = Math.hypot(b.x - a.x, b.y - a.y)
		return { x: (b.x - a.x) / length, y: (b.y - a.y) / length, length }
	}
	/** directions in which the line comes to a place and leaves it */
	const ways = (i: number) => {
		const [into, out] = [chord(i - 1), chord(i)]
		const turn = Math.abs(Math.atan2(into.x * out.y - into.y * out.x, into.x * out.x + into.y * out.y))
		if (turn > CORNER_RAD) return { into, out }
		if (into.length > STRAIGHT * out.length) return { into, out: into }
		if (out.length > STRAIGHT * into.length) return { into: out, out }
		// The parabola through three places (de Boor, A Practical Guide to Splines, ch. IV).
		const x = out.length * into.x + into.length * out.x
		const y = out.length * into.y + into.length * out.y
		const mean = { x: x / Math.hypot(x, y), y: y / Math.hypot(x, y) }
		return { into: mean, out: mean }
	}
	return Array.from({ length: n }, (_, i): Cubic => {
		const [a, b] = [at(i), at(i + 1)]
		const third = chord(i).length / 3
		const [from, to] = [ways(i).out, ways(i + 1).into]
		return [a, { x: a.x + third * from.x, y: a.y + third * from.y }, { x: b.x - third * to.x, y: b.y - third * to.y }, b]
	})
}

function halved(cubic: Cubic): Cubic[] {
	const [a, , , b] = cubic
	if (Math.hypot(b.x - a.x, b.y - a.y) <= LONGEST_MM) return [cubic]
	return splitCubic(cubic, 0.5).flatMap(halved)
}

/** The cubic with the laid one's ends and directions there. */
function laidCubic(laying: Laying, cubic: Cubic): ChartCubic {
	const end = (u: number) => {
		const p = cubicAt(cubic, u)
		const d = cubicDerivative(cubic, u)
		const at = (k: number) => laying.place({ x: p.x + k * STEP * d.x, y: p.y + k * STEP * d.y }).at
		const [before, after] = [at(-1), at(1)]
		return { at: laying.place(p).at, ds: (after.s - before.s) / (2 * STEP), dg: (after.g - before.g) / (2 * STEP) }
	}
	const [a, b] = [end(0), end(1)]
	const handle = ({ at, ds, dg }: ReturnType<typeof end>, sign: number): ChartPoint => ({
		s: at.s + (sign * ds) / 3,
		g: at.g + (sign * dg) / 3,
	})
	return [a.at, handle(a, 1), handle(b, -1), b.at]
}

function missMm(chart: Chart, laying: Laying, cubic: Cubic, [a, b, c, d]: ChartCubic): number {
	const on = laying.place(cubicAt(cubic, 0.5)).at
	const s = (a.s + 3 * b.s + 3 * c.s + d.s) / 8
	const g = (a.g + 3 * b.g + 3 * c.g + d.g) / 8
	return Math.hypot((s - on.s) * chart.metric(s, g).j, g - on.g)
}
