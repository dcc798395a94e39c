/** A shop from the text of its file. */
import type { z } from 'zod'
import { checkUnique, type Findings, find, listedFindings, noFindings, unknownName } from './findings.ts'
import { type FileKind, loadFile, oncePerUnit } from './load.ts'
import type { Outcome, Problem } from './problem.ts'
import { mm } from './say.ts'
import { SHOP_FORMAT, type Shop, shopSchema } from './shop.ts'
import { defaultShop } from './shopDefaults.ts'
import { inOrder, type Source, withLines } from './source.ts'

export interface LoadedShop {
	/** checked and filled in; lengths in mm */
	readonly shop: Shop
	readonly source: Source
	readonly raw: unknown
}

/** Length of the bars on the printer's test sheet, mm. */
export const TEST_BAR = 200

/** An office printer is within 1 % of true (from memory); 5 % is another bar, another unit or a page fitted to the sheet. */
const MOST_SCALE_ERROR = 0.05

/**
 * The shop that a text describes, with the usual instruments (its own in place of those of the same name) and, where it
 * lists none, the usual tapes. No value when anything is an error.
 */
export function loadShop(text: string, file?: string): Outcome<LoadedShop> {
	const { value, problems } = loadFile(text, file, SHOP)
	if (!value) return { problems }
	const shop = filledIn(value.data)
	const all = inOrder([...problems, ...withLines(checkShop(value.data, shop), value.source)])
	if (all.some(({ severity }) => severity === 'error')) return { problems: all }
	return { value: { shop, source: value.source, raw: value.raw }, problems: all }
}

type Written = z.output<ReturnType<typeof shopSchema>>

const SHOP: FileKind<Written> = { what: 'shop', format: SHOP_FORMAT, steps: [], schema: oncePerUnit(shopSchema) }

function filledIn(written: Written): Shop {
	const usual = defaultShop()
	const own = new Set(written.instruments.map(({ id }) => id))
	const instruments = [...written.instruments, ...usual.instruments.filter(({ id }) => !own.has(id))]
	const listed = new Set((written.decals ?? []).map(({ material }) => material))
	const decals = [...(written.decals ?? []), ...usual.decals.filter(({ material }) => !listed.has(material))]
	return { ...written, instruments, tapes: written.tapes ?? usual.tapes, decals }
}

/** What the schema cannot say. Whether `paper` is known is for those who know the standard papers. */
function checkShop(written: Written, shop: Shop): Problem[] {
	const findings = noFindings()
	checkUnique(findings, written.papers, '/papers', 'paper')
	checkUnique(findings, written.printers, '/printers', 'printer')
	checkUnique(findings, written.instruments, '/instruments', 'instrument')
	checkUnique(findings, written.tapes ?? [], '/tapes', 'tape')
	if (shop.printer !== undefined && !shop.printers.some(({ id }) => id === shop.printer)) {
		const known = shop.printers.map(({ id }) => id)
		unknownName(findings, { kind: 'PRINTER', name: shop.printer, known, path: '/printer', otherwise: 'add it to `printers`' })
	}
	checkScales(findings, shop)
	checkMargins(findings, shop)
	checkFilm(findings, shop)
	return listedFindings(findings)
}

function checkScales(findings: Findings, shop: Shop): void {
	for (const [index, printer] of shop.printers.entries()) {
		for (const direction of ['across', 'along'] as const) {
			const measured = printer.measured?.[direction]
			if (measured === undefined || Math.abs(measured / TEST_BAR - 1) <= MOST_SCALE_ERROR) continue
			find(findings, () => ({
				code: 'SCALE_UNLIKELY',
				path: `/printers/${index}/measured/${direction}`,
				found: `${mm(measured)} for the bar of ${TEST_BAR} mm`,
				expected: `within ${MOST_SCALE_ERROR * 100} % of ${TEST_BAR} mm`,
				fix: 'Print the test sheet at 100 % (not fitted to the page) and measure the bar again.',
			}))
		}
	}
}

/** Papers of the shop's own that have nothing left between the margins of a printer. */
function checkMargins(findings: Findings, shop: Shop): void {
	for (const printer of shop.printers) {
		const { left, right, top, bottom } = printer.margins
		for (const [index, paper] of shop.papers.entries()) {
			const { width, height = Number.POSITIVE_INFINITY } = paper
			const tooNarrow = width <= left + right
			if (!tooNarrow && height > top + bottom) continue
			const [size, margins] = tooNarrow ? [width, left + right] : [height, top + bottom]
			find(findings, () => ({
				code: 'PAPER_TOO_SMALL',
				path: `/papers/${index}`,
				found: `paper "${paper.id}", ${mm(size)}, with margins of ${mm(margins)} together on printer "${printer.id}"`,
				expected: 'paper larger than its margins',
				fix: 'Correct the size of the paper or the margins of the printer.',
			}))
		}
	}
}

/** Film on which the gaps at its edges leave nothing. */
function checkFilm(findings: Findings, { cutter: { sheet, gap } }: Shop): void {
	if (!sheet || Math.min(sheet.width, sheet.height) > 2 * gap) return
	find(findings, () => ({
		code: 'CUTTER_SHEET',
		path: '/cutter/sheet',
		found: `film of ${mm(sheet.width)} by ${mm(sheet.height)} with ${mm(gap)} kept free at each edge`,
		expected: 'film larger than its edges',
		fix: 'Correct the size of the film or the gap.',
	}))
}
