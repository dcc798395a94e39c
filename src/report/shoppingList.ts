/** What is to be bought or to be at hand before the first tape is laid, with a box to tick. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { type Cell, tableFlow } from './measuringSheetTable.ts'
import { type PaintworkPrint, type ShoppingItem, stageWorks } from './paintworkPrint.ts'
import { ASSUMED, ASSUMED_NOTE, mlWords } from './sprayWords.ts'
import { longLength, tapeTotals } from './tapeSchedule.ts'
import { tapeWords } from './tapeWords.ts'
import { noteBlock, writtenPages } from './writtenPages.ts'

const GROUPS: Readonly<Record<ShoppingItem['group'], string>> = {
	tape: 'Tape',
	paint: 'Paint, ready to spray',
	masking: 'Masking',
	other: 'Other things',
}

export function shoppingList(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const items = print.shopping ?? usualShopping(print)
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

/** From the runs, the paints and the paper of the job, where no list is given. */
export function usualShopping(print: PaintworkPrint): readonly ShoppingItem[] {
	const { unit, paints } = print.result.job
	const { waste } = print.shop.taping
	const tapes = tapeTotals(print).map(({ tape, runsMm, backingMm }): ShoppingItem => {
		const mm = (runsMm + backingMm) * (1 + waste)
		const rolls = tape.rollLength === undefined ? undefined : Math.ceil(mm / tape.rollLength)
		const buy =
			rolls === undefined
				? {}
				: { buy: `${rolls} ${rolls === 1 ? 'roll' : 'rolls'} of ${longLength(tape.rollLength as number, unit)}` }
		return { group: 'tape', what: tapeWords(tape), need: longLength(mm, unit), ...buy }
	})
	const paint = print.paintwork.quantities.paints.map(({ paint: id, ml }): ShoppingItem => {
		const system = print.paintwork.systems.get(id)
		const what = system?.name ?? paints.find((each) => each.id === id)?.name ?? id
		return { group: 'paint', what, need: mlWords(ml), assumed: (system?.assumed.length ?? 1) > 0 }
	})
	const works = stageWorks(print)
	const paperMm2 = works.reduce((sum, { tape }) => sum + tape.paper.areaMm2, 0) * (1 + waste)
	const masks = works.reduce((sum, { tape, stage }) => sum + tape.knives.filter(({ laid }) => laid === stage.number).length, 0)
	const area = unit === 'mm' ? `${(paperMm2 / MM2_PER_M2).toFixed(2)} m²` : `${(paperMm2 / MM2_PER_FT2).toFixed(1)} sq ft`
	return [
		...tapes,
		...paint,
		...(paperMm2 > 0 ? [{ group: 'masking' as const, what: 'masking paper or film', need: area }] : []),
		...(masks > 0
			? [{ group: 'masking' as const, what: 'film for knife masks', need: masks === 1 ? '1 mask' : `${masks} masks` }]
			: []),
	]
}
