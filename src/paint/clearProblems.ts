/** A panel's clear against what makers of clears publish: too thin, too thick, taken off again altogether. */
import type { Problem } from '../job/problem.ts'
import { plural } from '../job/say.ts'
import type { Shop } from '../job/shop.ts'
import type { ClearFilm, ClearPlan, ClearWhere } from './clear.ts'

/** A thousandth of an inch, um. */
const MIL_UM = 25.4

export const mils = (um: number): number => um / MIL_UM

/** A film as both sides of the sea read it. */
export const filmWords = (um: number): string => `${Math.round(um * 10) / 10} um (${mils(um).toFixed(1)} mils)`

const WHERE: Readonly<Record<ClearWhere, string>> = {
	'below-decals': 'below decals',
	'over-decals': 'over decals',
	elsewhere: 'where no decals are',
}

type Limits = Pick<Shop['spraying'], 'clearLeastUm' | 'clearMostUm'>

/** `path` is the panel's; nothing is said of a panel whose clear the job does not mention. */
export function clearProblems(plan: ClearPlan, path: string, limits: Limits): readonly Problem[] {
	if (!plan.asked) return []
	const { clearLeastUm, clearMostUm } = limits
	// Below decals one film lies between paint and decal: only one that is the finished clear has to last.
	return plan.films.flatMap((film): Problem[] => {
		const base = { severity: 'warning', path: `${path}/clear`, place: { panel: plan.panel } } as const
		const lasts = film.where !== 'below-decals'
		if (film.leastUm <= 0 && film.takenUm > 0) return [{ ...base, ...rubbedThrough(film) }]
		if (lasts && film.filmUm < clearLeastUm) return [{ ...base, ...thin(film, plan, limits) }]
		if (film.filmUm > clearMostUm && !(film.where === 'below-decals' && plan.decals === 'over')) {
			return [{ ...base, ...thick(film, plan, limits) }]
		}
		return []
	})
}

type Words = Pick<Problem, 'code' | 'found' | 'expected' | 'fix'>

const rubbedThrough = ({ where, steps }: ClearFilm): Words => {
	const through = steps.find(({ byUm, filmUm }) => byUm < 0 && filmUm <= 0)
	const there = through ? through.filmUm - through.byUm : 0
	return {
		code: 'CLEAR_RUBBED_THROUGH',
		found: `${through?.what ?? 'flatting'} ${WHERE[where]} takes ${filmWords(-(through?.byUm ?? 0))} off ${filmWords(there)} of clear`,
		expected: 'clear left on the paint after each step',
		fix: `Put on another coat before ${through?.what ?? 'flatting'}, or take less off.`,
	}
}

function thin(film: ClearFilm, { recipe }: ClearPlan, { clearLeastUm }: Limits): Words {
	const more = Math.ceil((clearLeastUm - film.filmUm) / recipe.filmUm.value - 1e-9)
	return {
		code: 'CLEAR_THIN',
		found: `${filmWords(film.filmUm)} of clear left ${WHERE[film.where]}, ${filmWords(film.takenUm)} taken off`,
		expected: `at least ${filmWords(clearLeastUm)}: thinner clear fails early`,
		fix: `Spray ${plural(more, 'more coat')} there, or take less off.`,
	}
}

function thick(film: ClearFilm, { recipe }: ClearPlan, { clearLeastUm, clearMostUm }: Limits): Words {
	const less = Math.ceil((film.filmUm - clearMostUm) / recipe.filmUm.value - 1e-9)
	const enough = film.where === 'below-decals' || film.filmUm - less * recipe.filmUm.value >= clearLeastUm
	const coatUm = Math.round(((clearLeastUm + clearMostUm) / 2 + film.takenUm) / film.coats)
	return {
		code: 'CLEAR_THICK',
		found: `${filmWords(film.filmUm)} of clear left ${WHERE[film.where]}`,
		expected: `at most ${filmWords(clearMostUm)}: thicker clear risks solvent pop and dieback`,
		fix: enough
			? `Leave out ${plural(less, 'coat')} there, or flat more off.`
			: `Spray thinner coats there, ${coatUm} um each, or flat more off.`,
	}
}
