/** The whole film on a panel: paint and clear together, place by place. */
import type { ClearPlan } from './clear.ts'
import type { Cell, FilmMap } from './films.ts'

export interface FilmBudget {
	readonly cells: readonly {
		readonly cell: Cell
		readonly paintUm: number
		readonly clearUm: number
		readonly totalUm: number
	}[]
	/** thinnest and thickest place that is painted at all, um; undefined where nothing is */
	readonly leastUm?: number
	readonly mostUm?: number
	/** by area, um */
	readonly meanUm: number
}

/** Clear as it is where no decals are; with none, of the paint alone. */
export function filmBudget(map: FilmMap, clear?: ClearPlan): FilmBudget {
	const clearUm = clear?.films.find(({ where }) => where === 'elsewhere')?.filmUm ?? 0
	const cells = map.cells.map((cell) => ({ cell, paintUm: cell.totalUm, clearUm, totalUm: cell.totalUm + clearUm }))
	const painted = cells.filter(({ cell }) => cell.films.length > 0).map(({ totalUm }) => totalUm)
	return {
		cells,
		...(painted.length > 0 ? { leastUm: Math.min(...painted), mostUm: Math.max(...painted) } : {}),
		meanUm: cells.reduce((sum, { cell, totalUm }) => sum + cell.areaMm2 * totalUm, 0) / map.areaMm2,
	}
}
