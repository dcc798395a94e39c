/** The owner's sheet: what was found, what that is known from, what is to be chosen, and where to sign. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Panel } from '../job/schema.ts'
import type { ClearPlan } from '../paint/clear.ts'
import { filmWords } from '../paint/clearProblems.ts'
import { DECAL_CHOICE } from '../paint/decalChoice.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { orderSentences } from './jobSheet.ts'
import { type Cell, type Flow, tableFlow } from './measuringSheetTable.ts'
import type { PaintworkPrint } from './paintworkPrint.ts'
import { headed, type Section, writtenPages } from './writtenPages.ts'

type Evidence = NonNullable<Panel['edges'][number]['evidence']>

/** In the owner's words; what is assumed is said to be so. */
const EVIDENCE: Readonly<Record<Evidence, string>> = {
	original: 'original paint, measured on this vehicle',
	'earlier-repaint': 'an earlier repaint of this vehicle',
	'another-vehicle': 'another vehicle of the kind',
	assumed: 'assumed: nothing was found',
}

export function ownersSheet(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const widthMm = paper.widthMm - margins.left - margins.right
	const flows: readonly Flow[] = [
		...(job.notes === undefined ? [] : [headed('The vehicle', undefined, [job.notes], widthMm)]),
		foundFlow(print),
		headed('Order of the paints', undefined, orderSentences(print), widthMm),
		clearFlow(print),
		decalFlow(widthMm),
		choiceFlow(print),
		signFlow(),
	]
	const sections: readonly Section[] = [{ subject: 'what was found and what is chosen', flows }]
	return writtenPages({ kind: "Owner's sheet", job, revision, paper, margins }, sections)
}

/** Lines, stripes and fields of every panel with what each is known from. */
function foundFlow({ result }: PaintworkPrint): Flow {
	const paintOf = (id: string) => result.job.paints.find((paint) => paint.id === id)?.name ?? id
	const rows = result.job.panels.flatMap((panel): (readonly Cell[] | { group: string })[] => {
		const row = (what: string, shows: string, evidence: Evidence | undefined, note: string | undefined): readonly Cell[] => [
			{ text: what, bold: true },
			{ text: shows },
			{ text: evidence === undefined ? 'not said' : EVIDENCE[evidence] },
			{ text: note ?? '' },
		]
		const marks = new Set(panel.readings.flatMap((reading) => ('mark' in reading ? [reading.mark] : []))).size
		const read = `${panel.readings.length} readings, ${marks} marks`
		return [
			{ group: `${panel.title ?? panel.id}: ${read}${panel.notes === undefined ? '' : `. ${panel.notes}`}` },
			...panel.edges.map(({ what, id, evidence, note }) => row(what ?? id, 'line', evidence, note)),
			...panel.stripes.map(({ what, id, bands, evidence, note }) => {
				const paints = [...new Set(bands.flatMap((band) => ('paint' in band ? [paintOf(band.paint)] : [])))]
				return row(what ?? id, `stripe: ${paints.join(', ')}`, evidence, note)
			}),
			...panel.fields.map(({ what, id, paint, evidence, note }) =>
				row(what ?? id, `colour field: ${paintOf(paint)}`, evidence, note),
			),
		]
	})
	const columns = [
		{ title: 'what', part: 40 },
		{ title: 'shows', part: 46 },
		{ title: 'known from', part: 56 },
		{ title: 'note', part: 44 },
	]
	return tableFlow({ title: 'What was found', columns, rows, rowMm: 5.4 })
}

const clearsOf = ({ paintwork, result }: PaintworkPrint) =>
	[...paintwork.clears].map(([id, { plan }]) => ({ title: result.panels.find((panel) => panel.id === id)?.title ?? id, plan }))

const countWords = ({ films }: ClearPlan): string =>
	films
		.map(({ where, coats }) => {
			const at =
				where === 'below-decals'
					? ' below decals'
					: where === 'over-decals'
						? ' over decals'
						: films.length > 1
							? ' elsewhere'
							: ''
			return `${coats}${at}`
		})
		.join(', ')

/** Clear panel by panel: what is planned, and room for what the owner wants instead. */
function clearFlow(print: PaintworkPrint): Flow {
	const rows = clearsOf(print).map(({ title, plan }): readonly Cell[] => {
		const left = plan.films.find(({ where }) => where === 'elsewhere') ?? plan.films[0]
		const decided = plan.decided
		return [
			{ text: title, bold: true },
			{ text: plan.system.name },
			{ text: `${countWords(plan)}${plan.asked ? '' : '*'}` },
			{ text: left ? filmWords(left.filmUm) : '' },
			decided ? { text: [decided.by, decided.on].filter((each) => each !== undefined).join(', ') } : {},
			{},
		]
	})
	const columns = [
		{ title: 'panel', part: 38 },
		{ title: 'clear', part: 32 },
		{ title: 'coats (* usual, not yet chosen)', part: 66 },
		{ title: 'left after polishing', part: 28 },
		{ title: 'chosen by', part: 22 },
		{ title: 'wanted instead', part: 24 },
	]
	return tableFlow({ title: 'Clear', columns, rows, together: rows.length < 10 })
}

/** What either choice means. */
function decalFlow(widthMm: number): Flow {
	const lines = (way: 'under' | 'over') => DECAL_CHOICE[way].map(({ sentence }) => sentence).join(' ')
	return headed(
		'Decals under or over the clear: your choice, panel by panel',
		undefined,
		[`Under the clear: ${lines('under')}`, `Over the clear: ${lines('over')}`],
		widthMm,
	)
}

function choiceFlow(print: PaintworkPrint): Flow {
	const rows = clearsOf(print).map(({ title, plan }): readonly Cell[] => [
		{ text: title, bold: true },
		...(['under', 'over'] as const).map((way): Cell => (plan.decals === way ? { text: 'chosen', bold: true } : {})),
		{},
		{},
	])
	const columns = [
		{ title: 'panel', part: 50 },
		{ title: 'decals under clear', part: 32 },
		{ title: 'decals over clear', part: 32 },
		{ title: 'no decals', part: 24 },
		{ title: 'initials', part: 30 },
	]
	return tableFlow({ title: 'Choices', columns, rows, together: rows.length < 10 })
}

function signFlow(): Flow {
	const rows = ['Owner', 'Painter'].map((who): readonly Cell[] => [{ text: who, bold: true }, {}, {}, {}])
	const columns = [
		{ title: 'agreed as above', part: 36 },
		{ title: 'name', part: 56 },
		{ title: 'signature', part: 64 },
		{ title: 'date', part: 30 },
	]
	return tableFlow({ title: 'Signatures', columns, rows, together: true })
}
