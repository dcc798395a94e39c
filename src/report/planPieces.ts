/** Which stretch of which line a guide is for, by the guide's id. */
import type { Chart } from '../chart/chart.ts'
import { evaluate } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { paintEdges } from '../template/pieces.ts'

/** A few places along the stretch, its middle first; undefined where no line of the scheme has that guide. */
export function lineParts(pieceId: string, { id: panelId, panel, pieces }: PanelResult, scheme: Scheme, chart: Chart): readonly ChartPoint[] | undefined {
	const parts = /^(.*)\/guide\/(\d+)$/.exec(pieceId)
	if (!parts) return undefined
	const [, stem, number] = parts
	const edge = paintEdges({ panel, scheme, colours: new Map(), sdOf: () => undefined }).find(({ id }) => stem === `${panelId}/${id}`)
	if (!edge) return undefined
	const count = (pieces ?? []).filter(({ id }) => id.startsWith(`${stem}/guide/`)).length
	const { length, at } = measure(chart, edge.curve)
	const first = (Number(number) - 1) / count
	return [0.5, 0.4, 0.6, 0.3, 0.7].map((part) => evaluate(edge.curve, at((first + part / count) * length)).at)
}
