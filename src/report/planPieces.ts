/** Which stretch of which line each guide is for, by the guide's id. */
import type { Chart } from '../chart/chart.ts'
import { evaluate } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { paintEdges } from '../template/pieces.ts'

/** Where along its stretch a guide's number may stand: its middle first. */
const PARTS = [0.5, 0.4, 0.6, 0.3, 0.7]

/** By piece number, a few places along the stretch of line that the guide is for. */
export function guidePlaces(
	{ id, panel, pieces = [] }: PanelResult,
	scheme: Scheme,
	chart: Chart,
): ReadonlyMap<number, readonly ChartPoint[]> {
	const places = new Map<number, readonly ChartPoint[]>()
	for (const edge of paintEdges({ panel, scheme, colours: new Map(), sdOf: () => undefined })) {
		const guides = pieces.filter((piece) => piece.id.startsWith(`${id}/${edge.id}/guide/`))
		if (guides.length === 0) continue
		const { length, at } = measure(chart, edge.curve)
		const step = length / guides.length
		for (const [i, guide] of guides.entries()) {
			places.set(
				guide.number,
				PARTS.map((part) => evaluate(edge.curve, at((i + part) * step)).at),
			)
		}
	}
	return places
}
