/** Edges of paint below a decal that would show through it. */
import type { ChartRegion } from '../chart/point.ts'
import { type Ridge, ridgesUnder } from '../paint/ridges.ts'
import { onceRound } from '../scheme/outline.ts'
import type { PanelPaintwork } from './panelPaintwork.ts'
import type { PanelResult } from './panelResult.ts'

/** A ridge lower than this is lost in the clear below a decal, um: about a tenth of a coat (common practice, no source). */
const FELT_UM = 3
/** A shorter one is rounding, mm. */
const LEAST_MM = 0.3

/** Under a film, the highest first. */
export const feltRidges = ({ seen, ridges }: PanelPaintwork, film: ChartRegion): readonly Ridge[] =>
	ridgesUnder(seen.chart, ridges, onceRound(seen.chart, film))
		.filter(({ heightUm, lengthMm }) => heightUm >= FELT_UM && lengthMm > LEAST_MM)
		.sort((a, b) => b.heightUm - a.heightUm || b.lengthMm - a.lengthMm)

/** Those below any decal of a panel; all of the panel's where it is not known yet where its decals go. */
export function ridgesToFlat({ decals }: PanelResult, work: PanelPaintwork): readonly Ridge[] {
	const films = (decals?.placed ?? []).filter(({ hand, material }) => hand === work.hand && material !== 'paint')
	return films.length > 0 ? films.flatMap(({ film }) => feltRidges(work, film)) : work.ridges
}
