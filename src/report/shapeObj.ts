/** A panel in the round, for other programs: its surface as faces, its lines as polylines, in the OBJ format. */

import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, Curve, SpacePoint } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import { type HandedChart, type PanelResult, patchesOn } from '../engine/panelResult.ts'
import { patchRegion } from '../scheme/patch.ts'
import { shapeGrid } from './shapeGrid.ts'

export interface ShapeWords {
	readonly title: string
	readonly revision: string
	readonly version: string
}

/** Faces this large show every shoulder of a panel, mm. */
const STEP_MM = 8
/** Chords of lines, mm; and how long they may be, so that they keep to the panel where it is bent along them. */
const CHORD_MM = 0.05
const LINE_STEP_MM = 4
const num = (x: number) => String(Math.round(x * 1e4) / 1e4 + 0)

/**
 * The text of an OBJ file: x to the rear, y to the right, z up, mm; faces anticlockwise seen from the painted side; one object for
 * the surface and one for each line, rims of patches among them. Undefined where the panel's place in space is not known (a panel known by tape alone).
 */
export function shapeObj(panel: PanelResult, { hand, chart }: HandedChart, words: ShapeWords): string | undefined {
	const grid = shapeGrid(panel, chart, STEP_MM)
	if (!grid) return undefined
	const lines = [
		`# ${words.title}, ${panel.title}${hand === 'centre' ? '' : `, ${hand}`}`.replace(/\s+/g, ' '),
		`# Stripewright ${words.version}, revision ${words.revision}. Lengths in mm: x to the rear, y to the right, z up.`,
		`o ${panel.id}`,
	]
	let count = 0
	const add = ({ x, y, z }: SpacePoint): number => {
		lines.push(`v ${num(x)} ${num(y)} ${num(z)}`)
		count += 1
		return count
	}
	const rows = grid.rows.map((row) => row.map(({ at }) => add(at)))
	for (let i = 1; i < rows.length; i++) {
		for (let k = 1; k < (rows[i] as number[]).length; k++) {
			if (!grid.holds(i - 1, k - 1)) continue
			const corners = [rows[i - 1]?.[k - 1], rows[i]?.[k - 1], rows[i]?.[k], rows[i - 1]?.[k]]
			lines.push(`f ${(chart.orientation === 1 ? corners : corners.reverse()).join(' ')}`)
		}
	}
	const drawn = linesOf(panel, hand).map(({ name, curve }) => ({ name, places: polyline(chart, curve, CHORD_MM) }))
	for (const { name, places } of [...drawn, ...rimsOf(panel, hand, chart)]) {
		lines.push(`o ${name.replace(/\s+/g, '-')}`)
		lines.push(
			`l ${closely(places)
				.map((p) => add(grid.embed(p)))
				.join(' ')}`,
		)
	}
	return `${lines.join('\n')}\n`
}

/** The edges of the bands, and the lines of the panel that carry none. */
function linesOf(panel: PanelResult, hand: HandedChart['hand']): { readonly name: string; readonly curve: Curve }[] {
	const scheme = panel.schemes?.find((s) => s.hand === hand)?.scheme
	const bands = (scheme?.bands ?? []).flatMap((band) =>
		(['near', 'far'] as const).flatMap((which) =>
			band[which].map((curve, i) => ({ name: `${band.id}/${which}/${i + 1}`, curve })),
		),
	)
	const striped = new Set(panel.panel.stripes.map(({ edge }) => edge))
	const bare = (panel.lines?.edges ?? [])
		.filter(({ id }) => !striped.has(id))
		.flatMap(({ id, sided }) => sided.map(({ side, curve }) => ({ name: `${id}/${side}`, curve })))
	return [...bands, ...bare]
}

/** The rims of patches, each back to where it begins. */
const rimsOf = ({ lines }: PanelResult, hand: HandedChart['hand'], chart: Chart) =>
	(lines ? patchesOn(lines, hand) : []).flatMap((patch) =>
		patchRegion(chart, patch).map((loop, i) => ({ name: `patch/${patch.id}/${i + 1}`, places: [...loop, ...loop.slice(0, 1)] })),
	)

/** With places between, where the next one is far off. */
const closely = (places: readonly ChartPoint[]): readonly ChartPoint[] =>
	places.flatMap((q, i) => {
		const p = places[i - 1]
		if (!p) return [q]
		const n = Math.max(1, Math.ceil(Math.hypot(q.s - p.s, q.g - p.g) / LINE_STEP_MM))
		return Array.from({ length: n }, (_, k) => {
			const share = (k + 1) / n
			return { s: p.s + (q.s - p.s) * share, g: p.g + (q.g - p.g) * share }
		})
	})
