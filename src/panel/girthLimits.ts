import { LEAST_J, MOST_J } from '../chart/limits.ts'
import { captured, type GirthGrid } from './girthLines.ts'
import { overlapped } from './overlap.ts'
import type { Surface } from './surface.ts'

/** Why girth lines end. */
export type LimitCause = 'captured' | 'scale' | 'overlap'

export interface GirthLimits {
	/** for each station, mm; 0 where the line off it meets no captured surface */
	readonly min: Float64Array
	readonly max: Float64Array
	readonly causes: ReadonlySet<LimitCause>
	/** stations (first and last index) off which lines meet captured surface */
	readonly first: number
	readonly last: number
	/** that lines off the outermost stations still do: there may be more beyond */
	readonly open: boolean
}

/** A reading at the very rim may fall beside it by so much, mm: the surface runs on smoothly past its end. */
const RIM_MM = 2
/** Parts of a step of the grid that are looked at: a line may clip a corner of the captured surface. */
const PARTS = 6
/** Halvings of a part: a hundredth of a millimetre. */
const HALVINGS = 8

/**
 * How far girth lines hold: to the end of the captured surface (the last one, for lines that come in over a corner), to where
 * J leaves 0.25 to 4, or to where a place lies nearer to another part of the baseline.
 */
export function girthLimits(surface: Surface, grid: GirthGrid): GirthLimits {
	const { stations, girths, zero, stepG } = grid
	const nearer = overlapped(surface, grid)
	const causes = new Set<LimitCause>()
	const limit = (i: number, side: 1 | -1): number => {
		const at = (k: number) => i * girths + zero + side * k
		const steps = side > 0 ? girths - 1 - zero : zero
		// Parts of a step, so that a line that only clips a corner is seen.
		const on = (part: number) => {
			const k = Math.floor(part)
			const uv = (c: 0 | 1) => between(grid.uv, 2, c, at(k), at(Math.min(steps, k + 1)), part - k)
			return isOn(uv(0), uv(1))
		}
		let reach = on(0) ? 0 : -1
		for (let k = 1; k <= steps; k++) {
			if (!grid.followed[at(k)]) break
			const scale = inScale(grid.j[at(k)] as number)
			if (!scale || nearer[at(k)]) {
				if (reach < 0) return 0
				causes.add(scale ? 'overlap' : 'scale')
				return stepG * (scale ? k - 1 : k - 1 + share((t) => inScale(between(grid.j, 1, 0, at(k - 1), at(k), t))))
			}
			const here = isOn(grid.uv[2 * at(k)] as number, grid.uv[2 * at(k) + 1] as number)
			if (here) reach = k
			else for (let part = 1; part < PARTS; part++) if (on(k - 1 + part / PARTS)) reach = k - 1 + part / PARTS
			// A line that has been on the captured surface and left it does not come back.
			if (reach >= 0 && !here) break
		}
		if (reach < 0) return 0
		if (reach === steps) return stepG * reach
		causes.add('captured')
		return stepG * (reach + share((t) => on(reach + t / PARTS)) / PARTS) + RIM_MM
	}
	const isOn = (u: number, v: number) => captured(surface, u, v)
	const min = Float64Array.from({ length: stations }, (_, i) => -limit(i, -1))
	const max = Float64Array.from({ length: stations }, (_, i) => limit(i, 1))
	const holds = (i: number) => max[i] !== 0 || min[i] !== 0
	let first = 0
	let last = stations - 1
	while (first < last && !holds(first)) first++
	while (last > first && !holds(last)) last--
	const open = first === 0 || last === stations - 1
	// The corner itself lies between the last line that meets the surface and the next one, which goes as far.
	for (const [edge, next] of [
		[first, first - 1],
		[last, last + 1],
	] as const) {
		if (next < 0 || next >= stations || next === edge) continue
		const inner = 2 * edge - next
		min[next] = Math.min(min[edge] as number, 2 * (min[edge] as number) - (min[inner] as number))
		max[next] = Math.max(max[edge] as number, 2 * (max[edge] as number) - (max[inner] as number))
	}
	return { min, max, causes, first: Math.max(0, first - 1), last: Math.min(stations - 1, last + 1), open }
}

const inScale = (j: number) => j >= LEAST_J && j <= MOST_J

const between = (list: Float64Array, width: number, c: number, a: number, b: number, t: number) =>
	(list[width * a + c] as number) * (1 - t) + (list[width * b + c] as number) * t

/** Largest share of a step up to which a condition holds that holds at 0 and not at 1. */
function share(holds: (t: number) => boolean): number {
	let good = 0
	let bad = 1
	for (let i = 0; i < HALVINGS; i++) {
		const t = (good + bad) / 2
		if (holds(t)) good = t
		else bad = t
	}
	return good
}
