/** The job and the shop that a command names, from their files. */
import { basename, dirname, join, resolve } from 'node:path'
import { FONT_FILES } from '../artwork/lettering/fonts.ts'
import { artworkNeedsReading } from '../artwork/withArtwork.ts'
import type { Disk } from '../files/disk.ts'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import { fontFile } from '../files/package.ts'
import { readText } from '../files/readText.ts'
import { type LoadedJob, loadJob } from '../job/load.ts'
import { type LoadedShop, loadShop } from '../job/loadShop.ts'
import { nearest } from '../job/nearest.ts'
import { placeProblems } from '../job/placeProblems.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Shop } from '../job/shop.ts'
import { defaultShop } from '../job/shopDefaults.ts'
import { withLines } from '../job/source.ts'
import { jobNeedsReading } from '../panel/needsReading.ts'
import { findPaper } from '../sheet/paper.ts'
import type { World } from './world.ts'

export interface JobOptions {
	readonly shop?: string
	readonly paper?: string
	readonly printer?: string
}

export interface ReadJob {
	readonly loaded: LoadedJob
	readonly shop: Shop
	/** of both files */
	readonly problems: readonly Problem[]
	/** the job's file, as the person would name it */
	readonly file: string
	/** the same problems with files, lines and columns */
	placed(problems: readonly Problem[]): readonly Problem[]
}

export type JobAnswer =
	| { readonly kind: 'read'; readonly job: ReadJob }
	| { readonly kind: 'misuse' | 'problems'; readonly problems: readonly Problem[] }

const JOB_NAMES = ['job.jsonc', 'job.json']
const SHOP_NAMES = ['shop.jsonc', 'shop.json']

/** Reads the job that `said` names (a file, or a folder that holds job.jsonc), and the shop that goes with it. */
export async function readJob(world: World, said: string, options: JobOptions): Promise<JobAnswer> {
	const { disk, folder: from } = world
	const file = await jobFile(disk, from, said)
	if (!file.value) return { kind: 'misuse', problems: file.problems }
	const text = await readText(disk, file.value, { from })
	if (text.value === undefined) return { kind: 'misuse', problems: text.problems }

	const beside = dirname(file.value)
	const read = await readShop(world, [beside, join(beside, '..')], options.shop)
	if ('unread' in read) return { kind: 'misuse', problems: read.unread }
	const { shop } = read
	const job = loadJob(text.value, file.value)
	const problems = [...job.problems, ...(shop?.problems ?? [])]
	if (!job.value || (shop && !shop.value)) return { kind: 'problems', problems }
	const used = shop?.value?.shop ?? defaultShop()
	const unknown = unknownChoice(used, options)
	if (unknown) return { kind: 'misuse', problems: [unknown] }
	const scans = await readScans(disk, resolve(from, dirname(file.value)), job.value)
	const loaded = scans.loaded
	problems.push(...scans.problems)
	const typed = options.paper !== undefined || options.printer !== undefined
	const sources = { job: loaded.source, shop: typed ? undefined : shop?.value?.source }
	const placed = (list: readonly Problem[]) => placeProblems(list, sources)
	return { kind: 'read', job: { loaded, shop: used, problems, file: file.value, placed } }
}

/** Scans lie beside the job file. More bytes than this are no scan of a panel. */
const MOST_SCAN_BYTES = 1_500_000_000

/** A drawing of more is refused when it is read; so much is still fetched, so that it is named. */
const MOST_DRAWING_BYTES = 50_000_000

interface KindOfFile {
	readonly expected: string
	readonly what: string
	readonly most: number
	readonly smaller: string
}
const SCAN: KindOfFile = {
	expected: 'an STL, PLY or OBJ file beside the job file',
	what: 'scan',
	most: MOST_SCAN_BYTES,
	smaller: 'save the scan with fewer triangles',
}
const DRAWING: KindOfFile = {
	expected: 'an SVG file beside the job file',
	what: 'drawing',
	most: MOST_DRAWING_BYTES,
	smaller: 'leave out of the drawing what is not printed',
}

async function readScans(disk: Disk, folder: string, loaded: LoadedJob) {
	let { job } = loaded
	const problems: Problem[] = []
	const reader = (kind: KindOfFile) => (name: string, path: string) => fileBeside(disk, folder, name, path, kind)
	if (jobNeedsReading(job)) {
		const { withReadings } = await import('../panel/withReadings.ts')
		const scanned = await withReadings(job, reader(SCAN))
		job = scanned.job
		problems.push(...scanned.problems)
	}
	if (artworkNeedsReading(job)) {
		const { withArtwork } = await import('../artwork/withArtwork.ts')
		const drawn = await withArtwork(job, reader(DRAWING), async (font) => fontFile(FONT_FILES[font]))
		job = drawn.job
		problems.push(...drawn.problems)
	}
	return { loaded: { ...loaded, job }, problems: withLines(problems, loaded.source) }
}

