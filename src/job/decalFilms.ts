/** What decals are made of and take, in the shop file: how thick they are, and how far they give before they crease or tear. */
import { z } from 'zod'
import { DECAL_MATERIALS } from './decalSchema.ts'
import { text } from './names.ts'

const percent = (about: string) => z.number().min(0).max(50).describe(about)

export const decalFilm = z.strictObject({
	material: z.enum(DECAL_MATERIALS).exclude(['paint']),
	stretch: percent('How far it stretches, per cent.'),
	pucker: percent('How much too long it may be before it creases, per cent.'),
	thicknessUm: z.number().gt(0).max(1000).describe('Its thickness, micrometres.'),
	source: text.optional().describe('Where the figures come from: common practice, memory, a data sheet, your own trial.'),
})

export type DecalFilm = z.output<typeof decalFilm>

/** Thickness from memory: water-slide 10 to 20 um, dry transfer 5 to 10, cast film 75, calendered 100 to 125; what they take: the careful end of common practice, no source. */
const source = 'thickness: memory; what it takes: common practice, no source'

export const DECAL_FILMS: readonly DecalFilm[] = [
	{ material: 'water-slide', stretch: 1, pucker: 1.5, thicknessUm: 15, source },
	{ material: 'dry-transfer', stretch: 0.3, pucker: 0.3, thicknessUm: 8, source },
	{ material: 'cast-film', stretch: 5, pucker: 3, thicknessUm: 75, source },
	{ material: 'calendered-film', stretch: 1.5, pucker: 0.7, thicknessUm: 110, source },
]

/** By how much a decal may lie off its place and out of its angle (common practice, no source). */
export const DECAL_TOLERANCES = { place: 1, angleDeg: 0.5 } as const
