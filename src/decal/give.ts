/** How much the film of a decal must stretch or pucker to lie down, and whether it takes that. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { rowLength } from '../chart/rowLength.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { type LaidPoint, type Laying, layLoop } from './lay.ts'

export interface Give {
	/** largest share by which film must stretch, and by which it has too much; 0 where nothing does */
	readonly stretch: number
	readonly pucker: number
	/** over the whole rim: mm of film that are lacking, and mm that are too many */
	readonly stretchMm: number
	readonly puckerMm: number
	/** length of the film's rim, mm */
	readonly rimMm: number
	/** where it gives most, in the decal's frame */
	readonly most: PlanePoint
	/** the rim, loop by loop, place by place */
	readonly rim: readonly (readonly LaidPoint[])[]
}

/** What happens to the rim of a film; inside it gives less everywhere. */
export function giveOf(chart: Chart, laying: Laying, film: Region): Give {
	const loops = film.map((loop) => layLoop(chart, laying, closelySet(loop)))
	let [stretch, pucker, stretchMm, puckerMm, rimMm] = [0, 0, 0, 0, 0]
	let most = loops[0]?.[0] as LaidPoint
	for (const loop of loops) {
		loop.forEach((a, i) => {
			const b = loop[(i + 1) % loop.length] as LaidPoint
			const was = Math.hypot(b.p.x - a.p.x, b.p.y - a.p.y)
			const by = rowLength(chart, [a.at, b.at] as readonly ChartPoint[]) - was
			rimMm += was
			if (by > 0) stretchMm += by
			else puckerMm -= by
			stretch = Math.max(stretch, a.give)
			pucker = Math.max(pucker, -a.give)
			if (Math.abs(a.give) > Math.abs(most.give)) most = a
		})
	}
	return { stretch, pucker, stretchMm, puckerMm, rimMm, most: most.p, rim: loops }
}

/** Places of a rim no farther apart than this, mm. */
const APART_MM = 2

function closelySet(loop: readonly PlanePoint[]): PlanePoint[] {
	return loop.flatMap((a, i) => {
		const b = loop[(i + 1) % loop.length] as PlanePoint
		const n = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / APART_MM))
		return Array.from({ length: n }, (_, k) => ({ x: a.x + ((b.x - a.x) * k) / n, y: a.y + ((b.y - a.y) * k) / n }))
	})
}

/** What a film takes, as shares of length. */
export interface FilmLimits {
	readonly stretch: number
	readonly pucker: number
}

export const takes = ({ stretch, pucker }: Give, limits: FilmLimits): boolean =>
	stretch <= limits.stretch + 1e-9 && pucker <= limits.pucker + 1e-9

/** Less than this over a whole rim is nothing that film does not take, mm. */
const FLAT_MM = 0.05

export const liesFlat = ({ stretchMm, puckerMm }: Give): boolean => Math.max(stretchMm, puckerMm) < FLAT_MM
