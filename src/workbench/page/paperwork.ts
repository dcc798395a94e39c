/** What is asked of a job on paper: its sheets as they lie, a file to be downloaded, a filled table to be entered. */
import type { Cache } from '../../engine/cache.ts'
import { enterTable, unitSaid } from '../../job/enterTable.ts'
import { placeProblems } from '../../job/placeProblems.ts'
import type { Problem } from '../../job/problem.ts'
import { readSource, withLines } from '../../job/source.ts'
import { withUnit } from '../changeUnit.ts'
import { floorOf, stockOf } from '../floorView.ts'
import { makeFile, resultOf, type ToPrint } from '../prints.ts'
import type { EnterWanted, PaperAnswer, PaperAsk } from './messages.ts'
import { readTexts } from './readTexts.ts'
import { VERSION } from './version.ts'

export async function paperwork(ask: PaperAsk, cache: Cache): Promise<PaperAnswer> {
	const { id, want } = ask
	if (want.what === 'enter') return { id, ...entered(ask.job, want) }
	if (want.what === 'unit') {
		const rewritten = withUnit(ask.job, want.unit)
		return { id, problems: [], ...(rewritten === undefined ? {} : { rewritten }) }
	}
	if (want.what === 'drawing') {
		const { drawingAnswer } = await import('./drawingAnswer.ts')
		return { id, ...drawingAnswer(want) }
	}
	const { value: texts, problems } = await readTexts(ask)
	// Paper of another scale than the shop's printer needs would be laid as if it were true.
	if (!texts || texts.shopUnread) return { id, problems }
	if (want.what === 'paintwork' || want.what === 'picture') {
		const { paintAnswer } = await import('./paintAnswer.ts')
		return { id, ...paintAnswer(texts, want, cache) }
	}
	const { job, shop, source, shopSource, early, beside } = texts
	const read = [...early, ...withLines(beside, source)]
	const { paper, printer, only, mirrored, film } = want
	const typed = paper !== undefined || printer !== undefined
	const placed = (all: readonly Problem[]) => placeProblems(all, { job: source, shop: typed ? undefined : shopSource })
	const to: ToPrint = {
		...{ job, shop, cache, problems: read, folder: want.folder, placed },
		...{ ...(paper === undefined ? {} : { paper }), ...(printer === undefined ? {} : { printer }) },
		...(only === undefined ? {} : { only }),
		...(mirrored ? { mirrored } : {}),
		...(film ? { film } : {}),
	}
	if (want.what === 'file') {
		const { value: file, problems: wrong } = await makeFile(want.file, to, { fonts: await fonts(), version: VERSION })
		return { id, ...(file ? { file } : {}), problems: wrong }
	}
	const result = resultOf(to, { version: VERSION }, mirrored ? { mirrored } : {})
	const errors = result.problems.filter(({ severity }) => severity === 'error')
	return { id, floor: floorOf(result, paper ?? shop.paper), stock: stockOf(shop), problems: placed(errors) }
}

/** The two that are printed with, from where the page has them. */
let known: Promise<{ readonly regular: Uint8Array; readonly bold: Uint8Array }> | undefined

function fonts() {
	known ??= Promise.all(
		['BarlowSemiCondensed_400Regular.ttf', 'BarlowSemiCondensed_600SemiBold.ttf'].map(async (name) => {
			const reply = await fetch(`/fonts/${name}`)
			if (!reply.ok) throw new Error(`the font ${name} cannot be read (${reply.status})`)
			return new Uint8Array(await reply.arrayBuffer())
		}),
	).then(([regular, bold]) => ({ regular: regular as Uint8Array, bold: bold as Uint8Array }))
	// asked again after a failure
	known.catch(() => {
		known = undefined
	})
	return known
}

/** Rows that do not fit are left out and listed. */
function entered(text: string, { table, file, panel, unit }: EnterWanted): Omit<PaperAnswer, 'id'> {
	const source = readSource(text)
	const own = source.value && unitSaid(source.value)
	if (!source.value || own?.value === undefined) return { problems: own?.problems ?? source.problems }
	const options = { file, ...(panel === undefined ? {} : { panel }), ...(unit === undefined ? {} : { unit }) }
	const { value, problems } = enterTable(source.value, own.value, table, options)
	return { ...(value ? { entered: value } : {}), problems }
}
