/** The cautions as a page to hang up. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { cautionParts, DEFER } from './cautions.ts'
import { headed, writtenPages } from './writtenPages.ts'

export function cautionsPage(
	{ job, revision }: Pick<Result, 'job' | 'revision'>,
	paper: Paper,
	margins: Margins,
): readonly Drawing[] {
	const widthMm = paper.widthMm - margins.left - margins.right
	const flows = [
		headed('What comes first', undefined, [DEFER], widthMm),
		...cautionParts(job).map(({ about, text, source }) => headed(about, undefined, [text, `(${source})`], widthMm)),
	]
	return writtenPages({ kind: 'Cautions', job, revision, paper, margins }, [
		{ subject: 'read before stripping and spraying', flows },
	])
}
