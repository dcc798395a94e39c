/** What pages to be written on, or read at the stand, are printed on. */
import { type ComputeOptions, printsOn } from '../engine/compute.ts'
import type { Shop } from '../job/shop.ts'
import { findPaper, type Paper } from '../sheet/paper.ts'

/** What was asked for in place of the shop's paper and printer. */
export type Asked = Pick<ComputeOptions, 'paper' | 'printer'>

/** Larger sheets are for templates: these are held in a hand. */
const WIDEST_MM = 300

const handy = (paper: Paper | undefined): paper is Paper => paper?.heightMm !== undefined && paper.widthMm <= WIDEST_MM
const a4 = (): Paper => findPaper('A4').value as Paper

/** The paper that was asked for; else the shop's where it is a sheet to write on, else A4. Undefined where there is none of that name. */
export function paperToWriteOn(shop: Shop, asked: Asked): Paper | undefined {
	const paper = findPaper(printsOn(shop, asked).paper, shop.papers).value
	return asked.paper !== undefined || handy(paper) ? paper : a4()
}

/** The paper of the sheets where it is one to hold in a hand, else A4. */
export function pageFor(name = 'A4'): Paper {
	const paper = findPaper(name).value
	return handy(paper) ? paper : a4()
}
