import type { Chart } from '../chart/chart.ts'
import { cornersOf, frame } from '../chart/curve.ts'
import { type Measure, measure } from '../chart/measure.ts'
import { toPaper } from '../chart/orient.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { Curve } from '../chart/point.ts'
import { curveFromCurvature, type Developed, type Heading } from '../plane/develop.ts'
import type { PlanePoint } from '../plane/point.ts'

/** A line laid flat: same length, same in-surface curvature. */
export interface DevelopedLine {
	readonly length: number
	readonly measure: Measure
	/** estimate of the largest error of any place on it, mm */
	readonly errorMm: number
	/** lengths at which it turns sharply */
	readonly corners: readonly number[]
	/** on paper at a length along the line, `off` mm square off it towards the plus side; printed face outward */
	at(l: number, off?: number): PlanePoint
	/** heading on paper, radians, and the sense of the plus side there: +1 left of the heading */
	heading(l: number): number
	readonly handed: 1 | -1
	/** in-surface curvature at a length, 1/mm */
	curvature(l: number): number
	/** what a body has to stretch or pucker at `off`, from one length to another, mm */
	misfit(off: number, from: number, to: number): number
}

/**
 * By how much the panel's own parallel at `off` differs in length from paper's, from one length along the curve to another, mm:
 * what a body of that width has to stretch (+) or pucker (-).
 */
export function misfit(chart: Chart, curve: Curve, m: Measure, off: number, from: number, to: number): number {
	const n = Math.max(2, Math.ceil((to - from) / STEP_MM))
	let sum = 0
	for (let i = 0; i <= n; i++) {
		const l = from + ((to - from) * i) / n
		const f = { ...frame(chart, curve, m.at(l)), speed: 1 }
		const panel = parallelPoint(chart, f, off, 0, PATH_MM).spread
		const paper = 1 - off * f.curvature
		sum += (i === 0 || i === n ? 0.5 : 1) * (panel - paper)
	}
	return (sum * (to - from)) / n
}

/** Paths off the line are so exact, mm, and spread so (a share of it): a body's misfit is judged in tenths of a millimetre. */
const PATH_MM = 1e-6
/** Steps per which the misfit is summed: a trapezium over 4 mm of a curve that K changes slowly along. */
const STEP_MM = 4

/**
 * The development of a line on a panel onto paper (do Carmo 4-4: length and in-surface curvature are what the two share, and at a
 * corner the angle).
 * Starts at the origin heading along +x (before the panel's hand is applied).
 */
export function developLine(chart: Chart, curve: Curve, toleranceMm: number): DevelopedLine {
	const m = measure(chart, curve)
	const curvature = (l: number) => frame(chart, curve, m.at(l)).curvature
	const turns = cornersOf(chart, curve).filter((c) => c.u > 0)
	const corners = turns.map((c) => m.lengthAt(c.u))
	const joints = curve.cubics.map((_, i) => m.lengthAt(i)).slice(1)
	const ends = [...corners, m.length]
	const parts: { from: number; to: number; developed: Developed }[] = []
	let from = 0
	let start = { x: 0, y: 0, heading: 0 }
	ends.forEach((to, i) => {
		const first = from
		const developed = curveFromCurvature((l) => curvature(first + l), to - from, {
			toleranceMm: toleranceMm / ends.length,
			breaks: joints.map((l) => l - first),
			start,
			heading: start.heading,
		})
		parts.push({ from, to, developed })
		const end = developed.at(to - from)
		start = { ...end, heading: end.heading + (turns[i]?.turn ?? 0) }
		from = to
	})
	const place = (l: number): Heading => {
		const part = parts.find((p) => l < p.to) ?? (parts[parts.length - 1] as (typeof parts)[number])
		return part.developed.at(l - part.from)
	}
	const handed = chart.orientation
	return {
		length: m.length,
		measure: m,
		errorMm: parts.reduce((sum, p) => sum + p.developed.errorMm, 0),
		corners,
		handed,
		curvature,
		at(l, off = 0) {
			const p = place(l)
			return toPaper(chart, { x: p.x - off * Math.sin(p.heading), y: p.y + off * Math.cos(p.heading) })
		},
		heading(l) {
			const { heading } = place(l)
			return handed === 1 ? heading : Math.PI - heading
		},
		misfit: (off, from, to) => misfit(chart, curve, m, off, from, to),
	}
}

/** Curvature may rise and fall again between two places farther apart than this. */
const LONGEST_CHORD_MM = 5

/** Lengths so close that chords leave the developed line by at most `chordMm`. */
export function samples(line: DevelopedLine, from: number, to: number, chordMm: number): number[] {
	// Sagitta of a chord c at curvature k is k c^2 / 8, by the sharper bend of its ends.
	const chord = (l: number) => Math.min(LONGEST_CHORD_MM, Math.sqrt((8 * chordMm) / Math.max(1e-5, Math.abs(line.curvature(l)))))
	const out = [from]
	let at = from
	let here = chord(at)
	for (let i = 0; i < 200_000 && at < to - 1e-9; i++) {
		const start = at
		const end = Math.min(to, line.corners.find((c) => c > start + 1e-9) ?? to)
		const ahead = chord(Math.min(end, at + here))
		at = Math.min(end, at + Math.min(here, ahead))
		here = ahead < here ? chord(at) : ahead
		out.push(at)
	}
	return out
}
