/** The side report: left against right, edges as taped, and decals, as pages to keep with the job. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { tapedWords } from '../sides/tapedWords.ts'
import { sidesWords } from '../sides/words.ts'
import { decalSidesSaid } from './decalWords.ts'
import type { Flow } from './measuringSheetTable.ts'
import { sidesPicture, tapedPicture } from './sidesPicture.ts'
import { headed, type Section, writtenPages } from './writtenPages.ts'

/** A picture is no higher than a part of the page. */
const PICTURE_PART = 0.35

/** The pages, panel by panel; none where no panel was measured on both sides or checked as taped. */
export function sidesReport(result: Result, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = result
	const widthMm = paper.widthMm - margins.left - margins.right
	const mostMm = ((paper.heightMm ?? 0) - margins.top - margins.bottom) * PICTURE_PART
	const sections = result.panels.flatMap((each): readonly Section[] => {
		const { title, panel, sides, taped } = each
		const decals = decalSidesSaid(result, each)
		const flows: readonly Flow[] = [
			...(sides
				? [headed('Left and right', sidesPicture(sides, widthMm, mostMm), sidesWords(sides, panel, job.unit), widthMm)]
				: []),
			...(taped ? [headed('As taped', tapedPicture(taped, widthMm, mostMm), tapedWords(taped, panel, job.unit), widthMm)] : []),
			...(decals.length > 0 ? [headed('Decals, left and right', undefined, decals, widthMm)] : []),
		]
		return flows.length > 0 ? [{ subject: title, flows }] : []
	})
	return writtenPages({ kind: 'Both sides', job, revision, paper, margins }, sections)
}
