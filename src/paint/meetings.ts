/** Places where three or more films' edges come together: what shows there first if a film is too thick. */
import { metricRoom } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Loop } from '../plane/point.ts'
import { type Cell, type FilmMap, isSliver, SLIVER_MM } from './films.ts'
import { finderOf, has } from './ridges.ts'

export interface Meeting {
	readonly at: ChartPoint
	/** how many edges come together */
	readonly edges: number
	/** stages whose films end there */
	readonly stages: readonly number[]
	/** between the thickest and the thinnest of the films round it, um */
	readonly stepUm: number
}

/** Looks on a circle round each corner: wider than slivers, narrower than anything that is painted. */
const ROUND_MM = 4 * SLIVER_MM
const LOOKS = 60
/** A sector of fewer looks is a sliver between two outlines of one line. */
const SECTOR_LOOKS = 4
/** A bend of less is no corner, radians: where three edges meet, at least two outlines bend by more. */
const CORNER_RAD = 0.2
/** Corners this near are one place, mm. */
const ONE_PLACE_MM = 0.6

export function meetingsOf(map: FilmMap): readonly Meeting[] {
	const cellAt = finderOf(map)
	const room = metricRoom()
	const out: Meeting[] = []
	for (const at of cornersOf(map)) {
		if (out.some((known) => Math.hypot(known.at.s - at.s, known.at.g - at.g) < ONE_PLACE_MM)) continue
		const { j } = map.chart.metric(at.s, at.g, room)
		const round = Array.from({ length: LOOKS }, (_, k) => {
			const angle = (2 * Math.PI * (k + 0.5)) / LOOKS
			return cellAt({ s: at.s + (ROUND_MM * Math.cos(angle)) / j, g: at.g + ROUND_MM * Math.sin(angle) })
		})
		const sectors = sectorsOf(round)
		const edges = sectors.flatMap((cell, k): (readonly [Cell, Cell])[] => {
			const next = sectors[(k + 1) % sectors.length]
			return cell && next && cell !== next ? [[cell, next]] : []
		})
		if (edges.length < 3) continue
		const totals = sectors.flatMap((cell) => (cell ? [cell.totalUm] : []))
		out.push({
			at,
			edges: edges.length,
			stages: [...new Set(edges.flatMap(([a, b]) => ending(a, b)))].sort((a, b) => a - b),
			stepUm: Math.max(...totals) - Math.min(...totals),
		})
	}
	return out
}

/** The cells round a place in order, without slivers between them. */
function sectorsOf(round: readonly (Cell | undefined)[]): readonly (Cell | undefined)[] {
	const start = round.findIndex((cell, k) => cell !== round[(k + round.length - 1) % round.length])
	if (start < 0) return round.slice(0, 1)
	const runs: { cell: Cell | undefined; looks: number }[] = []
	for (const cell of [...round.slice(start), ...round.slice(0, start)]) {
		const last = runs.at(-1)
		if (last && last.cell === cell) last.looks++
		else runs.push({ cell, looks: 1 })
	}
	const wide = runs.filter(({ looks }) => looks >= SECTOR_LOOKS).map(({ cell }) => cell)
	return wide.filter((cell, k) => wide.length < 2 || cell !== wide[(k + wide.length - 1) % wide.length])
}

/** The films of one of two neighbours that the other is without. */
const ending = (a: Cell, b: Cell): number[] => [
	...a.films.filter(({ stage }) => !has(b, stage)).map(({ stage }) => stage),
	...b.films.filter(({ stage }) => !has(a, stage)).map(({ stage }) => stage),
]

function cornersOf({ cells }: FilmMap): ChartPoint[] {
	return cells.flatMap(({ region }) =>
		region.flatMap((loop, i) =>
			isSliver(toPlane(region)[i] as Loop)
				? []
				: loop.filter((p, i) => {
						const before = loop[(i + loop.length - 1) % loop.length] as ChartPoint
						const after = loop[(i + 1) % loop.length] as ChartPoint
						const [ax, ay, bx, by] = [p.s - before.s, p.g - before.g, after.s - p.s, after.g - p.g]
						return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) > CORNER_RAD
					}),
		),
	)
}
