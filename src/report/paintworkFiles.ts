/** The files of taping and painting: papers as drawings, pictures, and the stand file as text. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { cautionsPage } from './cautionsPage.ts'
import { jobSheet } from './jobSheet.ts'
import { ownersSheet } from './ownersSheet.ts'
import { paintSchedule } from './paintSchedule.ts'
import { type PaintworkPrint, stageWorks } from './paintworkPrint.ts'
import { shoppingList } from './shoppingList.ts'
import { stageCards } from './stageCards.ts'
import { stagePicture } from './stagePicture.ts'
import { standFile } from './standFile.ts'
import { tapeSchedule } from './tapeSchedule.ts'

/** One file: pages for a PDF, a picture for an SVG, or text as it is. */
export type PaintworkFile =
	| { readonly name: string; readonly kind: 'pdf'; readonly title: string; readonly drawings: readonly Drawing[] }
	| { readonly name: string; readonly kind: 'svg'; readonly drawing: Drawing }
	| { readonly name: string; readonly kind: 'text'; readonly text: string }

/** Papers on `paper`, a cut sheet; those that would be empty are left out. */
export function paintworkFiles(print: PaintworkPrint, paper: Paper, margins: Margins): readonly PaintworkFile[] {
	const { result, shop } = print
	const works = stageWorks(print)
	if (works.length === 0) return []
	const papers: readonly (readonly [name: string, title: string, drawings: readonly Drawing[]])[] = [
		['job-sheet', 'Job sheet', jobSheet(print, paper, margins)],
		['stage-cards', 'Stage cards', stageCards(print, paper, margins)],
		['tape-schedule', 'Tape schedule', tapeSchedule(print, paper, margins)],
		['paint-schedule', 'Paint schedule', paintSchedule(print, paper, margins)],
		['shopping-list', 'Shopping list', shoppingList(print, paper, margins)],
		['owners-sheet', "Owner's sheet", ownersSheet(print, paper, margins)],
		['cautions', 'Cautions', cautionsPage(result, paper, margins)],
	]
	return [
		...papers
			.filter(([, , drawings]) => drawings.length > 0)
			.map(([name, title, drawings]): PaintworkFile => {
				return { name: `${name}.pdf`, kind: 'pdf', title: `${title}: ${result.job.title}`, drawings }
			}),
		...works.map((of): PaintworkFile => {
			return { name: `stage-${of.key}.svg`, kind: 'svg', drawing: stagePicture(of, result, shop.tapes) }
		}),
		{ name: 'stand.html', kind: 'text', text: standFile(print) },
	]
}
