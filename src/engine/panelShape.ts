/** A panel's charts: as found, and as it is now. */
import { placeOn } from '../job/place.ts'
import type { Outcome, Place, Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { gaugeFit } from '../panel/sections.ts'
import { chartOf, handsOf } from '../panel/shape.ts'
import type { PanelShape } from './panelResult.ts'

export function shapeOf(panel: Panel, path: string): Outcome<PanelShape> {
	const problems: Problem[] = []
	const charts = (capture: Panel['found'], at: string) =>
		handsOf(panel).flatMap((hand, i) => {
			const outcome = chartOf(panel.id, hand, capture, at)
			if (i === 0) problems.push(...outcome.problems.map((p) => ({ ...p, place: placeOf(panel, p) })))
			return outcome.value ? [{ hand, chart: outcome.value }] : []
		})
	const found = charts(panel.found, `${path}/found`)
	const now = panel.prepared?.shape ? charts(panel.prepared.shape, `${path}/prepared/shape`) : found
	const gauge = gaugeFit(panel.prepared?.shape ?? panel.found, path)
	const value = { found, now, ...(gauge ? { gauge } : {}) }
	return found.length > 0 && now.length > 0 ? { value, problems } : { problems }
}

/** Where on its panel a problem of its shape is: its girth has come with its sign. */
const placeOf = (panel: Panel, { place }: Problem): Place =>
	place?.s === undefined || place.g === undefined ? { panel: panel.id } : placeOn(panel, { s: place.s, g: place.g })
