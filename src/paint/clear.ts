/** The clear of one panel: coats on, flatting and polishing off, and what is left of it. */
import type { Clear, Paint, Panel } from '../job/schema.ts'
import type { SprayedArea } from './quantity.ts'
import { type Figure, type PaintSystem, paintSystem, type SystemInput } from './system.ts'

export interface Removal {
	readonly what: 'flatting' | 'cutting' | 'polishing'
	/** a round takes off so much, um */
	readonly um: number
	readonly rounds: number
}

/** A starter recipe, every figure of which is the user's to change. */
export interface ClearRecipe {
	/** coats before decals, over them, and where no decals are */
	readonly before: Figure
	readonly over: Figure
	readonly elsewhere: Figure
	/** after flatting */
	readonly flow: Figure
	/** dry film of one coat, um */
	readonly filmUm: Figure
	readonly takenOff: Figure<readonly Removal[]>
}

export type ClearWhere = 'below-decals' | 'over-decals' | 'elsewhere'

export interface ClearStep {
	readonly what: 'coats' | 'flow-coats' | Removal['what']
	/** coats, or rounds */
	readonly times: number
	/** put on, or less than 0 where it takes off, um */
	readonly byUm: number
	/** film after it, um; below 0 where more is taken off than is there */
	readonly filmUm: number
}

export interface ClearFilm {
	readonly where: ClearWhere
	readonly steps: readonly ClearStep[]
	readonly coats: number
	readonly sprayedUm: number
	readonly takenUm: number
	/** what is left at the end, um */
	readonly filmUm: number
	/** the thinnest that flatting, cutting or polishing leave on the way, um; of one that is not touched its film */
	readonly leastUm: number
}

export interface ClearPlan {
	readonly panel: string
	/** the job says something of this panel's clear */
	readonly asked: boolean
	readonly system: PaintSystem
	readonly recipe: ClearRecipe
	readonly decals?: 'under' | 'over'
	readonly decided?: Clear['decided']
	/** only elsewhere, on a panel without decals */
	readonly films: readonly ClearFilm[]
	/** below and over decals together, where they lie under clear, um */
	readonly atDecalsUm?: number
}

const PRACTICE = 'starter recipe, common practice, no source'

/** 1 to 2 coats before decals, 2 to 3 over them, 2 to 3 elsewhere, a flow coat after flatting; 5 to 15 um a round come off (common practice). */
const STARTER = { before: 1, over: 2, elsewhere: 2, flow: 1 } as const
const TAKEN_OFF: readonly Removal[] = [
	{ what: 'flatting', um: 10, rounds: 1 },
	{ what: 'cutting', um: 7, rounds: 1 },
	{ what: 'polishing', um: 5, rounds: 1 },
]

/** Where the job has no clear of its own. */
export const USUAL_CLEAR: Paint = { id: 'two-pack-clear', name: 'Two-pack clear', colour: '#ffffff', sprayed: { as: 'clear' } }

export interface ClearInput extends Pick<SystemInput, 'spraying' | 'paintwork'> {
	readonly panel: Panel
	readonly paints: ReadonlyMap<string, Paint>
	/** whether decals go on this panel; where not said, what its clear says of them tells */
	readonly hasDecals?: boolean
}

export function clearPlan({ panel, paints, spraying, paintwork, hasDecals }: ClearInput): ClearPlan {
	const clear = panel.clear
	const paint = (clear?.paint !== undefined ? paints.get(clear.paint) : undefined) ?? USUAL_CLEAR
	const system = paintSystem({ paint, spraying, paintwork })
	const recipe = recipeOf(clear, system)
	const decals = hasDecals ?? (clear?.decals !== undefined || clear?.before !== undefined || clear?.over !== undefined)
	const films = decals
		? filmsWithDecals(recipe, clear?.decals ?? 'under')
		: [finished('elsewhere', recipe.elsewhere.value, recipe)]
	const umOf = (where: ClearWhere) => films.find((film) => film.where === where)?.filmUm
	const [below, over] = [umOf('below-decals'), umOf('over-decals')]
	return {
		...{ panel: panel.id, asked: clear !== undefined, system, recipe, films },
		...(clear?.decals ? { decals: clear.decals } : {}),
		...(clear?.decided ? { decided: clear.decided } : {}),
		...(below !== undefined && over !== undefined ? { atDecalsUm: below + over } : {}),
	}
}

