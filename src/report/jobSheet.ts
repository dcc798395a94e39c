/** The job sheet: every session with small pictures of its panels, in the order of the work, and why in that order. */
import type { Drawing } from '../drawing/drawing.ts'
import { plural } from '../job/say.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { clearDoing, clearStepsOf, PHASE, titleOf } from './clearWords.ts'
import { decalSidesSaid, decalsSaid } from './decalWords.ts'
import type { Flow } from './measuringSheetTable.ts'
import { type PaintworkPrint, type StageWork, sessionsOf, stageWorks } from './paintworkPrint.ts'
import { pictureRows } from './pictureRows.ts'
import { ASSUMED_NOTE, amountMarked, marked, mlWords } from './sprayWords.ts'
import { legendBlock } from './stageLegend.ts'
import { headed, noteBlock, writtenPages } from './writtenPages.ts'

const LEGEND_MM = 3.2

export function jobSheet(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const works = stageWorks(print)
	if (works.length === 0) return []
	const widthMm = paper.widthMm - margins.left - margins.right
	const sessions = sessionsOf(works).map((session) => {
		const [first] = session as [StageWork]
		const flow = headed(`Session ${first.stage.number}: ${first.paint.name}`, undefined, [sessionWords(print, session)], widthMm)
		const rows = pictureRows(session, print.result, print.shop.tapes, widthMm, captionOf)
		const lead = flow.blocks.map((block) => ({ ...block, withNext: true }))
		return { ...flow, blocks: [...lead, ...rows] }
	})
	const flows = [
		headed('The order of the paints', undefined, orderSentences(print), widthMm),
		{ blocks: [legendBlock(works, job.paints, print.shop.tapes, widthMm, LEGEND_MM), noteBlock([ASSUMED_NOTE, KEEP], widthMm)] },
		...sessions,
		...clearFlows(print, widthMm),
		...decalFlows(print, widthMm),
	]
	return writtenPages({ kind: 'Job sheet', job, revision, paper, margins }, [{ subject: 'taping and painting', flows }])
}

/** The sessions of clear and decals, in words. */
function clearFlows(print: PaintworkPrint, widthMm: number): readonly Flow[] {
	const steps = clearStepsOf(print)
	return print.paintwork.sessions.flatMap(({ number, paint, clear, panels, quantity, system }) => {
		if (!clear) return []
		const own = steps.filter(({ session }) => session === number)
		const titles = [...new Set(own.map((step) => titleOf(print, step)))]
		const mix = quantity
			? [
					`Mix ${system ? amountMarked(mlWords(quantity.ml), system) : mlWords(quantity.ml)}, ${plural(quantity.mlPerCoat.length, 'coat')}.`,
				]
			: []
		const done = [...new Set(own.map((step) => clearDoing(step)))]
		return headed(
			`Session ${number}: ${system?.name ?? paint}, ${PHASE[clear]}`,
			undefined,
			[`${plural(panels.length, 'panel')}: ${titles.join(', ')}. To do: ${done.join(', then ')}.`, ...mix],
			widthMm,
		)
	})
}

const sentence = (text: string) => `${text[0]?.toUpperCase()}${text.slice(1)}${text.endsWith('.') ? '' : '.'}`

/** Where each decal goes, and what it lies on. */
function decalFlows({ result }: PaintworkPrint, widthMm: number): readonly Flow[] {
	return result.panels.flatMap((panel) => {
		const said = decalsSaid(result, panel)
		if (said.length === 0) return []
		const words = said.map(({ name, side, lines }) => `${name}, ${side}: ${lines.map(({ text }) => sentence(text)).join(' ')}`)
		return [headed(`Decals: ${panel.title}`, undefined, [...words, ...decalSidesSaid(result, panel)], widthMm)]
	})
}

const KEEP =
	'Pictures are not to scale. Runs of tape are numbered as on the stage cards; where two cross, the one drawn on top lies on top.'

/** The order, why, and what others would cost. */
export function orderSentences({ paintwork, result }: PaintworkPrint): readonly string[] {
	const names = paintwork.order.map((id) => result.job.paints.find((paint) => paint.id === id)?.name ?? id)
	return [
		`${names.map((name, i) => `${i + 1} ${name}`).join(', ')}.`,
		paintwork.choice.chosen.why,
		...new Set(paintwork.choice.alternatives.map(({ why }) => `Or else: ${why}`)),
	]
}

function sessionWords({ paintwork, shop }: PaintworkPrint, session: readonly StageWork[]): string {
	const [first] = session as [StageWork]
	const { number, paint } = first.stage
	const system = paintwork.systems.get(paint)
	const quantity = paintwork.quantities.stages.find((each) => each.stage === number && each.paint === paint)
	const runs = session.reduce((sum, { tape }) => sum + tape.runs.filter(({ laid }) => laid === number).length, 0)
	const masks = session.reduce((sum, { tape }) => sum + tape.knives.filter(({ laid }) => laid === number).length, 0)
	const tape =
		runs + masks === 0
			? 'nothing to tape'
			: [plural(runs, 'run'), ...(masks > 0 ? [plural(masks, 'knife mask')] : [])].join(' and ')
	if (!system || !quantity) return `${plural(session.length, 'panel')}; ${tape} to lay.`
	const film = `${Math.round(system.totalUm)} um`
	const ml = mlWords(quantity.ml)
	const cups = `${plural(Math.max(...quantity.cupsPerCoat), 'cup')} of ${shop.spraying.cupMl} ml for each coat`
	return `${plural(session.length, 'panel')}; ${tape}${runs + masks > 0 ? ' to lay' : ''}; ${marked(plural(system.coats.value, 'coat'), system.coats)}, dry film ${marked(film, system.filmUm)}; mix ${amountMarked(ml, system)}, ${cups}.`
}

function captionOf({ title, tape, stage }: StageWork): string {
	const all = tape.runs.length + tape.knives.length
	const stay = [...tape.runs, ...tape.knives].filter(({ laid }) => laid < stage.number).length
	const what = all === 0 ? 'all open' : plural(all, 'run')
	return `${title}: ${what}${stay > 0 ? `, ${stay} of them on from before` : ''}`
}
