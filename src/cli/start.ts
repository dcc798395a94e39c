/** `stripewright new`: a job to go on from, from a starter or from a table of readings. */
import { basename, join, resolve } from 'node:path'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import { readText } from '../files/readText.ts'
import { type Starter, starters, starterText } from '../files/starters.ts'
import { crossCheck } from '../job/crossCheck.ts'
import { readCsv } from '../job/csv.ts'
import { loadJob } from '../job/load.ts'
import { nearest } from '../job/nearest.ts'
import type { Problem } from '../job/problem.ts'
import { withLines } from '../job/source.ts'
import { jobFromCsv } from '../job/starter.ts'
import type { Unit } from '../units/length.ts'
import type { Answer } from './answer.ts'
import type { World } from './world.ts'

export interface StartOptions {
	readonly from?: string
	readonly title?: string
	readonly unit?: Unit
}

const command = 'new'
const JOB = 'job.jsonc'

/** The names that follow `new`: a starter and a folder, or with --from the folder alone. */
export async function start(world: World, names: readonly string[], options: StartOptions): Promise<Answer> {
	if (options.from !== undefined) return fromTable(world, names, options.from, options)
	const known = await starters(world.disk)
	const [name, folder] = names
	if (name === undefined) return { command, problems: [], text: listing(known), data: { starters: known } }
	if (options.title !== undefined || options.unit !== undefined) {
		const found = 'a title or a unit for a starter, which has its own'
		return misuse(
			'NOT_FOR_STARTERS',
			found,
			'--title and --unit beside --from',
			'leave them out, and change them in the job file',
		)
	}
	if (!known.some((starter) => starter.name === name)) return unknownStarter(name, known)
	if (folder === undefined) {
		const fix = `write the folder for the new job: stripewright new ${name} my-job`
		return misuse('FOLDER_MISSING', 'a starter and no folder', 'a folder for the new job', fix)
	}
	return write(world, folder, await starterText(world.disk, name), [])
}

/** Fractions (1 3/4) and inch marks: nobody measures millimetres so. */
const INCHES = /\d\s*\/\s*\d|["\u2033]\s*(?:[;,\n]|$)/

async function fromTable(world: World, names: readonly string[], from: string, options: StartOptions): Promise<Answer> {
	const [folder, more] = names
	if (folder === undefined || more !== undefined) {
		const found = folder === undefined ? 'a table and no folder' : 'more than one name beside --from'
		const fix = `write the table and the folder: stripewright new --from ${from} my-job`
		return misuse('FOLDER_MISSING', found, 'one folder for the new job', fix)
	}
	const read = await readText(world.disk, from, { from: world.folder, oldEncodings: true })
	if (read.value === undefined) return { command, problems: read.problems, misuse: true }
	if (options.unit === undefined && INCHES.test(read.value)) {
		const fix = 'say which: add --unit in (or --unit mm)'
		return misuse('UNIT_NOT_SAID', 'fractions or inch marks in the table, and no unit said', 'the unit of the table', fix, from)
	}
	const table = readCsv(read.value, { unit: options.unit ?? 'mm', file: from, begin: true })
	// A table is mended in the spreadsheet it came from: a job of half of it would only be in the way of the next try.
	if (!table.value || table.problems.some(({ severity }) => severity === 'error')) {
		const fix = 'mend the rows in the table and give the command again'
		const none = {
			code: 'NOTHING_WRITTEN',
			severity: 'error',
			path: '',
			found: 'rows that cannot be read, so no job was written',
			expected: 'a table whose rows can all be read',
			fix,
		} as const
		return { command, problems: [...table.problems, none] }
	}
	const title = options.title ?? titleOf(resolve(world.folder, folder))
	return write(world, folder, jobFromCsv({ title, table: table.value }), table.problems)
}

/** job.jsonc in its folder, never over another; nothing is left where it cannot be written whole. */
async function write({ disk, folder: from }: World, folder: string, text: string, problems: readonly Problem[]): Promise<Answer> {
	const said = join(folder, JOB)
	const path = resolve(from, said)
	let began = false
	let made = false
	try {
		if ((await disk.kind(path)) !== 'none') {
			const fix = 'choose another folder, or move that job away'
			return misuse('FILE_IN_THE_WAY', `${said} is there already`, 'a folder without a job', fix, said)
		}
		made = (await disk.kind(resolve(from, folder))) === 'none'
		await disk.makeFolder(resolve(from, folder))
		began = true
		await disk.writeNew(path, new TextEncoder().encode(text))
		await disk.syncFolder(resolve(from, folder))
	} catch (error) {
		if (!isDiskError(error)) throw error
		const taken = error.code === 'EEXIST'
		if (began && !taken) await disk.removeFile(path).catch(() => {})
		if (made && !taken) await disk.removeFolder(resolve(from, folder)).catch(() => {})
		return { command, problems: [diskProblem(error, said)], misuse: taken }
	}
	const job = loadJob(text, said)
	const found = job.value ? withLines(crossCheck(job.value.job), job.value.source) : []
	return {
		command,
		problems: [...problems, ...job.problems, ...found],
		text: `${said} is ready. Open it in an editor; its remarks lead through it. Then:\n  stripewright check ${folder}\n  stripewright make ${folder}\n`,
		data: { file: said },
	}
}

function listing(known: readonly Starter[]): string {
	const widest = Math.max(...known.map(({ name }) => name.length), 0)
	const lines = known.map(({ name, about }) => `  ${name.padEnd(widest)}   ${about}`)
	return `Starters:\n${lines.join('\n')}\n\nTake one with:         stripewright new STARTER FOLDER\nOr begin with a table:  stripewright new --from readings.csv FOLDER\n`
}

function unknownStarter(name: string, known: readonly Starter[]): Answer {
	const names = known.map((starter) => starter.name)
	const near = nearest(name, names)
	const fix = near ? `write ${near} if that is meant` : 'list them with: stripewright new'
	return misuse('UNKNOWN_STARTER', `a starter called ${JSON.stringify(name)}`, `one of ${names.join(', ')}`, fix)
}

function misuse(code: string, found: string, expected: string, fix: string, file?: string): Answer {
	return {
		command,
		misuse: true,
		problems: [{ code, severity: 'error', path: '', ...(file ? { file } : {}), found, expected, fix }],
	}
}

/** "my-mudguard" as a title. */
function titleOf(folder: string): string {
	const words = basename(folder).replace(/[-_]+/g, ' ').trim()
	return words === '' ? 'New job' : words.slice(0, 1).toUpperCase() + words.slice(1)
}
