/** What is to be bought or to be at hand before the first tape is laid, with a box to tick. */
import type { Drawing } from '../drawing/drawing.ts'
import type { SmallMix } from '../plan/smallMixes.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { type Cell, tableFlow } from './measuringSheetTable.ts'
import type { PaintworkPrint } from './paintworkPrint.ts'
import { ASSUMED, ASSUMED_NOTE, amountMarked, mlWords } from './sprayWords.ts'
import { longLength } from './tapeSchedule.ts'
import { noteBlock, writtenPages } from './writtenPages.ts'

/** A thing to buy or to have at hand. */
export interface ShoppingItem {
	readonly group: keyof typeof GROUPS
	readonly what: string
	/** as it is needed, with its unit */
	readonly need: string
	/** as it is sold, where that is known */
	readonly buy?: string
	/** rests on a usual figure */
	readonly assumed?: boolean
}

const GROUPS = {
	tape: 'Tape',
	paint: 'Paint, ready to spray',
	masking: 'Masking',
} as const

export function shoppingList(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const items = shoppingItems(print)
	if (items.length === 0) return []
	const groups = (Object.keys(GROUPS) as ShoppingItem['group'][]).filter((group) => items.some((item) => item.group === group))
	const rows = groups.flatMap((group): (readonly Cell[] | { group: string })[] => [
		{ group: GROUPS[group] },
		...items
			.filter((item) => item.group === group)
			.map(({ what, need, buy = '', assumed = false }): readonly Cell[] => [
				{ text: what, bold: true },
				{ text: assumed ? `${need}${ASSUMED}` : need },
				{ text: buy },
				...[{}, {}],
			]),
	])
	const columns = [
		{ title: 'what', part: 62 },
		{ title: 'needed', part: 36 },
		{ title: 'to buy', part: 36 },
		{ title: 'at hand', part: 20 },
		{ title: 'bought', part: 20 },
	]
	const widthMm = paper.widthMm - margins.left - margins.right
	const flows = [tableFlow({ title: 'To buy', columns, rows }), { blocks: [noteBlock([ASSUMED_NOTE], widthMm)] }]
	return writtenPages({ kind: 'Shopping list', job, revision, paper, margins }, [{ subject: 'taping and painting', flows }])
}

const MM2_PER_M2 = 1e6
const MM2_PER_FT2 = 304.8 ** 2

export function shoppingItems({ result, paintwork }: PaintworkPrint): readonly ShoppingItem[] {
	const { unit, paints } = result.job
	const { shopping, systems } = paintwork
	const area = (mm2: number) =>
		unit === 'mm' ? `${(mm2 / MM2_PER_M2).toFixed(2)} m²` : `${(mm2 / MM2_PER_FT2).toFixed(1)} sq ft`
	const masks = shopping.masks === 1 ? '1 mask' : `${shopping.masks} masks`
	return [
		...shopping.tapes.map(({ tape, buyMm, rolls }): ShoppingItem => {
			const roll = tape.rollLength === undefined ? '' : longLength(tape.rollLength, unit)
			const buy = rolls === undefined ? {} : { buy: `${rolls} ${rolls === 1 ? 'roll' : 'rolls'} of ${roll}` }
			return { group: 'tape', what: tapeWords(tape), need: longLength(buyMm, unit), ...buy }
		}),
		...shopping.paints.map(({ paint: id, ml }): ShoppingItem => {
			const system = systems.get(id)
			const what = system?.name ?? paints.find((each) => each.id === id)?.name ?? id
			const small = paintwork.smallMixes.filter(({ paint }) => paint === id)
			const buy = small.length > 0 ? { buy: `a mix is ${mlWords((small[0] as SmallMix).leastMl)} at the least` } : {}
			return { group: 'paint', what, need: mlWords(ml), ...buy, assumed: !system || amountMarked('', system) !== '' }
		}),
		...(shopping.paperMm2 > 0
			? [{ group: 'masking' as const, what: 'masking paper or film', need: area(shopping.paperMm2) }]
			: []),
		...(shopping.masks > 0
			? [{ group: 'masking' as const, what: 'film for knife masks', need: `${area(shopping.filmMm2)}, ${masks}` }]
			: []),
	]
}
