/** Paints by name wherever the job speaks of them: what goes over what, orders, laps, records. */
import { type Findings, find, unknownName } from './findings.ts'
import { quoteValue } from './say.ts'
import type { Job } from './schema.ts'

export function checkPaintwork(findings: Findings, job: Job): void {
	const paints = new Set(job.paints.map(({ id }) => id))
	const named = (name: string | undefined, path: string, panel?: string) => {
		if (name === undefined || paints.has(name)) return
		const otherwise = 'add it to the paints of the job'
		unknownName(findings, { kind: 'PAINT', name, known: paints, path, otherwise, ...(panel ? { panel } : {}) })
	}
	for (const [i, { sprayed }] of job.paints.entries()) named(sprayed?.over, `/paints/${i}/sprayed/over`)
	checkOver(findings, job)
	for (const [i, { clear, id }] of job.panels.entries()) named(clear?.paint, `/panels/${i}/clear/paint`, id)
	const work = job.paintwork
	if (!work) return
	for (const [i, paint] of (work.order ?? []).entries()) {
		named(paint, `/paintwork/order/${i}`)
		if (work.order?.indexOf(paint) === i) continue
		find(findings, () => ({
			...{ code: 'NAME_TWICE', path: `/paintwork/order/${i}`, found: `${quoteValue(paint)} a second time` },
			...{ expected: 'each paint once in the order', fix: 'Take one of the two away.' },
		}))
	}
	for (const [i, { paint, after }] of (work.after ?? []).entries()) {
		named(paint, `/paintwork/after/${i}/paint`)
		for (const [k, each] of after.entries()) named(each, `/paintwork/after/${i}/after/${k}`)
	}
	for (const [i, { under, over }] of (work.underlaps ?? []).entries()) {
		named(under, `/paintwork/underlaps/${i}/under`)
		named(over, `/paintwork/underlaps/${i}/over`)
	}
	const panels = new Set(job.panels.map(({ id }) => id))
	for (const [i, { paint }] of (work.sprayOut ?? []).entries()) named(paint, `/paintwork/sprayOut/${i}/paint`)
	for (const [i, { paint, panel }] of (work.log ?? []).entries()) {
		named(paint, `/paintwork/log/${i}/paint`)
		if (panel === undefined || panels.has(panel)) continue
		const otherwise = 'add it to the panels of the job'
		unknownName(findings, { kind: 'PANEL', name: panel, known: panels, path: `/paintwork/log/${i}/panel`, otherwise })
	}
}

/** A paint that in the end goes over itself has no place in any order. */
function checkOver(findings: Findings, { paints }: Job): void {
	const over = new Map(paints.map(({ id, sprayed }) => [id, sprayed?.over]))
	for (const [i, { id }] of paints.entries()) {
		const seen = [id]
		for (let below = over.get(id); below !== undefined && !seen.slice(1).includes(below); below = over.get(below)) {
			seen.push(below)
			if (below === id) break
		}
		if (seen.length < 2 || seen[seen.length - 1] !== id) continue
		find(findings, () => ({
			...{ code: 'PAINT_OVER_ITSELF', path: `/paints/${i}/sprayed/over`, found: seen.join(' over ') },
			...{ expected: 'a ground coat at the bottom that goes over nothing', fix: `Take "over" away from one of them.` },
		}))
	}
}
