/** Over which length a line is bent towards a seam: so long that no kink is seen, so short that it passes no mark too far off. */
import type { Chart } from '../chart/chart.ts'
import { cornersOf, frame } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { Curve } from '../chart/point.ts'
import { type Bend, movedBy, turnSeen } from '../line/bend.ts'
import type { FittedEdge } from '../line/edge.ts'

export interface RunInInput {
	readonly chart: Chart
	readonly fitted: FittedEdge
	/** length along the line where it comes to the seam */
	readonly l: number
	/** the panel lies farther along the line (1) or before (-1) */
	readonly inward: 1 | -1
	readonly moveMm: number
	readonly slope: number
	/** where the line comes to other tied seams */
	readonly others: readonly number[]
	/** asked for by the person */
	readonly overMm?: number
	readonly kink: number
	/** the tightest bend of any tape, 1/mm */
	readonly mostBend: number
}

export type RunIn =
	| { readonly overMm: readonly [number, number]; readonly insideMm: number; readonly turn: number }
	| { readonly why: 'short'; readonly roomMm: number }
	| { readonly why: 'corner'; readonly atMm: number }
	| { readonly why: 'mark'; readonly key: string; readonly offMm: number; readonly tolerance: number }
	| { readonly why: 'tape'; readonly radiusMm: number }

/** Lengths that are tried, mm. */
const LENGTHS_MM = [60, 80, 100, 120, 150, 180, 220, 260, 300, 360, 420, 500, 600]
/** Over less no line is bent unless that is asked for, mm; a corner nearer than this lies on the seam. */
const LEAST_MM = 20
const LEAST_ASKED_MM = 1
/** A mark this little beyond the seam is on it, mm. */
const ON_MM = 0.5
const LOOKS = 60

/** The shortest length over which nothing is seen; where there is none the one over which least is. */
export function runIn(input: RunInInput): RunIn {
	const { chart, fitted, l, inward, moveMm, slope } = input
	const { curve } = fitted
	const { length, lengthAt, at } = measure(chart, curve)
	const round = curve.closed ? length : Number.POSITIVE_INFINITY
	const ahead = (of: number, way: 1 | -1) => {
		const x = way * (of - l)
		return curve.closed ? x - length * Math.floor(x / length) : x
	}
	const stops = cornersOf(chart, curve).map(({ u }) => lengthAt(u))
	const nearest = (way: 1 | -1, places: readonly number[]) =>
		Math.min(...[...places.map((of) => ahead(of, way)).filter((x) => x > -ON_MM), round / 2])
	const back: 1 | -1 = inward === 1 ? -1 : 1
	const corner = Math.min(nearest(inward, stops), nearest(back, stops))
	if (corner < (input.overMm ? LEAST_ASKED_MM : LEAST_MM)) return { why: 'corner', atMm: Math.max(0, corner) }
	const end = curve.closed ? round / 2 : inward === 1 ? length - l : l
	const room = Math.min(end, nearest(inward, stops), nearest(inward, input.others))
	if (room < (input.overMm ? LEAST_ASKED_MM : LEAST_MM)) return { why: 'short', roomMm: Math.max(0, room) }
	const roomBack = Math.min(nearest(back, stops), nearest(back, input.others))
	const tried = input.overMm ? [Math.min(input.overMm, room)] : LENGTHS_MM.filter((mm) => mm <= room)
	if (tried.length === 0) tried.push(room)

	const foot = nearestOn(chart, curve)
	const marks = fitted.passes.flatMap((pass) => {
		const u = foot(pass.at)?.u
		const x = u === undefined ? undefined : lengthAt(u) - l
		const along = x === undefined ? undefined : curve.closed ? x - length * Math.round(x / length) : x
		return along === undefined || inward * along < -ON_MM ? [] : [{ ...pass, x: along }]
	})
	const bendOf = (mm: number): Omit<Bend, 'l'> & { readonly insideMm: number } => {
		const behind = Math.min(mm, roomBack)
		return { moveMm, slope, overMm: inward === 1 ? [behind, mm] : [mm, behind], insideMm: mm }
	}
	const looked = tried.map((mm) => {
		const bend = bendOf(mm)
		const passed = marks
			.map(({ key, offMm, tolerance, x }) => {
				const now = Math.abs(offMm - movedBy(bend, x).mm)
				return { key, offMm: now, tolerance, over: now > Math.abs(offMm) ? now - tolerance : -1 }
			})
			.reduce((worst, mark) => (mark.over > worst.over ? mark : worst), { key: '', offMm: 0, tolerance: 0, over: -1 })
		const tight = tightest(chart, curve, at, l, bend, inward)
		return { bend, passed, tight, turn: turnSeen({ moveMm, slope: inward * slope }, mm) }
	})
	const [gentlest] = [...looked].sort((a, b) => a.tight - b.tight)
	if (gentlest && gentlest.tight > input.mostBend) return { why: 'tape', radiusMm: 1 / gentlest.tight }
	const good = looked.filter(({ passed, tight }) => passed.over <= 0 && tight <= input.mostBend)
	const [least] = looked.filter(({ tight }) => tight <= input.mostBend).sort((a, b) => a.passed.over - b.passed.over)
	const chosen = good.find(({ turn }) => turn <= input.kink) ?? [...good].sort((a, b) => a.turn - b.turn)[0]
	if (chosen) return { overMm: chosen.bend.overMm, insideMm: chosen.bend.insideMm, turn: chosen.turn }
	const { key, offMm, tolerance } = (least as (typeof looked)[number]).passed
	return { why: 'mark', key, offMm, tolerance }
}

/** The tightest bend of the line where it is bent more than it was, 1/mm; 0 where it is nowhere. */
function tightest(
	chart: Chart,
	curve: Curve,
	at: (l: number) => number,
	l: number,
	bend: Omit<Bend, 'l'> & { readonly insideMm: number },
	inward: 1 | -1,
): number {
	const looks = Array.from({ length: LOOKS + 1 }, (_, i) => {
		const x = (inward * bend.insideMm * i) / LOOKS
		const k = frame(chart, curve, at(l + x)).curvature
		const now = Math.abs(k + movedBy(bend, x).bend)
		return now > Math.abs(k) + 1e-9 ? now : 0
	})
	return Math.max(...looks)
}
