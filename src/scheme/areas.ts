/** How much of each paint a scheme asks for: worked out where somebody reads it, not each time a line moves. */
import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import { measure } from '../chart/measure.ts'
import type { Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { subtract } from '../plane/region.ts'
import type { BandShape } from './band.ts'
import type { Band, PlacedField } from './parts.ts'

/** Of a band's longer edge, mm on the panel. */
export function bandLength(chart: Chart, { near, far }: Pick<BandShape, 'near' | 'far'>): number {
	const lengthOf = (curves: readonly Curve[]) => curves.reduce((sum, curve) => sum + measure(chart, curve).length, 0)
	return Math.max(lengthOf(near), lengthOf(far))
}

/** The mean width of a band, mm on the panel. */
export const bandWidth = (chart: Chart, band: Band): number => area(chart, band.region) / bandLength(chart, band)

/** What the bands over a field leave open of it, mm^2 on the panel. */
export function openArea(chart: Chart, { region, side }: PlacedField, bands: readonly Band[]): number {
	const over = bands.filter((b) => b.side === side || b.side === 'both' || side === 'both').flatMap((b) => toPlane(b.region))
	return over.length > 0 ? area(chart, toChart(subtract(toPlane(region), over))) : area(chart, region)
}
