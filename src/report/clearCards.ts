/** The card for the wall after the last colour: one for each panel, its clear and its decals session by session. */
import { SPRAY_CAUTION } from './cautions.ts'
import { clearStepsOf, clearTitle, clearWords } from './clearWords.ts'
import { type Cell, tableFlow } from './measuringSheetTable.ts'
import type { PaintworkPrint } from './paintworkPrint.ts'
import { ASSUMED_NOTE } from './sprayWords.ts'
import { headed, noteBlock, type Section } from './writtenPages.ts'

export function clearCards(print: PaintworkPrint, widthMm: number): readonly Section[] {
	const all = clearStepsOf(print)
	return [...new Set(all.map(({ panel }) => panel))].map((panel): Section => {
		const steps = all.filter((step) => step.panel === panel)
		const title = print.result.panels.find(({ id }) => id === panel)?.title ?? panel
		const sessions = [...new Set(steps.map(({ session }) => session))]
		const rows = sessions.flatMap((session): (readonly Cell[] | { group: string })[] => [
			{ group: sessionTitle(print, session) },
			...steps
				.filter((step) => step.session === session)
				.flatMap((step) => {
					const { sentence, rows: figures = [] } = clearWords(print, step)
					return [
						[{ text: sentence, bold: true }, {}, {}] as readonly Cell[],
						...figures.map(([what, figure]): readonly Cell[] => [{ text: `    ${what}: ${figure}` }, { text: '' }, { text: '' }]),
					]
				}),
		])
		const columns = [
			{ title: 'what', part: 140 },
			{ title: 'date', part: 26 },
			{ title: 'initials', part: 22 },
		]
		const caution = headed('', undefined, [SPRAY_CAUTION], widthMm)
		return {
			subject: `${title}, ${clearTitle(steps)}`,
			flows: [
				tableFlow({ title: 'After the last colour', columns, rows, rowMm: 6.4 }),
				{ blocks: [...caution.blocks, noteBlock([ASSUMED_NOTE], widthMm)] },
			],
		}
	})
}

function sessionTitle({ paintwork }: PaintworkPrint, session: number): string {
	const own = paintwork.sessions.find(({ number }) => number === session)
	return `Session ${session}: ${own?.system?.name ?? own?.paint ?? ''}`
}
