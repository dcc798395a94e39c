/** The engine's thread: one question after another, each answer with the number of its question. */
import type { Cache } from '../../engine/cache.ts'
import { compute, type Result } from '../../engine/compute.ts'
import { readyOf } from '../../engine/ready.ts'
import { placeProblems } from '../../job/placeProblems.ts'
import { readyWords } from '../../report/readyWords.ts'
import { viewOf } from '../view.ts'
import type { Answer, Ask, PaperAnswer, PaperAsk, ReadyAnswer } from './messages.ts'
import { readTexts } from './readTexts.ts'

const cache: Cache = new Map()

/** One is answered before the next is begun. */
let last: Promise<unknown> = Promise.resolve()

self.onmessage = ({ data }: MessageEvent<Ask | PaperAsk>) => {
	clearTimeout(resting)
	last = last.then(async () => {
		try {
			self.postMessage('want' in data ? await paperAnswer(data) : await answer(data))
		} catch (fault) {
			const said = fault instanceof Error ? fault.message : String(fault)
			self.postMessage({ id: data.id, problems: [], fault: said } satisfies Answer & PaperAnswer)
		}
	})
}

async function answer(ask: Ask): Promise<Answer> {
	const { id } = ask
	const { value: texts, problems } = await readTexts(ask)
	if (!texts) return { id, problems }
	const { job, shop, source, shopSource, early, beside } = texts
	const result = compute(job, shop, { cache, until: ask.stations ? 'stations' : 'scheme' })
	whenItRests(id, result, ask.looked ?? job.panels[0]?.id)
	const view = viewOf(result, ask.looked ?? job.panels[0]?.id, shop.tolerances)
	return { id, view, problems: [...early, ...placeProblems([...beside, ...view.problems], { job: source, shop: shopSource })] }
}

/** A pause so long, ms, is no pause between two keys. */
const REST_MS = 200
let resting: ReturnType<typeof setTimeout> | undefined

/** What to measure next takes as long as all else together: it follows when nobody types. */
function whenItRests(id: number, { panels, job }: Result, looked: string | undefined): void {
	const panel = panels.find((each) => each.id === looked)
	if (!panel) return
	resting = setTimeout(() => {
		const shownBy = Object.fromEntries((readyOf(panel)?.marks ?? []).map(({ key, shownBy: by }) => [key, by]))
		self.postMessage({ id, ready: { panel: panel.id, shownBy, ...readyWords(panel, job.unit) } } satisfies ReadyAnswer)
	}, REST_MS)
}

/** What paper asks for is loaded when it is first wanted. */
async function paperAnswer(ask: PaperAsk): Promise<PaperAnswer> {
	const { paperwork } = await import('./paperwork.ts')
	return paperwork(ask, cache)
}
