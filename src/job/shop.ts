/** The shop file: what belongs to the workshop and not to one job. Lengths are read as the job's are, mm once read. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { DECAL_TOLERANCES, decalFilm } from './decalFilms.ts'
import { lengths } from './lengthField.ts'
import { id, text } from './names.ts'

export const SHOP_FORMAT = 1

/** Where a figure comes from; a person who changes one should be able to say. */
const source = text.optional().describe('Where the figure comes from: common practice, memory, a data sheet, your own trial.')

const paperName = z
	.string()
	.regex(/^[A-Za-z][A-Za-z0-9-]*$/, 'a name of letters, figures and hyphens that starts with a letter, such as A4')

/** What edge strain a tape could have: 0.5 would be half as long again at one edge, which no tape lies down after. */
const MOST_STRAIN = 0.5

/** Each printer is looked at with each paper. */
const MOST_THINGS = 200

export function shopSchema(unit: Unit) {
	const { notNegative, positive } = lengths(unit)

	const margin = (side: string) => notNegative(`What the printer cannot print on at the ${side}.`).default(DEFAULT_MARGIN)
	const printer = z.strictObject({
		id,
		name: text.optional(),
		margins: z
			.strictObject({ left: margin('left'), right: margin('right'), top: margin('top'), bottom: margin('bottom') })
			.prefault({})
			.describe('What stays blank on each side.'),
		measured: z
			.strictObject({
				across: positive('Across the sheet.'),
				along: positive('Along the sheet.'),
			})
			.optional()
			.describe('What the 200 mm bars of the test sheet measured, as printed.'),
	})
	const paper = z.strictObject({
		id: paperName,
		width: positive('Across.'),
		height: positive('Along; leave out for a roll.').optional(),
	})
	const instrument = z.strictObject({
		id,
		what: text.optional(),
		sd: positive('One standard deviation of a reading taken with it.'),
		source,
	})
	const tape = z.strictObject({
		id,
		kind: z.enum(['fine-line', 'crepe', 'paper', 'film']),
		width: positive('Width.'),
		edgeStrain: z
			.number()
			.min(0)
			.max(MOST_STRAIN)
			.describe(
				'How far its edge stretches before it lifts, as a part of its length: 0.1 is a tenth. It bends to width / (2 x this).',
			),
		rollLength: positive('Length on a roll.').optional(),
		longestHours: z
			.number()
			.gt(0)
			.max(2000)
			.optional()
			.describe('The longest it may stay on before it is lifted, as its sheet says.'),
		source,
	})

	const cutter = z.strictObject({
		sheet: z
			.strictObject({ width: positive('Across the film.'), height: positive('Along the film.') })
			.optional()
			.describe('The film, where no size is typed.'),
		gap: notNegative('Between pieces, and to the edge of the film.').default(CUTTER_GAP),
		weedingBox: z.boolean().default(true).describe('A rectangle cut round each piece, so that the waste comes off by itself.'),
		registerMarks: z.boolean().default(true).describe('Crosses in the corners, to find the place of the film again.'),
	})

	return z.strictObject({
		$schema: z.string().optional(),
		format: z.literal(SHOP_FORMAT).describe('Version of this file format.'),
		unit: z.enum(['mm', 'in']).describe('The unit of plain numbers in this file.'),
		notes: text.optional(),
		paper: paperName.default('A4').describe('The paper that is used unless asked otherwise.'),
		papers: z.array(paper).max(MOST_THINGS).default([]).describe('Papers beside the usual ones.'),
		printer: id.optional().describe('The printer that is used unless asked otherwise; the first one where not said.'),
		printers: z.array(printer).max(MOST_THINGS).default([]),
		cutter: cutter.prefault({}).describe('How pieces are laid on film for a cutter.'),
		instruments: z.array(instrument).default([]).describe('Beside the usual ones, or in place of one of the same name.'),
		tapes: z.array(tape).optional().describe('The tapes in stock; where not said, the usual widths.'),
		taping: z
			.strictObject({
				overrun: positive('How far a run goes on past the end of its edge.').default(TAPING.overrun),
				joint: positive('By how much two lengths of one run overlap.').default(TAPING.joint),
				underlap: notNegative('How far a paint goes on below its neighbour that comes later.').default(TAPING.underlap),
				sameWidth: notNegative('A stripe is laid as tape of its own width where stock is so near to it.').default(
					TAPING.sameWidth,
				),
				waste: z.number().min(0).max(2).default(TAPING.waste).describe('Bought over what is laid, as a part of it.'),
			})
			.prefault({})
			.describe('How tape is laid.'),
		spraying: z
			.strictObject({
				transfer: z.number().gt(0).max(1).default(SPRAYING.transfer).describe('Transfer efficiency, where a paint does not say.'),
				allowance: z
					.number()
					.min(0)
					.max(5)
					.default(SPRAYING.allowance)
					.describe('Mixed over what is needed, where a paint does not say.'),
				cupMl: z.number().gt(0).max(5000).default(SPRAYING.cupMl).describe("What the gun's cup holds, ml."),
				leastMl: z.number().min(0).max(5000).default(SPRAYING.leastMl).describe('Less than this is not mixed well, ml.'),
				clearLeastUm: z
					.number()
					.gt(0)
					.max(1000)
					.default(SPRAYING.clearLeastUm)
					.describe('Clear thinner than this fails early, micrometres.'),
				clearMostUm: z
					.number()
					.gt(0)
					.max(1000)
					.default(SPRAYING.clearMostUm)
					.describe('Clear thicker than this risks solvent pop and dieback, micrometres.'),
			})
			.prefault({})
			.describe('How paint is sprayed.'),
		decals: z.array(decalFilm).max(MOST_THINGS).optional().describe('What decals take, where it is not the usual.'),
		guideWidth: positive('Width of an edge guide.').default(GUIDE_WIDTH),
		stripEvery: positive('Distance between girth strips, where a panel does not say.').default(STRIP_EVERY),
		tolerances: z
			.strictObject({
				line: positive('How far a taped edge may lie off the plan at a station.').default(TOLERANCES.line),
				seen: positive('How far left and right may differ where both are seen at once.').default(TOLERANCES.seen),
				narrowWidth: positive('How far the width of a band under 6 mm may be off.').default(TOLERANCES.narrowWidth),
				width: positive('How far the width of any other band may be off.').default(TOLERANCES.width),
				kinkDeg: z
					.number()
					.positive()
					.max(45)
					.default(TOLERANCES.kinkDeg)
					.describe('By what angle a taped edge may turn off the plan over three stations.'),
				decal: positive('How far a decal may lie off its place.').default(DECAL_TOLERANCES.place),
				decalDeg: z
					.number()
					.positive()
					.max(45)
					.default(DECAL_TOLERANCES.angleDeg)
					.describe('By what angle a decal may be turned off its own.'),
			})
			.prefault({})
			.describe('What is let pass of taped edges and of decals.'),
	})
}

