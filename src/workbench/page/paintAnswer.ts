/** Tape and paint for the page, in the thread beside: worked out when it is asked for, and kept for the pictures of it. */
import { type Cache, cached, keyOf } from '../../engine/cache.ts'
import { compute } from '../../engine/compute.ts'
import { placeProblems } from '../../job/placeProblems.ts'
import type { PaintworkPrint } from '../../report/paintworkPrint.ts'
import { paintPicture } from '../paintPictures.ts'
import { paintworkView } from '../paintworkView.ts'
import type { PaperAnswer, PaperAsk } from './messages.ts'
import type { ReadTexts } from './readTexts.ts'

type Want = Extract<PaperAsk['want'], { readonly what: 'paintwork' | 'picture' }>

export function paintAnswer(texts: ReadTexts, want: Want, cache: Cache): Omit<PaperAnswer, 'id'> {
	const { job, shop, source, shopSource } = texts
	const result = compute(job, shop, { cache, until: 'pieces', paintwork: true })
	const { paintwork } = result
	// a fault of our own is told of
	const faults = result.problems.filter(({ code, path }) => code === 'INTERNAL_FAULT' && path === '/paintwork')
	if (!paintwork) return { problems: placeProblems(faults, { job: source, shop: shopSource }) }
	const numbers = new Map(result.panels.flatMap(({ pieces = [] }) => pieces.map(({ id, number }) => [id, number] as const)))
	const print: PaintworkPrint = {
		...{ result, shop, paintwork },
		pieceOf: (mask) => numbers.get(`${mask}/piece`),
	}
	if (want.what === 'picture') {
		// what was done, and when, is on no picture
		const { done: _, log: __, ...planned } = job.paintwork ?? {}
		const key = keyOf('picture', { ...job, paintwork: planned }, shop, want.of)
		const picture = cached(cache, key, () => paintPicture(print, want.of))
		return { problems: [], ...(picture === undefined ? {} : { picture }) }
	}
	const view = paintworkView(print)
	return { paintwork: view, problems: placeProblems(view.problems, { job: source, shop: shopSource }) }
}
