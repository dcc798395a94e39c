import type { Chart } from '../../chart/chart.ts'
import { distance } from '../../chart/distance.ts'
import { shoot } from '../../chart/geodesic.ts'
import { gaussRule } from '../../numeric/quadrature.ts'
import type { Lever, Observation } from './collocation.ts'
import type { Laid, Taped } from './reading.ts'
import { acrossAt, addProduct, alongAt, alongIntegral, dot, type Series, sizeOf } from './series.ts'

/** A laid length is the integral of J over station: linear in the terms. */
export function observeLaid(series: Series, laid: Laid, sd: number): Observation {
	const { from, to, girth, both } = laid
	const mm = Math.abs(girth)
	return {
		row: addProduct(new Float64Array(sizeOf(series)), alongIntegral(series, from, to), acrossAt(series, girth), -1),
		value: laid.length - (to - from),
		sd,
		levers: [
			{ line: lineAt(from, both ? 0 : girth), mm: -mm },
			{ line: lineAt(to, both ? 0 : girth), mm },
		],
	}
}

/** Exact for J as smooth as the series along a path as long as the panel. */
const ALONG_PATH = gaussRule(10)

/**
 * A tape by the path it takes on the panel as now estimated: a small change dJ changes its length by the integral of
 * dJ cos^2(angle) / J along it (first variation, do Carmo 5-4; the ends stay). Undefined where no path was found.
 */
export function observeTape(series: Series, tape: Taped, sd: number, chart: Chart, c: Float64Array): Observation | undefined {
	const path = distance(chart, tape.from, tape.to)
	if (!path) return undefined
	const row = new Float64Array(sizeOf(series))
	for (let i = 0; i < ALONG_PATH.nodes.length; i++) {
		const { at, angle } = shoot(chart, tape.from, path.startAngle, (path.length * (ALONG_PATH.nodes[i]! + 1)) / 2)
		const share = (ALONG_PATH.weights[i]! * path.length * Math.cos(angle) ** 2) / (2 * chart.metric(at.s, at.g).j)
		addProduct(row, alongAt(series, at.s), acrossAt(series, at.g), -share)
	}
	const lever = (end: Taped['from'], cosine: number): readonly Lever[] =>
		end.g === 0 ? [] : [{ line: lineAt(end.s, end.g), mm: cosine * Math.abs(end.g) }]
	return {
		row,
		value: tape.length - path.length + dot(row, c),
		sd,
		levers: [...lever(tape.from, -Math.cos(path.startAngle)), ...lever(tape.to, Math.cos(path.endAngle))],
	}
}

/** A struck line by its station and side, "0" for both sides together: tilts of one are shared by all lengths that end on it. */
export const lineAt = (station: number, girth: number): string => `${Math.sign(girth)} ${Math.round(station * 100) / 100}`

export const lineParts = (line: string): { readonly side: number; readonly station: number } => {
	const [side, station] = line.split(' ').map(Number) as [number, number]
	return { side, station }
}
