import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'

/** Outlines are looked at with chords this far off at most, mm: far below where the looks are taken. */
const CHORD_MM = 0.004
/** Width of a column of edges, mm of station. */
const COLUMN_MM = 2

interface Edge {
	readonly a: PlanePoint
	readonly b: PlanePoint
	readonly part: number
}

/** Which of some regions a place lies in, for thousands of places: the last one that holds it, or -1. */
export function partFinder(chart: Chart, regions: readonly ChartRegion[]): (p: ChartPoint) => number {
	const columns = new Map<number, Edge[]>()
	regions.forEach((region, part) => {
		for (const whole of toPlane(region)) {
			const loop = simplify(whole, CHORD_MM, true)
			let a = loop[loop.length - 1] as PlanePoint
			for (const b of loop) {
				const [from, to] = [Math.floor(Math.min(a.x, b.x) / COLUMN_MM), Math.floor(Math.max(a.x, b.x) / COLUMN_MM)]
				for (let k = from; k <= to; k++) {
					const column = columns.get(k)
					if (column) column.push({ a, b, part })
					else columns.set(k, [{ a, b, part }])
				}
				a = b
			}
		}
	})
	const { periodS, sMin } = chart
	const winding = new Int32Array(regions.length)
	return ({ s, g }) => {
		const x = periodS === undefined ? s : s - periodS * Math.floor((s - sMin) / periodS)
		winding.fill(0)
		for (const { a, b, part } of columns.get(Math.floor(x / COLUMN_MM)) ?? []) {
			if (a.x <= x === b.x <= x) continue
			const y = a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x)
			if (y > g) winding[part] = (winding[part] as number) + (b.x > a.x ? 1 : -1)
		}
		for (let part = regions.length - 1; part >= 0; part--) if (winding[part] !== 0) return part
		return -1
	}
}
