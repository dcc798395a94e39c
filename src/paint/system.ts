/** How a paint is sprayed, every figure filled in: as its sheet or a card says, else as is usual, and marked so. */
import type { Paint, Paintwork } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { hides } from '../stages/coats.ts'

type Sprayed = NonNullable<Paint['sprayed']>
export type PaintKind = Sprayed['as']

export interface Figure<T = number> {
	readonly value: T
	/** not given for this paint: usual, and the user's to change */
	readonly assumed: boolean
	/** where it comes from, as people say it */
	readonly source: string
}

export interface PaintSystem {
	readonly id: string
	readonly name: string
	readonly as: PaintKind
	readonly over?: string
	readonly hides: boolean
	readonly coats: Figure
	/** dry film of one coat, um */
	readonly filmUm: Figure
	/** of all coats, um */
	readonly totalUm: number
	/** as it is sprayed, per cent */
	readonly volumeSolids: Figure
	/** what of it stays on the panel, as a part of 1 */
	readonly transfer: Figure
	/** mixed over what is needed, as a part of it */
	readonly allowance: Figure
	readonly potLifeHours: Figure
	readonly recoatHours: Figure<{ readonly from: number; readonly to?: number }>
	readonly tapeHours: Figure
	readonly lift: Figure<NonNullable<Sprayed['lift']>>
	readonly mix?: string
	/** names of the figures that are usual ones */
	readonly assumed: readonly string[]
}

const MEMORY = 'usual figure, from memory'
const PRACTICE = 'usual figure, common practice, no source'

/**
 * Coats and their films come to usual totals (from memory): base colour 12 to 25 um, pearl 10 to 25, candy 20 to 50 over 4 to 8
 * coats, two-pack clear 50 to 64. A mid-coat may be a pearl or a candy: 24 um is within both. Volume solids of solvent-borne
 * base colours are low, of two-pack clears about half.
 */
const USUAL: Readonly<Record<PaintKind, { readonly coats: number; readonly filmUm: number; readonly volumeSolids: number }>> = {
	'ground-coat': { coats: 2, filmUm: 8, volumeSolids: 20 },
	colour: { coats: 3, filmUm: 6, volumeSolids: 20 },
	'mid-coat': { coats: 4, filmUm: 6, volumeSolids: 15 },
	clear: { coats: 2, filmUm: 28, volumeSolids: 45 },
}
/** Hours; two-pack clears gel in a working morning, base colours keep for a day (common practice, no source). */
const POT_LIFE: Readonly<Record<PaintKind, number>> = { 'ground-coat': 24, colour: 24, 'mid-coat': 24, clear: 3 }
const RECOAT = { from: 0.3, to: 24 } as const
/** A base colour takes tape the next morning (common practice, no source). */
const TAPE_HOURS = 12

export interface SystemInput {
	readonly paint: Paint
	readonly spraying: Pick<Shop['spraying'], 'transfer' | 'allowance'>
	/** spray-out cards: the last that matched says how many coats, where the paint does not */
	readonly paintwork?: Paintwork | undefined
}

export function paintSystem({ paint, spraying, paintwork }: SystemInput): PaintSystem {
	const { sprayed } = paint
	const as = sprayed?.as ?? 'colour'
	const usual = USUAL[as]
	const from = sprayed?.source ?? 'given with the paint'
	const figure = <T>(given: T | undefined, other: Figure<T>): Figure<T> =>
		given === undefined ? other : { value: given, assumed: false, source: from }
	const assumed = <T>(value: T, source: string): Figure<T> => ({ value, assumed: true, source })
	const card = paintwork?.sprayOut?.filter((each) => each.paint === paint.id && each.matched).at(-1)
	const matched = card && { value: card.coats, assumed: false, source: 'spray-out card that matched' }
	const figures = {
		coats: figure(sprayed?.coats, matched ?? assumed(usual.coats, MEMORY)),
		filmUm: figure(sprayed?.filmUm, assumed(usual.filmUm, MEMORY)),
		volumeSolids: figure(sprayed?.volumeSolids, assumed(usual.volumeSolids, MEMORY)),
		transfer: figure(sprayed?.transfer, assumed(spraying.transfer, 'shop file')),
		allowance: figure(sprayed?.allowance, assumed(spraying.allowance, 'shop file')),
		potLifeHours: figure(sprayed?.potLifeHours, assumed(POT_LIFE[as], PRACTICE)),
		recoatHours: figure<{ readonly from: number; readonly to?: number }>(recoatOf(sprayed), assumed(RECOAT, PRACTICE)),
		tapeHours: figure(sprayed?.tapeHours, assumed(TAPE_HOURS, PRACTICE)),
		lift: figure(sprayed?.lift, assumed<NonNullable<Sprayed['lift']>>('tacky', PRACTICE)),
	}
	return {
		...{ id: paint.id, name: paint.name, as, hides: hides(paint) },
		...(sprayed?.over !== undefined ? { over: sprayed.over } : {}),
		...figures,
		totalUm: figures.coats.value * figures.filmUm.value,
		...(sprayed?.mix !== undefined ? { mix: sprayed.mix } : {}),
		assumed: Object.entries(figures).flatMap(([name, each]) => (each.assumed ? [name] : [])),
	}
}

function recoatOf(sprayed: Sprayed | undefined): { readonly from: number; readonly to?: number } | undefined {
	const given = sprayed?.recoatHours
	return given && { from: given.from, ...(given.to !== undefined ? { to: given.to } : {}) }
}

/** Every paint of a job, filled in. */
export const paintSystems = (
	paints: readonly Paint[],
	spraying: SystemInput['spraying'],
	paintwork?: Paintwork,
): ReadonlyMap<string, PaintSystem> =>
	new Map(paints.map((paint) => [paint.id, paintSystem({ paint, spraying, paintwork })] as const))