function recipeOf(clear: Clear | undefined, system: PaintSystem): ClearRecipe {
	const figure = <T>(given: T | undefined, usual: T): Figure<T> =>
		given === undefined
			? { value: usual, assumed: true, source: PRACTICE }
			: { value: given, assumed: false, source: 'given with the panel' }
	return {
		before: figure(clear?.before, STARTER.before),
		over: figure(clear?.over, STARTER.over),
		elsewhere: figure(clear?.elsewhere, STARTER.elsewhere),
		flow: figure(clear?.flow, STARTER.flow),
		filmUm: clear?.filmUm !== undefined ? figure(clear.filmUm, clear.filmUm) : system.filmUm,
		takenOff: figure<readonly Removal[]>(clear?.takenOff, TAKEN_OFF),
	}
}

/** Decals under clear lie between two films of it; decals over clear lie on the finished one. */
function filmsWithDecals(recipe: ClearRecipe, decals: 'under' | 'over'): ClearFilm[] {
	const elsewhere = finished('elsewhere', recipe.elsewhere.value, recipe)
	if (decals === 'over') return [{ ...elsewhere, where: 'below-decals' }, elsewhere]
	const below = film('below-decals', [coats('coats', recipe.before.value, recipe)])
	return [below, finished('over-decals', recipe.over.value, recipe), elsewhere]
}

type Change = Omit<ClearStep, 'filmUm'>

const coats = (what: 'coats' | 'flow-coats', times: number, { filmUm }: ClearRecipe): Change => ({
	...{ what, times, byUm: times * filmUm.value },
})

/** Sprayed, flatted, a flow coat, then cut and polished. */
function finished(where: ClearWhere, count: number, recipe: ClearRecipe): ClearFilm {
	const off = recipe.takenOff.value.map(({ what, um, rounds }): Change => ({ what, times: rounds, byUm: -um * rounds }))
	return film(where, [
		coats('coats', count, recipe),
		...off.filter(({ what }) => what === 'flatting'),
		coats('flow-coats', recipe.flow.value, recipe),
		...off.filter(({ what }) => what !== 'flatting'),
	])
}

function film(where: ClearWhere, changes: readonly Change[]): ClearFilm {
	let filmUm = 0
	const steps = changes
		.filter(({ times }) => times > 0)
		.map((change): ClearStep => {
			filmUm += change.byUm
			return { ...change, filmUm }
		})
	const sum = (wanted: (change: Change) => boolean, of: (change: Change) => number) =>
		steps.filter(wanted).reduce((total, change) => total + of(change), 0)
	const on = ({ byUm }: Change) => byUm > 0
	const taken = steps.filter(({ byUm }) => byUm < 0).map((step) => step.filmUm)
	return {
		where,
		steps,
		coats: sum(on, ({ times }) => times),
		sprayedUm: sum(on, ({ byUm }) => byUm),
		takenUm: -sum(
			(change) => !on(change),
			({ byUm }) => byUm,
		),
		filmUm,
		leastUm: Math.min(filmUm, ...taken),
	}
}

/** Whether decals go on the panel, and on which side of its clear. */
export function decalsOf({ films }: Pick<ClearPlan, 'films'>): 'under' | 'over' | undefined {
	if (films.some(({ where }) => where === 'over-decals')) return 'under'
	return films.some(({ where }) => where === 'below-decals') ? 'over' : undefined
}

/** Times at which clear is sprayed: below decals that it covers, over them or where none are, and after flatting. */
export type ClearTime = 'below-decals' | 'over' | 'flow'
export const CLEAR_TIMES = ['below-decals', 'over', 'flow'] as const satisfies readonly ClearTime[]

/** Coats at one time, all over the panel: as many as its fullest place needs in all. */
export function clearCoats(plan: ClearPlan, time: ClearTime): number {
	const { before, over, elsewhere, flow } = plan.recipe
	if (time === 'flow') return flow.value
	if (decalsOf(plan) !== 'under') return time === 'over' ? elsewhere.value : 0
	return time === 'below-decals' ? before.value : Math.max(over.value, elsewhere.value - before.value)
}

/** What clear takes on a panel, time by time; `sessionOf` tells the number of each. */
export function clearSprayed(
	plan: ClearPlan,
	hand: SprayedArea['hand'],
	areaMm2: number,
	sessionOf: (time: ClearTime) => number | undefined,
): readonly SprayedArea[] {
	return CLEAR_TIMES.flatMap((time): SprayedArea[] => {
		const [coats, stage] = [clearCoats(plan, time), sessionOf(time)]
		if (coats === 0 || stage === undefined) return []
		return [{ panel: plan.panel, hand, stage, paint: plan.system.id, areaMm2, coats, filmUm: plan.recipe.filmUm.value }]
	})
}
