/** A seam with the lines that go over it, laid flat: its rims level, ticks with their names. */
import type { Item } from '../drawing/drawing.ts'
import { line, polyline } from '../drawing/path.ts'
import type { SeamCheck, SeamPlace } from '../engine/seamCheck.ts'
import type { PlanePoint } from '../plane/point.ts'
import { placeLabels } from './labels.ts'
import { type Block, SMALL_MM, words } from './measuringSheetTable.ts'
import { LEADER, LINE, OUTLINE, STATION } from './planStyle.ts'

export interface SeamPictured {
	readonly check: SeamCheck
	readonly gapMm: number
	/** this panel and the other, as people call them */
	readonly titles: readonly [string, string]
	/** LEFT and RIGHT, where the lines of the seam are on both */
	readonly sided: boolean
}

/** The seam reaches past its outer lines and datums by so much, mm of panel. */
const ENDS_MM = 12
const MOST_SCALE = 1
const HIGH_MM = 74
const TICK_MM = 2
/** Names of panels stand at the left end, clear of the lines. */
const NAMES_MM = 34

export function seamPicture({ check, gapMm, titles, sided }: SeamPictured, widthMm: number): Block {
	const { rows, lies, datums, overMm } = check
	const xs = [...datums.map(({ alongMm }) => alongMm), ...rows.flatMap(({ lines }) => lines.flat().map(({ x }) => x))]
	const [from, to] = [Math.min(...xs) - ENDS_MM, Math.max(...xs) + ENDS_MM]
	const scale = Math.min(MOST_SCALE, (widthMm - NAMES_MM) / (to - from), (HIGH_MM - 16) / (2 * overMm + gapMm))
	// The rim of this panel at y = 0, the other one over the shut line.
	const other = -lies * gapMm
	const middle = (scale * other) / 2
	return {
		heightMm: HIGH_MM,
		withNext: true,
		draw: ({ x, top }) => {
			const left = x + NAMES_MM + (widthMm - NAMES_MM - scale * (to - from)) / 2
			const level = top - HIGH_MM / 2
			const at = (p: SeamPlace): PlanePoint => ({ x: left + scale * (p.x - from), y: level + scale * p.y - middle })
			const rims = (gapMm > 0 ? [0, other] : [0]).map((y) => [at({ x: from, y }), at({ x: to, y })] as const)
			const items: Item[] = rims.map(([a, b]) => ({ kind: 'path', role: 'guide', segments: line(a, b), stroke: OUTLINE }))
			const drawn: (readonly PlanePoint[])[] = rims.map((rim) => [...rim])
			for (const { lines } of rows) {
				for (const points of lines) {
					if (points.length < 2) continue
					drawn.push(points.map(at))
					items.push({ kind: 'path', role: 'guide', segments: polyline(points.map(at)), stroke: LINE })
				}
			}
			const ticks = rows.flatMap(({ tick, lines: [own] }) => (own[0] ? [{ tick, p: at(own[0]) }] : []))
			for (const { p } of ticks) {
				const up = { x: p.x, y: p.y + lies * TICK_MM }
				items.push({ kind: 'path', role: 'guide', segments: line(p, up), stroke: STATION })
			}
			const named = ([0, 1] as const).flatMap((half) =>
				datums.map(({ alongMm, names }) => {
					const p = at({ x: alongMm, y: half === 0 ? 0 : other })
					items.push({
						kind: 'path',
						role: 'guide',
						segments: line({ x: p.x, y: p.y - 1.2 }, { x: p.x, y: p.y + 1.2 }),
						stroke: OUTLINE,
					})
					const way = half === 0 ? lies : -lies
					return { text: names[half], anchors: [p], sizeMm: SMALL_MM, towards: (way * Math.PI) / 2, reachMm: 1.5 }
				}),
			)
			const labels = [
				...named,
				...ticks.map(({ tick, p }) => ({
					text: tick,
					anchors: [p],
					sizeMm: SMALL_MM,
					bold: true,
					towards: (lies * Math.PI) / 2,
					reachMm: 2.4,
				})),
			]
			for (const { item, leader } of placeLabels(labels, { boxes: [], lines: drawn }).labels) {
				if (leader) items.push({ kind: 'path', role: 'label', segments: line(...leader), stroke: LEADER })
				items.push(item)
			}
			const beside = (title: string, way: 1 | -1) => words(x, level + way * (HIGH_MM / 4), title, { sizeMm: 3.4, bold: true })
			items.push(beside(titles[0], lies), beside(titles[1], lies === 1 ? -1 : 1))
			if (sided) items.push(...sideNames(check, (along) => at({ x: along, y: 0 }).x, top))
			items.push(words(x, top - HIGH_MM + 1, 'Seen from outside, laid flat. Not to scale for measuring.', { sizeMm: SMALL_MM }))
			return items
		},
	}
}

/** Over the middle of the lines of each side. */
function sideNames({ rows }: SeamCheck, at: (along: number) => number, top: number): readonly Item[] {
	return (['left', 'right'] as const).flatMap((side) => {
		const along = rows.filter((row) => row.side === side).map(({ alongMm }) => alongMm[0])
		if (along.length === 0) return []
		const middle = at((Math.min(...along) + Math.max(...along)) / 2)
		return [words(middle, top - 4.5, side.toUpperCase(), { sizeMm: 4, bold: true, anchor: 'middle' })]
	})
}