/** Office printers leave 3 to 6 mm blank, some more at one end: 10 mm is safe on each side (common practice, no source). */
export const DEFAULT_MARGIN = 10

/** Between pieces on a cutter's film: room for the blade to turn (common practice, no source). */
export const CUTTER_GAP = 4

/** Wide enough to lie flat and be held with a finger, narrow enough to follow a bend in the panel: 6 to 8 mm (common practice). */
export const GUIDE_WIDTH = 7

/** A long pull of tape is judged over three stations at a time; at 120 mm they are within a hand's reach (common practice). */
export const STRIP_EVERY = 120

/**
 * Symmetry 1 mm at a station and 0.5 mm where both edges can be seen at once; width of a stripe 0.25 mm under 6 mm and 0.5 mm
 * above; the eye sees a kink of 0.4 degrees, which is 0.5 mm at both ends of 150 mm (common practice, no source).
 */
export const TOLERANCES = {
	line: 1,
	seen: 0.5,
	narrowWidth: 0.25,
	width: 0.5,
	kinkDeg: 0.4,
	decal: DECAL_TOLERANCES.place,
	decalDeg: DECAL_TOLERANCES.angleDeg,
} as const

/**
 * Laps of tape joints 3 to 6 mm; hidden laps of paint 1 to 3 mm; a run goes on far enough past its edge to be held (all common
 * practice, no source). Stock within a quarter millimetre of a stripe's width makes it within what is let pass of narrow bands.
 */
export const TAPING = { overrun: 12, joint: 5, underlap: 2, sameWidth: 0.25, waste: 0.15 } as const

/**
 * Transfer efficiency of a small panel 0.3 to 0.5, a cup of 600 ml (common practice, no source); clear under 50 um fails early,
 * over 76 um risks solvent pop (published by makers of clears).
 */
export const SPRAYING = { transfer: 0.4, allowance: 0.15, cupMl: 600, leastMl: 50, clearLeastUm: 50, clearMostUm: 76 } as const

type ShopFile = z.output<ReturnType<typeof shopSchema>>

/** A shop with its stock filled in. */
export type Shop = Omit<ShopFile, 'tapes' | 'decals'> & {
	readonly tapes: NonNullable<ShopFile['tapes']>
	readonly decals: NonNullable<ShopFile['decals']>
}
export type ShopInput = z.input<ReturnType<typeof shopSchema>>
export type Printer = Shop['printers'][number]
export type Instrument = Shop['instruments'][number]
export type Tape = Shop['tapes'][number]
