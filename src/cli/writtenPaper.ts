/** What pages to be written on are printed on. */
import { printsOn } from '../engine/compute.ts'
import type { Problem } from '../job/problem.ts'
import type { Shop } from '../job/shop.ts'
import { findPaper, type Paper } from '../sheet/paper.ts'
import type { JobOptions } from './readJob.ts'

/** Larger sheets are for templates: these are written on at the stand. */
const WIDEST_MM = 300

/** The paper that was asked for; else the shop's where it is a sheet to write on, else A4. */
export function paperToWriteOn(shop: Shop, options: JobOptions): Paper | undefined {
	const asked = findPaper(printsOn(shop, options).paper, shop.papers).value
	const handy = asked?.heightMm !== undefined && asked.widthMm <= WIDEST_MM
	return options.paper !== undefined || handy ? asked : findPaper('A4').value
}

export const unknownPaper: Problem = {
	...{ code: 'UNKNOWN_PAPER', severity: 'error', path: '/paper', found: 'a paper that is not known' },
	...{ expected: 'A4, letter or another cut sheet', fix: 'Add --paper A4.' },
}
