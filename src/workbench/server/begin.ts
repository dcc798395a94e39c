/** A new job of the folder: from a starter, from a table of readings, or from three answers. Never over one that is there. */
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import { z } from 'zod'
import type { Disk } from '../../files/disk.ts'
import { starters, starterText } from '../../files/starters.ts'
import { jobFromAnswers } from '../../job/answers.ts'
import { readCsv } from '../../job/csv.ts'
import { bareFraction } from '../../job/enterTable.ts'
import { jobFromCsv } from '../../job/starter.ts'
import { sayProblems } from '../../report/problems.ts'
import type { Starter } from '../wire.ts'

const words = z.string().trim().min(1).max(200)
const unit = z.enum(['mm', 'in'])
const asked = z.discriminatedUnion('from', [
	z.strictObject({ from: z.literal('starter'), starter: words, name: words }),
	z.strictObject({ from: z.literal('table'), csv: z.string(), unit, name: words }),
	z.strictObject({
		from: z.literal('answers'),
		title: words,
		panel: words,
		hand: z.enum(['centre', 'pair', 'left', 'right']),
		hook: words,
		unit,
		name: words,
	}),
])
type Asked = z.output<typeof asked>

/** What a folder may be called on any computer. */
const SAFE = /^[\p{L}\p{N}][\p{L}\p{N} _-]{0,58}$/u
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)$/i

export type Begun = { readonly name: string } | { readonly status: 400 | 404 | 409 | 422; readonly why: string }

/** Throws what the disk says. */
export async function beginJob(disk: Disk, root: string, body: unknown): Promise<Begun> {
	const read = asked.safeParse(body)
	if (!read.success) {
		const { path = [], message = '' } = read.error.issues[0] ?? {}
		return { status: 400, why: `What was asked for is not complete: ${path.map(String).join('.')} (${message})` }
	}
	const beginning = read.data
	const name = beginning.name.normalize('NFC')
	if (!SAFE.test(name) || RESERVED.test(name)) {
		return { status: 400, why: `A job cannot be called ${JSON.stringify(name)}: use letters, figures, hyphens and spaces.` }
	}
	const text = await textOf(disk, beginning)
	if (typeof text !== 'string') return text
	const taken = { status: 409, why: `There is already something called ${name} in this folder: choose another name.` } as const
	if ((await disk.kind(join(root, name))) !== 'none') return taken
	return (await putFolder(disk, root, name, text)) ? { name } : taken
}

async function textOf(disk: Disk, beginning: Asked): Promise<string | Exclude<Begun, { name: string }>> {
	if (beginning.from === 'answers') return jobFromAnswers(beginning)
	if (beginning.from === 'starter') {
		const known = await starters(disk)
		if (known.some(({ name }) => name === beginning.starter)) return starterText(disk, beginning.starter)
		return { status: 404, why: `There is no starter called ${JSON.stringify(beginning.starter)}.` }
	}
	const table = readCsv(beginning.csv, { unit: beginning.unit, begin: true })
	const fraction = table.value && beginning.unit === 'mm' ? bareFraction(table.value) : undefined
	const wrong = [
		...table.problems.filter(({ severity }) => severity === 'error'),
		...(fraction ? [{ ...fraction, fix: INCHES }] : []),
	]
	if (!table.value || wrong.length > 0) return { status: 422, why: `${sayProblems(wrong, beginning.unit)}\n\n${MEND}` }
	if (table.value.readings.length === 0) return { status: 422, why: NO_FIGURES }
	return jobFromCsv({ title: titled(beginning.name), table: table.value })
}

const INCHES = 'say that your tape is in inches, or write the unit with the figure: "1 3/4 in"'
const MEND = 'No job was begun: mend these rows in the table, save it as CSV and open it again.'
const NO_FIGURES = 'No row of this table has a figure yet: type in what was measured, save it as CSV, and open it again.'

let begun = 0

/** Whole or not at all: made under a hidden name, then renamed. False where the name was taken meanwhile. */
async function putFolder(disk: Disk, root: string, name: string, text: string): Promise<boolean> {
	const hidden = join(root, `.${name}.stripewright-new-${process.pid}-${++begun}`)
	await disk.removeTree(hidden)
	try {
		await disk.makeFolder(hidden)
		await disk.writeNew(join(hidden, 'job.jsonc'), new TextEncoder().encode(text))
		await disk.rename(hidden, join(root, name))
	} catch (error) {
		await disk.removeTree(hidden)
		if (['ENOTEMPTY', 'EEXIST', 'ENOTDIR'].includes((error as NodeJS.ErrnoException).code ?? '')) return false
		throw error
	}
	await disk.syncFolder(root)
	return true
}

/** "my-mudguard" as a title. */
const titled = (name: string) => {
	const spaced = name.replace(/[-_]+/g, ' ').trim()
	return spaced.slice(0, 1).toUpperCase() + spaced.slice(1)
}

/** The starters with the titles of their jobs. */
export async function listStarters(disk: Disk): Promise<readonly Starter[]> {
	return Promise.all(
		(await starters(disk)).map(async ({ name, about }) => {
			const { title } = (parse(await starterText(disk, name)) ?? {}) as { readonly title?: unknown }
			return { name, about, title: typeof title === 'string' ? title : titled(name) }
		}),
	)
}
