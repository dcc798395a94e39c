/** What is sprayed at a stage, in words: figures that the paint does not say are left blank or marked as usual ones. */
import { filmWords } from '../paint/clearProblems.ts'
import { cupsFor, type PanelQuantity } from '../paint/quantity.ts'
import type { Figure, PaintSystem } from '../paint/system.ts'
import type { SmallMix } from '../plan/smallMixes.ts'
import type { PaintworkPrint, StageWork } from './paintworkPrint.ts'

/** Beside a figure that is a usual one, not the paint's. */
export const ASSUMED = '*'
export const ASSUMED_NOTE = `${ASSUMED} a usual figure: not given for this paint. Its sheet, or a spray-out card, comes first.`

export const marked = (text: string, { assumed }: Pick<Figure<unknown>, 'assumed'>) => (assumed ? `${text}${ASSUMED}` : text)

export const hoursWords = (hours: number): string =>
	hours < 1 ? `${Math.round(hours * 60)} min` : `${Number(hours.toFixed(1))} h`

export const recoatWords = ({ from, to }: { readonly from: number; readonly to?: number }): string =>
	to === undefined ? `from ${hoursWords(from)}` : `${hoursWords(from)} to ${hoursWords(to)}`

const LIFT: Readonly<Record<PaintSystem['lift']['value'], string>> = {
	tacky: 'while it is tacky',
	'dry-to-tape': 'once it is dry enough to be taped',
	cured: 'once it is cured',
}
export const liftWords = (system: PaintSystem): string => LIFT[system.lift.value]

/** Ready to spray: to the next millilitre while that is much of it, else to the next five. */
export const mlWords = (ml: number): string => `${ml < FINE_ML ? Math.ceil(ml) : Math.ceil(ml / 5) * 5} ml`
const FINE_ML = 50

/** What to do where a session takes less of its paint than can be mixed well. */
export function smallMixWords({ session, leastMl, together }: SmallMix): string {
	const least = `mix at least ${mlWords(leastMl)}`
	const other =
		together.length > 0
			? `spray it together with session ${together.join(' or ')}`
			: 'spray it together with other work in this paint'
	return `Session ${session}: ${least} (what is needed is too little to measure and to mix well), or ${other}.`
}

/** What this stage takes on this panel; undefined where nothing is known of its paint. */
export function quantityOf(
	{ paintwork }: Pick<PaintworkPrint, 'paintwork'>,
	{ work, stage }: StageWork,
): PanelQuantity | undefined {
	const all = paintwork.quantities.stages.find((each) => each.stage === stage.number && each.paint === stage.paint)
	return all?.panels.find((each) => each.panel === work.id && each.hand === work.hand)
}

/** A line of the spray part of a card: what, what is known of it, and whether it is to be written in. */
export interface SprayLine {
	readonly what: string
	readonly text: string
	/** to be filled in from the paint's sheet */
	readonly blank?: boolean
}

const given = <T>(figure: Figure<T>, say: (value: T) => string): { text: string; blank?: true } =>
	figure.assumed ? { text: '', blank: true } : { text: say(figure.value) }

export function sprayLines(print: PaintworkPrint, of: StageWork): readonly SprayLine[] {
	const system = print.paintwork.systems.get(of.stage.paint)
	if (!system) return [{ what: 'Paint', text: of.paint.name }]
	const quantity = quantityOf(print, of)
	const cup = print.shop.spraying.cupMl
	const amount = quantity
		? `${mlWords(quantity.mlPerCoat)} a coat, ${cupsFor(quantity.mlPerCoat, cup) > 1 ? `${cupsFor(quantity.mlPerCoat, cup)} cups` : `one cup of ${cup} ml`}`
		: ''
	const film = filmAfter(of)
	const stays = [...of.tape.runs, ...of.tape.knives].filter(({ until }) => until > of.stage.number)
	return [
		{ what: 'Paint', text: system.mix === undefined ? of.paint.name : `${of.paint.name}: ${system.mix}` },
		{ what: 'Coats', text: marked(String(quantity?.coats ?? system.coats.value), system.coats) },
		{
			what: 'Ready to spray',
			text: amount === '' ? '' : amountMarked(amount, system),
			...(amount === '' ? { blank: true } : {}),
		},
		{ what: 'Pot life', ...given(system.potLifeHours, hoursWords) },
		{ what: 'Recoat window', ...given(system.recoatHours, recoatWords) },
		{ what: 'Tape may lie on it after', ...given(system.tapeHours, hoursWords) },
		{
			what: 'Lift',
			text:
				of.tape.lift.length === 0
					? 'nothing to lift'
					: `${marked(liftWords(system), system.lift)}${stays.length > 0 ? `; ${stays.length} stay` : ''}`,
		},
		{
			what: 'Film after it',
			text: film === undefined ? '' : marked(film, system.filmUm),
			...(film === undefined ? { blank: true } : {}),
		},
	]
}

const AMOUNT_FIGURES = ['coats', 'filmUm', 'volumeSolids', 'transfer', 'allowance']
export const amountMarked = (text: string, { assumed }: PaintSystem) =>
	assumed.some((name) => AMOUNT_FIGURES.includes(name)) ? `${text}${ASSUMED}` : text

/** Places smaller than this tell nothing of a film, mm^2. */
const LEAST_MM2 = 25

/** All films where this paint lies, as they are after it: thinnest to thickest. */
export function filmAfter({ work, stage }: StageWork): string | undefined {
	const after = work.films.cells
		.filter(({ films, areaMm2 }) => areaMm2 >= LEAST_MM2 && films.some((film) => film.stage === stage.number))
		.map(({ films }) => films.reduce((sum, film) => sum + (film.stage <= stage.number ? film.um : 0), 0))
	if (after.length === 0) return undefined
	const [least, most] = [Math.min(...after), Math.max(...after)]
	return most - least < 0.5 ? filmWords(most) : `${filmWords(least)} to ${filmWords(most)}`
}
