/** What is printed on a decal, colour by colour, where it comes to lie on the panel. */
import type { Chart } from '../chart/chart.ts'
import type { ChartRegion } from '../chart/point.ts'
import type { PlacedDecal } from './decal.ts'
import { layRegion } from './lay.ts'

export interface LaidInk {
	readonly region: ChartRegion
	readonly colour: string
}

const known = new WeakMap<PlacedDecal, readonly LaidInk[]>()

/** In painting order. */
export function laidInks(chart: Chart, placed: PlacedDecal): readonly LaidInk[] {
	const made = known.get(placed) ?? inksAnew(chart, placed)
	known.set(placed, made)
	return made
}

function inksAnew(chart: Chart, { artwork, turned, laying }: PlacedDecal): readonly LaidInk[] {
	return artwork.inks.flatMap(({ region, colour }) => {
		const own = region.map((loop) => loop.map(({ x, y }) => ({ x: turned.sign * x, y })))
		const laid = layRegion(chart, laying, own)
		return laid ? [{ region: laid, colour }] : []
	})
}