async function fileBeside(
	disk: Disk,
	folder: string,
	name: string,
	path: string,
	{ expected, what, most, smaller }: KindOfFile,
): Promise<Outcome<Uint8Array>> {
	const refused = (code: string, found: string, fix: string): Outcome<Uint8Array> => ({
		problems: [{ code, severity: 'error', path, found, expected, fix }],
	})
	const file = resolve(folder, name)
	try {
		const kind = await disk.kind(file)
		if (kind === 'none') return refused('NO_SUCH_FILE', `no file ${name}`, `copy the ${what} there, or correct its name`)
		if (kind !== 'file') return refused('NOT_A_FILE', `${name}, which is no plain file`, `name the ${what} itself`)
		const size = await disk.size(file)
		const large = size > 1e9 ? `${(size / 1e9).toFixed(1)} GB` : `${(size / 1e6).toFixed(1)} MB`
		if (size > most) return refused('FILE_TOO_LARGE', `${name} with ${large}`, smaller)
		return { value: await disk.read(file), problems: [] }
	} catch (error) {
		if (!isDiskError(error)) throw error
		return { problems: [{ ...diskProblem(error, name), path }] }
	}
}

/** The shop file that was typed, or the first in these folders; `shop` is undefined where there is none, `unread` says why it is no text. */
export async function readShop(
	{ disk, folder: from }: World,
	folders: readonly string[],
	said: string | undefined,
): Promise<{ readonly shop: Outcome<LoadedShop> | undefined } | { readonly unread: readonly Problem[] }> {
	let file = said
	for (const folder of folders) file ??= await firstThere(disk, from, folder, SHOP_NAMES)
	if (file === undefined) return { shop: undefined }
	const text = await readText(disk, file, { from })
	return text.value === undefined ? { unread: text.problems } : { shop: loadShop(text.value, file) }
}

/** The job file that is meant: the one that was named, or the one in the folder that was. */
export async function jobFile(disk: Disk, from: string, said: string): Promise<Outcome<string>> {
	if ((await disk.kind(resolve(from, said))) !== 'folder') return { value: said, problems: [] }
	const inside = await firstThere(disk, from, said, JOB_NAMES)
	if (inside !== undefined) return { value: inside, problems: [] }
	const others = (await disk.list(resolve(from, said))).filter((name) => /\.jsonc?$/.test(name))
	const fix =
		others.length > 0
			? `name the file itself: ${listedShort(others.map((name) => join(said, name)))}`
			: 'start one with: stripewright new'
	return {
		problems: [
			{
				code: 'NO_JOB_HERE',
				severity: 'error',
				path: '',
				file: said,
				found: `${said} is a folder without a job.jsonc`,
				expected: 'a job file, or a folder that holds one',
				fix,
			},
		],
	}
}

async function firstThere(disk: Disk, from: string, folder: string, names: readonly string[]): Promise<string | undefined> {
	for (const name of names) if ((await disk.kind(resolve(from, folder, name))) === 'file') return join(folder, name)
	return undefined
}

/** A paper or printer that was typed and that there is none of. */
export function unknownChoice(shop: Shop, { paper, printer }: JobOptions): Problem | undefined {
	if (paper !== undefined) {
		const problem = findPaper(paper, shop.papers).problems[0]
		if (problem) return { ...problem, path: '' }
	}
	if (printer === undefined || shop.printers.some(({ id }) => id === printer)) return undefined
	const ids = shop.printers.map(({ id }) => id)
	const near = nearest(printer, ids)
	return {
		code: 'UNKNOWN_PRINTER',
		severity: 'error',
		path: '',
		found: `the printer ${JSON.stringify(printer)}`,
		expected: ids.length > 0 ? `one of ${ids.join(', ')}` : 'a printer that the shop file describes; it describes none',
		fix: near ? `write ${near} if that is meant` : 'describe it in the shop file, with its margins',
	}
}

/** Where `make` writes unless told: `out` beside a job.jsonc, `out-NAME` beside a job of another name. */
export function usualFolder(file: string): string {
	const name = basename(file).replace(/\.jsonc?$/, '')
	return join(dirname(file), name === 'job' ? 'out' : `out-${name}`)
}
