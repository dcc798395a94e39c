/** What a schema cannot say of a job: names that must exist and be unique, sides and hands that must fit. Pure data, no geometry. */
import { checkLines } from './checkLines.ts'
import { checkReadings } from './checkReadings.ts'
import { type Findings, find, listedFindings, noFindings } from './findings.ts'
import { marksOf } from './marks.ts'
import { nearest } from './nearest.ts'
import type { Problem } from './problem.ts'
import { listedShort, quoteValue } from './say.ts'
import type { Job } from './schema.ts'
import type { Shop } from './shop.ts'
import { defaultShop } from './shopDefaults.ts'

/**
 * Problems of a job that its schema took, each with its path (lines: `withLines`). None where the job holds together. The
 * instruments that readings name are looked for in `shop`.
 */
export function crossCheck(job: Job, shop: Shop = defaultShop()): Problem[] {
	const findings = noFindings()
	checkUnique(findings, job.paints, '/paints', 'paint')
	checkUnique(findings, job.panels, '/panels', 'panel')
	const paints = job.paints.map(({ id }) => id)
	const instruments = shop.instruments.map(({ id }) => id)
	for (const [index, panel] of job.panels.entries()) {
		const path = `/panels/${index}`
		const marks = marksOf(panel)
		checkReadings(findings, { panel, path, instruments })
		checkLines(findings, { panel, path, marks, paints })
	}
	return listedFindings(findings)
}

/** Two things of one kind may not have one name. */
export function checkUnique(
	findings: Findings,
	things: readonly { readonly id: string }[],
	path: string,
	kind: string,
	panel?: string,
): void {
	const first = new Map<string, number>()
	for (const [index, { id }] of things.entries()) {
		const before = first.get(id)
		if (before === undefined) {
			first.set(id, index)
			continue
		}
		find(findings, () => ({
			code: 'NAME_TWICE',
			path: `${path}/${index}/id`,
			...(panel ? { place: { panel } } : {}),
			found: `a second ${kind} called "${id}" (the first is item ${before + 1})`,
			expected: `each ${kind} with a name of its own`,
			fix: 'Give one of the two another name.',
		}))
	}
}

export interface Unknown {
	/** MARK, PAINT, ... */
	readonly kind: string
	readonly name: string
	readonly known: readonly string[]
	readonly path: string
	readonly panel?: string
	/** where such a thing would come from */
	readonly otherwise: string
}

/** A name that stands for nothing. */
export function unknownName(findings: Findings, { kind, name, known, path, panel, otherwise }: Unknown): void {
	find(findings, () => {
		const near = nearest(name, known)
		const word = kind.toLowerCase()
		return {
			code: `UNKNOWN_${kind}`,
			path,
			...(panel ? { place: { panel } } : {}),
			found: `${quoteValue(name)}, which is no ${word} here`,
			expected: known.length > 0 ? `one of ${listedShort(known)}` : `a ${word}, but there is none yet`,
			fix: near ? `Write "${near}", or ${otherwise}.` : `${otherwise[0]!.toUpperCase()}${otherwise.slice(1)}.`,
		}
	})
}
