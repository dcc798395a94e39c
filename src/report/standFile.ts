/** The stand file: stage cards and check sheets as one page for a phone or a tablet at the stand, with no need of a network. */
import { sha256 } from '@noble/hashes/sha2.js'
import type { Drawing } from '../drawing/drawing.ts'
import { toSvg } from '../drawing/svg.ts'
import { checksFor } from '../engine/taped.ts'
import { type ClearStep, isClearStep, type Step } from '../plan/steps.ts'
import { girthFigure, lengthFigure } from '../template/measured.ts'
import { clearWords, titleOf } from './clearWords.ts'
import { type PaintworkPrint, type StageWork, stageWorks } from './paintworkPrint.ts'
import { legendBlock } from './stageLegend.ts'
import { pictureBlock } from './stagePicture.ts'
import { LARGE } from './stageView.ts'
import { STAND_SCRIPT } from './standScript.ts'
import { STAND_STYLE } from './standStyle.ts'
import { type StepWords, stepWords } from './stepWords.ts'

/** Read on a phone: numbers are large beside the panel. */
const WIDTH_MM = 150
const MOST_MM = 120

/** Text of an HTML file that asks for nothing else: styles, script and pictures are in it. */
export function standFile(print: PaintworkPrint): string {
	const { job, revision } = print.result
	const cards = [...sessionCards(print), ...checkCards(print)]
	const options = cards.map(({ id, title }) => `<option value="${escaped(id)}">${escaped(title)}</option>`)
	// Only this script runs, whatever a name in the job may say; nothing is fetched from anywhere.
	const policy = `default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-${base64(sha256(new TextEncoder().encode(STAND_SCRIPT)))}'`
	return `<!doctype html>
<html lang="en" data-job="${escaped(revision)}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(job.title)}: at the stand</title>
<style>${STAND_STYLE}</style>
</head>
<body>
<header>
<h1>${escaped(job.title)}</h1>
<p>job code ${escaped(revision)}, lengths in ${job.unit === 'mm' ? 'mm' : 'inches'}</p>
</header>
<main>
${cards.map(cardHtml).join('\n')}
</main>
<nav id="bar" aria-label="Steps" hidden>
<select id="jump" aria-label="Go to a card">${options.join('')}</select>
<p id="where" role="status"></p>
<button type="button" id="back">Back</button>
<button type="button" id="next">Next</button>
</nav>
<script>${STAND_SCRIPT}</script>
</body>
</html>
`
}

/** One thing to do, in words. */
type StandStep = Pick<StepWords, 'id' | 'sentence' | 'length' | 'rows' | 'note' | 'number'>

interface Card {
	readonly id: string
	readonly title: string
	readonly picture?: string
	/** what ids of runs on the picture begin with */
	readonly key?: string
	readonly steps: readonly StandStep[]
}

/** What is done at one time: a panel made ready, sprayed, its tape lifted. */
const PARTS = { ready: '', spray: ': spray', lift: ': lift' } as const
const partOf = ({ kind }: Step): keyof typeof PARTS =>
	kind === 'spray' || kind === 'clear' ? 'spray' : kind === 'uncover' || kind === 'lift' || kind === 'leave' ? 'lift' : 'ready'

