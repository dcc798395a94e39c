/** Where two lengths of tape lie on one place. */
import type { ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import { areaOf, intersect } from '../plane/region.ts'
import { boxOf } from '../scheme/clearance.ts'
import type { Seen } from '../stages/parts.ts'
import { onPanel } from './lay.ts'
import type { Lap } from './run.ts'

/** Tapes that share less only touch, mm^2. */
const TOUCH_MM2 = 0.5

interface Lying {
	readonly id: string
	readonly outline: ChartRegion
	/** the stages that it is laid before and lifted after */
	readonly laid: number
	readonly until: number
}

/** Every pair that shares a place and lies there at one time, in the order they are laid: the later lies over. */
export function lapsOf({ chart }: Seen, laid: readonly Lying[]): readonly Lap[] {
	const boxes = laid.map(({ outline }) => boxOf(outline))
	return laid.flatMap((under, i) =>
		laid.slice(i + 1).flatMap((over, k): Lap[] => {
			if (under.laid > over.until || over.laid > under.until) return []
			const [a, b] = [boxes[i], boxes[i + 1 + k]]
			if (!a || !b || a.s0 > b.s1 || b.s0 > a.s1 || a.g0 > b.g1 || b.g0 > a.g1) return []
			const both = intersect(toPlane(under.outline), toPlane(over.outline))
			const first = both[0]
			if (!first || areaOf(both) < TOUCH_MM2) return []
			const n = first.length
			const at = { s: first.reduce((sum, p) => sum + p.x, 0) / n, g: first.reduce((sum, p) => sum + p.y, 0) / n }
			return [{ under: under.id, over: over.id, at, areaMm2: onPanel(chart, both) }]
		}),
	)
}
