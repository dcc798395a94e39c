/** Panels as they are to be seen: what all stages of paint stand on. */
import type { ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Problem } from '../job/problem.ts'
import type { Paint } from '../job/schema.ts'
import { subtract } from '../plane/region.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { bordersOf } from '../stages/borders.ts'
import type { Seen } from '../stages/parts.ts'
import { fewer, visibleParts } from '../stages/visible.ts'
import { seenOnOtherHand } from './otherHand.ts'
import { chartedSchemes, type PanelResult } from './panelResult.ts'

/**
 * What of a panel can be painted: as far as its rim, its seams, and patches that are not painted. By the very outlines that its
 * parts have, so that nothing is left between the two.
 */
function paintable({ lines, seamEnds = [] }: PanelResult, hand: Seen['hand']): ChartRegion | undefined {
	if (!lines?.area) return undefined
	const off = [
		...lines.patches.filter(({ only, painted }) => !painted && (only === undefined || only === hand)).map(({ inside }) => inside),
		...seamEnds.filter((end) => end.hand === hand).map(({ cut }) => cut.beyond),
	]
	const all = toPlane(lines.area.region)
	return toChart(fewer(off.length > 0 ? subtract(all, off.flat()) : all))
}

/** A panel as it is to be seen, once for each of its hands. */
export function seenOf(panel: PanelResult, path: string, paints: ReadonlyMap<string, Paint>) {
	const problems: Problem[] = []
	let first: { readonly scheme: Scheme; readonly seen: Seen } | undefined
	const seen = chartedSchemes(panel).flatMap(({ hand, chart, scheme }, i): Seen[] => {
		const area = paintable(panel, hand)
		if (!area) return []
		const same = first && seenOnOtherHand(first, { scheme, hand, chart, area })
		if (same) return [same]
		const visible = visibleParts({ chart, panel: panel.panel, path, scheme, paints, area })
		// Both of a pair are alike.
		if (i === 0) problems.push(...visible.problems)
		const borders = bordersOf(chart, panel.panel, scheme, visible.parts)
		const own: Seen = { panel: panel.id, hand, chart, area, parts: visible.parts, borders }
		first ??= { scheme, seen: own }
		return [own]
	})
	return { seen, problems }
}
