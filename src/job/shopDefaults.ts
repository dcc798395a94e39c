/** What a workshop has where its shop file does not say: instruments, tapes. Every figure says where it comes from. */
import { DECAL_FILMS } from './decalFilms.ts'
import {
	CUTTER_GAP,
	GUIDE_WIDTH,
	type Instrument,
	SHOP_FORMAT,
	type Shop,
	SPRAYING,
	STRIP_EVERY,
	TAPING,
	type Tape,
	TOLERANCES,
} from './shop.ts'

/*
 * Standard deviations are of one reading between two ends, as it is written down.
 * tape: a class II tape is within 0.5 mm to 1 m (UK SI 2016/1153, schedule 1I, as a limit, so about 0.3 mm as a standard
 * deviation), read to the nearest 0.5 mm or mm (0.15 to 0.3 mm) at an end that moves a little as the tape is pressed down.
 * steel-rule: no better than its 0.5 mm divisions, read at both ends by eye: 0.2 mm at each.
 * caliper: within 0.03 mm itself (from memory); what counts is placing the jaws on a mark.
 * profile-gauge: its pins are within 0.5 to 1 mm (common practice), taken as the limit.
 * photograph: taken square on, with a rule lying in it at the height of the mark; it is far worse where the panel turns away.
 */
const INSTRUMENTS: readonly Instrument[] = [
	{ id: 'tape', what: 'flexible tape', sd: 0.5, source: 'common practice, no source: class II tape, read to 0.5 or 1 mm' },
	{ id: 'steel-rule', what: 'steel rule', sd: 0.3, source: 'common practice, no source: 0.2 mm at each end, by eye' },
	{ id: 'caliper', what: 'caliper', sd: 0.1, source: 'common practice, no source: placing the jaws on a mark' },
	{ id: 'profile-gauge', what: 'profile gauge', sd: 0.5, source: 'common practice, no source: its pins are within 0.5 to 1 mm' },
	{ id: 'photograph', what: 'photograph with a rule in it', sd: 1, source: 'common practice, no source: taken square on' },
]

const FINE_LINE_WIDTHS = [1.5, 2, 3, 6, 9, 12, 19, 25]

/** From memory: vinyl fine-line tape stretches 10 to 20 % at its edge before it lifts; the careful end is taken. */
const FINE_LINE_STRAIN = 0.1

/** From memory: crepe tape stretches 5 to 10 %; the careful end. */
const CREPE_STRAIN = 0.05

/** From memory: crepe tape is sold in these widths. */
const CREPE_WIDTHS = [19, 25]

/** Masking paper as it is sold (common practice, no source). */
const PAPER_WIDTHS = [150, 450]

/** Tape is sold in rolls of 33 to 55 m (common practice, no source): the short ones are taken. */
const ROLL_MM = 33_000

const TAPES: readonly Tape[] = [
	...FINE_LINE_WIDTHS.map((width): Tape => {
		const source = 'width: common practice, no source; edge strain: memory'
		return {
			id: `fine-line-${String(width).replace('.', '-')}`,
			kind: 'fine-line',
			width,
			edgeStrain: FINE_LINE_STRAIN,
			rollLength: ROLL_MM,
			source,
		}
	}),
	...CREPE_WIDTHS.map((width): Tape => {
		return { id: `crepe-${width}`, kind: 'crepe', width, edgeStrain: CREPE_STRAIN, rollLength: ROLL_MM, source: 'memory' }
	}),
	...PAPER_WIDTHS.map((width): Tape => {
		return {
			id: `paper-${width}`,
			kind: 'paper',
			width,
			edgeStrain: 0,
			rollLength: ROLL_MM,
			source: 'common practice, no source',
		}
	}),
	{
		id: 'film-450',
		kind: 'film',
		width: 450,
		edgeStrain: 0,
		source: 'common practice, no source: low-tack film for knife masks',
	},
]

/** The shop of one who has no shop file: A4, no printer measured, the usual instruments and tapes. */
export function defaultShop(): Shop {
	return {
		format: SHOP_FORMAT,
		unit: 'mm',
		paper: 'A4',
		papers: [],
		printers: [],
		cutter: { gap: CUTTER_GAP, weedingBox: true, registerMarks: true },
		instruments: [...INSTRUMENTS],
		tapes: [...TAPES],
		taping: TAPING,
		spraying: SPRAYING,
		decals: [...DECAL_FILMS],
		guideWidth: GUIDE_WIDTH,
		stripEvery: STRIP_EVERY,
		tolerances: TOLERANCES,
	}
}
