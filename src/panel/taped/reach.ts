import { LEAST_J, MOST_J } from '../../chart/limits.ts'
import type { Estimate } from './estimate.ts'
import type { Laid } from './reading.ts'

/**
 * So far the shape is taken to hold beyond the outermost girth at which lengths were laid, mm: room for a line that sways about that
 * girth. Curvature is known three times worse there than at three quarters of it, so more would make all guides short.
 */
export const MARGIN_MM = 5
/** J is looked at in such steps, mm. */
const LOOK_MM = 2

/** How far the panel is known: stations from the first to the last line that a length ends on, girths to the outermost laid there. */
export interface Reach {
	readonly sMin: number
	readonly sMax: number
	gMin(s: number): number
	gMax(s: number): number
	/** J leaves the range in which readings fix a place before the readings end */
	readonly cut: boolean
}

export function reachOf({ readings, field, series }: Estimate): Reach {
	const laid = readings.filter((r): r is Laid => r.kind === 'laid')
	const stations = [...new Set(laid.flatMap((r) => [r.from, r.to]))].sort((a, b) => a - b)
	let cut = false
	const outermost = (s: number, side: 1 | -1): number => {
		const here = laid.filter((r) => r.from <= s && r.to >= s && (series.even || Math.sign(r.girth) === side))
		const goal = Math.max(0, ...here.map((r) => Math.abs(r.girth))) + MARGIN_MM
		for (let g = LOOK_MM; g <= goal; g += LOOK_MM) {
			const { j } = field.jet(s, side * g)
			if (j >= LEAST_J && j <= MOST_J) continue
			cut = true
			return g - LOOK_MM
		}
		return goal
	}
	const right = stations.map((s) => outermost(s, 1))
	const left = series.even ? right : stations.map((s) => outermost(s, -1))
	return {
		sMin: stations[0] as number,
		sMax: stations.at(-1) as number,
		gMin: (s) => -between(stations, left, s),
		gMax: (s) => between(stations, right, s),
		cut,
	}
}

/** Straight between the places of a list, level beyond its ends. */
function between(at: readonly number[], values: readonly number[], s: number): number {
	const i = at.findIndex((x) => x >= s)
	if (i <= 0) return values.at(i) as number
	const [a, b] = [at[i - 1] as number, at[i] as number]
	const [p, q] = [values[i - 1] as number, values[i] as number]
	return p + ((q - p) * (s - a)) / (b - a)
}