/** The plan's own steps in its order, those of one panel at one time on a card. */
function sessionCards(print: PaintworkPrint): readonly Card[] {
	const works = new Map(stageWorks(print).map((of) => [`${of.work.prefix} ${of.stage.number}`, of]))
	const pictures = new Map([...works].map(([name, of]) => [name, toSvg(pictureOf(print, of))]))
	const cards = new Map<string, Card & { readonly steps: StepWords[] }>()
	for (const step of print.paintwork.steps) {
		if (isClearStep(step)) {
			const { id, title } = clearCard(print, step)
			const card = cards.get(id) ?? { id, title, steps: [] }
			card.steps.push(clearWords(print, step))
			cards.set(id, card)
			continue
		}
		const name = `${step.prefix} ${step.stage}`
		const of = works.get(name)
		if (!of) continue
		const part = partOf(step)
		const id = `card-${of.key}${part === 'ready' ? '' : `-${part}`}`
		const picture = pictures.get(name) as string
		// The runs of a picture have names: each name once on the page.
		const shown = part === 'ready' ? { picture, key: of.key } : { picture: picture.replace(/ id="[^"]*"/g, '') }
		const title = `${of.title}, session ${step.session}, ${of.paint.name}${PARTS[part]}`
		const card = cards.get(id) ?? { id, title, ...shown, steps: [] }
		card.steps.push(stepWords(print, of, step))
		cards.set(id, card)
	}
	return [...cards.values()]
}

function clearCard(print: PaintworkPrint, step: ClearStep): Pick<Card, 'id' | 'title'> {
	const part = partOf(step)
	const name = print.paintwork.systems.get(step.paint)?.name ?? step.paint
	return {
		id: `card-clear-${step.prefix.replaceAll('/', '-')}-${step.session}${part === 'ready' ? '' : `-${part}`}`,
		title: `${titleOf(print, step)}, session ${step.session}, ${name}${PARTS[part]}`,
	}
}

/** Every line of a panel as the check sheet has it, one at a time. */
function checkCards({ result }: PaintworkPrint): readonly Card[] {
	const { unit } = result.job
	return result.panels.flatMap((panel): Card[] => {
		const checks = checksFor(panel)
		if (checks.length === 0) return []
		const steps = checks.map(({ name, line, side, places }): StandStep => {
			const sided = panel.hand === 'centre' || panel.hand === 'pair' ? `, ${side}` : ''
			return {
				id: `${panel.id}/check/${line}/${side}`,
				sentence: `${name}${side === 'both' ? '' : sided}: girth at the edge of the tape, square off the baseline.`,
				rows: places.map(
					({ station, girth }) => [`at station ${girthFigure(station, unit)}`, lengthFigure(girth, unit)] as const,
				),
			}
		})
		return [{ id: `check-${panel.id}`, title: `Check sheet: ${panel.title}`, steps }]
	})
}

function pictureOf({ result, shop }: PaintworkPrint, of: StageWork): Drawing {
	const picture = pictureBlock(of, result, shop.tapes, { ...LARGE, textMm: 5, widthMm: WIDTH_MM, mostMm: MOST_MM })
	const legend = legendBlock([of], result.job.paints, shop.tapes, WIDTH_MM, 4.4)
	const heightMm = picture.heightMm + legend.heightMm + 4
	const at = (top: number) => ({ x: 2, top, widthMm: WIDTH_MM })
	return {
		widthMm: WIDTH_MM + 4,
		heightMm,
		title: `${of.title}: what is open, what is covered, and the runs of tape by number`,
		items: [...picture.draw(at(heightMm - 2)), ...legend.draw(at(heightMm - 2 - picture.heightMm))],
	}
}

function cardHtml({ id, title, picture, key, steps }: Card): string {
	const figure = picture === undefined ? '' : `<figure>${inline(picture)}</figure>\n`
	return `<section class="card" id="${escaped(id)}" aria-label="${escaped(title)}">
<h2>${escaped(title)}</h2>
${figure}<ol>
${steps.map((step) => stepHtml(step, key)).join('\n')}
</ol>
</section>`
}

function stepHtml({ id, sentence, length, rows, number, note }: StandStep, key: string | undefined): string {
	const shows = number === undefined || key === undefined ? '' : ` data-shows="${escaped(`${key}-run-${number}`)}"`
	const table = rows
		? `<table>${rows.map(([what, said]) => `<tr><th scope="row">${escaped(what)}</th><td>${escaped(said)}</td></tr>`).join('')}</table>\n`
		: ''
	return `<li class="step" data-step="${escaped(id)}"${shows}>
<p class="what">${number === undefined ? '' : `<strong>${number}</strong> `}${escaped(sentence)}</p>
${length === undefined ? '' : `<p class="length">${escaped(length)}</p>\n`}${table}${note === undefined ? '' : `<p class="note">${escaped(note)}</p>\n`}<label class="tick"><input type="checkbox"> done</label>
</li>`
}

/** As a part of a page: a picture with a name, which its title gives. */
const inline = (svg: string) => svg.trim().replace('<svg ', '<svg role="img" ')

const SIGNS: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }
const escaped = (text: string): string => text.replace(/[&<>"']/g, (sign) => SIGNS[sign] as string)

function base64(bytes: Uint8Array): string {
	return btoa(String.fromCharCode(...bytes))
}
