import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import { type Measure, measure } from '../chart/measure.ts'
import { toPaper } from '../chart/orient.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { Curve } from '../chart/point.ts'
import { curveFromCurvature, type Developed } from '../plane/develop.ts'
import type { PlanePoint } from '../plane/point.ts'

/** A line laid flat: same length, same in-surface curvature. */
export interface DevelopedLine {
	readonly length: number
	readonly measure: Measure
	readonly developed: Developed
	/** on paper at a length along the line, `off` mm square off it towards the plus side; printed face outward */
	at(l: number, off?: number): PlanePoint
	/** heading on paper, radians, and the sense of the plus side there: +1 left of the heading */
	heading(l: number): number
	readonly handed: 1 | -1
	/** in-surface curvature at a length, 1/mm */
	curvature(l: number): number
	/**
	 * By how much the panel's own parallel at `off` differs in length from paper's, from one length to another, mm:
	 * what a body of that width has to stretch (+) or pucker (-).
	 */
	misfit(off: number, from: number, to: number): number
}

/** Steps per which the misfit is summed: a trapezium over 4 mm of a curve that K changes slowly along. */
const STEP_MM = 4

/**
 * The development of a line on a panel onto paper (do Carmo 4-4: length and in-surface curvature are what the two share).
 * Starts at the origin heading along +x (before the panel's hand is applied).
 */
export function developLine(chart: Chart, curve: Curve, toleranceMm: number): DevelopedLine {
	const m = measure(chart, curve)
	const joints = curve.cubics.map((_, i) => m.lengthAt(i)).slice(1)
	const curvature = (l: number) => frame(chart, curve, m.at(l)).curvature
	const developed = curveFromCurvature(curvature, m.length, { toleranceMm, breaks: joints })
	const handed = chart.orientation
	return {
		length: m.length,
		measure: m,
		developed,
		handed,
		curvature,
		at(l, off = 0) {
			const p = developed.at(l)
			return toPaper(chart, { x: p.x - off * Math.sin(p.heading), y: p.y + off * Math.cos(p.heading) })
		},
		heading(l) {
			const { heading } = developed.at(l)
			return handed === 1 ? heading : Math.PI - heading
		},
		misfit(off, from, to) {
			const n = Math.max(2, Math.ceil((to - from) / STEP_MM))
			let sum = 0
			for (let i = 0; i <= n; i++) {
				const l = from + ((to - from) * i) / n
				const f = { ...frame(chart, curve, m.at(l)), speed: 1 }
				const panel = parallelPoint(chart, f, off).spread
				const paper = 1 - off * f.curvature
				sum += (i === 0 || i === n ? 0.5 : 1) * (panel - paper)
			}
			return (sum * (to - from)) / n
		},
	}
}

/** Lengths so close that chords leave the developed line by at most `chordMm`. */
export function samples(line: DevelopedLine, from: number, to: number, chordMm: number): number[] {
	// Sagitta of a chord c at curvature k is k c^2 / 8; never longer than 2 mm, so that a knife sees a curve.
	const out = [from]
	let l = from
	for (let i = 0; i < 200_000 && l < to - 1e-9; i++) {
		const k = Math.max(1e-5, Math.abs(line.curvature(l)))
		l = Math.min(to, l + Math.min(2, Math.sqrt((8 * chordMm) / k)))
		out.push(l)
	}
	return out
}
