/** What pages to be written on cannot be printed on. */
import type { Problem } from '../job/problem.ts'

export const unknownPaper: Problem = {
	...{ code: 'UNKNOWN_PAPER', severity: 'error', path: '/paper', found: 'a paper that is not known' },
	...{ expected: 'A4, letter or another cut sheet', fix: 'Add --paper A4.' },
}
