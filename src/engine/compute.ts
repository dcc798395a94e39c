import { type Artwork, artworkOf } from '../artwork/artwork.ts'
import { crossCheck } from '../job/crossCheck.ts'
import { nearest } from '../job/nearest.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { layoutSheets } from '../sheet/layout.ts'
import { layoutMirrored } from '../sheet/mirrored.ts'
import type { PlanCache } from '../sheet/plan.ts'
import type { Margins } from '../sheet/printer.ts'
import type { Sheets } from '../sheet/sheets.ts'
import type { Piece } from '../template/piece.ts'
import { type Cache, cached, keyOf, revisionOf } from './cache.ts'
import { type DecalGround, decalGrounds } from './decalGround.ts'
import { masksOf, tapedPieces } from './masks.ts'
import { type Paintwork, paintworkOf } from './paintwork.ts'
import { computePanel, type PanelResult, type PanelStage, TOLERANCE_MM } from './panel.ts'
import { type Seam, seamsOf } from './seams.ts'
import { type Ties, tiedPanels, tieSeams } from './tie.ts'

export type Stage = PanelStage | 'sheets'

export interface ComputeOptions {
	/** the last stage wanted; all of them by default */
	readonly until?: Stage
	/** answers of earlier runs; the caller keeps it */
	readonly cache?: Cache
	/** told of each panel as it is begun: 0 to 1 and what is being done */
	readonly progress?: (part: number, doing: string) => void
	/** told of each panel when it is done: what follows from it alone need not wait for the others and the sheets */
	readonly done?: (panel: PanelResult) => void
	/** in place of the shop's paper and printer */
	readonly paper?: string
	readonly printer?: string
	/** sheets for film that is applied face down */
	readonly mirrored?: boolean
	/** with the order of paints, tape, films, and knife masks among the pieces */
	readonly paintwork?: boolean
	/** strips and guides to hold against the old paint before it is stripped, in place of the templates */
	readonly proof?: boolean
	/** sheets of these panels alone, by id */
	readonly only?: readonly string[]
	/** printed on the sheets */
	readonly version?: string
}

export interface Result {
	/** short code of this job, printed on every sheet */
	readonly revision: string
	readonly job: Job
	readonly panels: readonly PanelResult[]
	/** what decals are, by name */
	readonly artwork?: ReadonlyMap<string, Artwork>
	/** where panels meet, if the job says so */
	readonly seams?: readonly Seam[]
	readonly paintwork?: Paintwork
	/** what decals lie on, once tape and paint are planned */
	readonly grounds?: readonly DecalGround[]
	readonly sheets?: Sheets
	/** decals at true size, for film: as they are seen, and mirrored for those that are laid face down */
	readonly decalSheets?: { readonly plain?: Sheets; readonly mirrored?: Sheets }
	readonly problems: readonly Problem[]
}

/** What the printer leaves blank where the shop does not say, mm (common practice, no source). */
const MARGIN_MM = 10

/**
 * The whole way from a job to its sheets: shape, survey, edges, scheme, pieces, sheets. Pure: no clock, no files, the same job
 * gives the same result. Never throws because of what the job says: a panel that fails leaves the others, and `problems` name
 * what is wrong, where, and what to do.
 */
export function compute(job: Job, shop: Shop, options: ComputeOptions = {}): Result {
	const until = options.until ?? 'sheets'
	const problems: Problem[] = [...crossCheck(job, shop)]
	const revision = revisionOf(job, shop)
	const atFault = (path: string, p: Problem) => p.severity === 'error' && (p.path === path || p.path.startsWith(`${path}/`))
	// A decal that does not hold together is left out; its panel is not.
	const wrong = (path: string) => problems.some((p) => atFault(path, p) && !p.path.startsWith(`${path}/decals/`))
	const leftOut = (index: number, decals: Panel['decals'] = []) =>
		decals.flatMap(({ id }, i) => (problems.some((p) => atFault(`/panels/${index}/decals/${i}`, p)) ? [id] : []))
	const panels: PanelResult[] = []
	const artwork = artworkUsed(job, options.cache)
	problems.push(...artwork.problems)
	const ties = tiesOf(job, shop, options, wrong)
	let number = 100
	job.panels.forEach((panel, index) => {
		options.progress?.(index / (job.panels.length + 1), panel.title ?? panel.id)
		// What does not hold together by name stops its panel and no other.
		if (wrong(`/panels/${index}`)) {
			panels.push(untouched(panel))
			number += 100
			return
		}
		const result = guarded(panel, index, () =>
			computePanel({
				job,
				shop,
				index,
				until: until === 'sheets' ? 'pieces' : until,
				firstNumber: number + 1,
				...given('artwork', artwork.value),
				leftOut: leftOut(index, panel.decals),
				...(options.proof ? { proof: true } : {}),
				...(ties.cache ? { cache: ties.cache } : {}),
				...given('tie', ties.value.panels.get(panel.id)),
			}),
		)
		panels.push(result)
		options.done?.(result)
		// The hundred of a piece's number tells its panel.
		number += 100 * Math.max(1, Math.ceil((result.pieces?.length ?? 0) / 99))
	})
	problems.push(...panels.flatMap((p) => p.problems), ...ties.value.problems)
	// Panels that have no lines yet, or failed, have no seams.
	const seams = guardedSeams(job, panels, ties.value)
	problems.push(...seams.problems)
	const paintwork = options.paintwork && !options.proof ? guardedPaintwork(job, shop, panels, options.cache) : undefined
	problems.push(...(paintwork?.problems ?? []))
	const ground = paintwork?.value && decalGrounds(panels, paintwork.value)
	problems.push(...(ground?.problems ?? []))
	const whole = paintwork?.value ? withMasks(panels, job, paintwork.value, options) : panels
	const made = {
		...{ revision, job, panels: whole },
		...given('artwork', artwork.value),
		...(seams.value.length > 0 ? { seams: seams.value } : {}),
		...given('paintwork', paintwork?.value),
		...(ground && ground.grounds.length > 0 ? { grounds: ground.grounds } : {}),
	}
	if (until !== 'sheets') return { ...made, problems }
	options.progress?.(job.panels.length / (job.panels.length + 1), 'sheets')
	const unknown = unknownPrinter(shop, options)
	if (unknown) return { ...made, problems: [...problems, unknown] }
	const { only } = options
	const pieces = whole.flatMap((p) => (only && !only.includes(p.id) ? [] : (p.pieces ?? [])))
	const errors = problems.filter(({ severity }) => severity === 'error').length
	const sheets = sheetsOf(
		pieces,
		errors === 0 ? titled(job.title, options) : stamped(titled(job.title, options), errors),
		job,
		shop,
		revision,
		options,
	)
	const decals = decalSheetsOf(whole, job, shop, revision, options)
	return {
		...made,
		...given('sheets', sheets.value),
		...given('decalSheets', decals.value),
		problems: [...problems, ...sheets.problems, ...decals.problems],
	}
}

/** What decals are, by name; what is wrong with one leaves the others. */
const artworkUsed = (job: Job, cache: Cache | undefined): ReturnType<typeof artworkOf> =>
	job.artwork ? cached(cache, keyOf('artwork', job.artwork), () => artworkOf(job)) : { problems: [] }

const NO_TIES: Ties = { panels: new Map(), meetings: [], problems: [] }

/**
 * Lines tied over seams follow from both panels: these are worked out as far as their lines first, and what was worked out is kept
 * for when they are gone through whole. Strips for the old paint show its lines as they were read.
 */
function tiesOf(job: Job, shop: Shop, { until, proof, cache }: ComputeOptions, wrong: (path: string) => boolean) {
	const tied = tiedPanels(job)
	if (tied.size === 0 || proof || until === 'shape' || until === 'survey') return { value: NO_TIES, cache }
	const kept: Cache = cache ?? new Map()
	const lines = job.panels.map((panel, index) =>
		tied.has(panel.id) && !wrong(`/panels/${index}`)
			? guarded(panel, index, () => computePanel({ job, shop, index, until: 'edges', firstNumber: 0, cache: kept }))
			: untouched(panel),
	)
	try {
		return { value: tieSeams(job, shop, lines, TOLERANCE_MM), cache: kept }
	} catch (fault) {
		const index = job.panels.findIndex(({ seams }) => seams?.some(({ tie }) => tie))
		const id = job.panels[index]?.id ?? ''
		const problem = ourFault(
			fault,
			id,
			`/panels/${index}/seams`,
			'no line is tied over a seam, and nothing else is touched by it',
		)
		return { value: { ...NO_TIES, problems: [problem] }, cache: kept }
	}
}

const given = <K extends string, T>(key: K, value: T | undefined) =>
	(value === undefined ? {} : { [key]: value }) as { readonly [k in K]?: T }

/** A fault of our own in one panel is told of and leaves the others. */
function guarded(panel: Panel, index: number, make: () => PanelResult): PanelResult {
	try {
		return make()
	} catch (fault) {
		return {
			...untouched(panel),
			problems: [ourFault(fault, panel.id, `/panels/${index}`, 'the other panels are not touched by it')],
		}
	}
}

/** As `guarded`, for the seams between panels. */
function guardedSeams(job: Job, panels: readonly PanelResult[], { meetings }: Ties): ReturnType<typeof seamsOf> {
	try {
		return seamsOf(job, panels, meetings)
	} catch (fault) {
		const index = panels.findIndex(({ panel }) => panel.seams)
		const id = panels[index]?.id ?? ''
		return { value: [], problems: [ourFault(fault, id, `/panels/${index}/seams`, 'the templates are not touched by it')] }
	}
}

/** As `guarded`, for tape and paint. */
function guardedPaintwork(job: Job, shop: Shop, panels: readonly PanelResult[], cache: Cache | undefined): Outcome<Paintwork> {
	try {
		const value = paintworkOf(job, shop, panels, cache)
		return value ? { value, problems: value.problems } : { problems: [] }
	} catch (fault) {
		const id = panels.find(({ schemes }) => schemes)?.id ?? ''
		return { problems: [ourFault(fault, id, '/paintwork', 'the templates are not touched by it')] }
	}
}

/** The panels with their runs of tape on their pieces, and their knife masks among these; `done` is told of the masks too. */
function withMasks(
	panels: readonly PanelResult[],
	job: Job,
	paintwork: Paintwork,
	options: ComputeOptions,
): readonly PanelResult[] {
	return panels.map((panel) => {
		if (!panel.pieces) return panel
		const masks = masksOf(panel, job, paintwork.panels)
		if (masks.length > 0) options.done?.({ ...panel, pieces: masks })
		return { ...panel, pieces: [...tapedPieces(panel, paintwork.panels, options.cache), ...masks] }
	})
}

const ourFault = (fault: unknown, panel: string, path: string, rest: string): Problem => ({
	code: 'INTERNAL_FAULT',
	severity: 'error',
	path,
	place: { panel },
	found: `a fault of this program while it worked on ${panel}: ${fault instanceof Error ? fault.message : String(fault)}`,
	expected: 'templates, or a problem that says what is wrong with the job',
	fix: `report it with the job file; ${rest}`,
})

const untouched = (panel: Panel): PanelResult => ({
	id: panel.id,
	title: panel.title ?? panel.id,
	hand: panel.hand,
	panel,
	problems: [],
})

/** A printer that the shop does not have: what another one does to lengths would make sheets of a wrong size. */
function unknownPrinter(shop: Shop, { printer: asked }: ComputeOptions): Problem | undefined {
	const wanted = asked ?? shop.printer
	const known = shop.printers.map((p) => p.id)
	if (wanted === undefined || known.includes(wanted)) return undefined
	const meant = nearest(wanted, known)
	return {
		code: 'UNKNOWN_PRINTER',
		severity: 'error',
		path: asked === undefined ? '/printer' : '',
		found: `the printer "${wanted}", which the shop does not have`,
		expected: known.length > 0 ? listedShort(known) : 'a printer of the shop',
		fix: meant ? `write "${meant}"` : 'correct its name, or add it to the printers of the shop',
	}
}

/**
 * What sheets are printed on: the paper and printer that were asked for, or the shop's; the first printer where none is named,
 * and none where the one that is named is unknown.
 */
export function printsOn(
	shop: Shop,
	{ paper = shop.paper, printer: wanted = shop.printer }: Pick<ComputeOptions, 'paper' | 'printer'>,
) {
	const printer = wanted === undefined ? shop.printers[0] : shop.printers.find((p) => p.id === wanted)
	const margins: Margins = printer?.margins ?? { left: MARGIN_MM, right: MARGIN_MM, top: MARGIN_MM, bottom: MARGIN_MM }
	return { paper, margins, ...(printer ? { printer } : {}) }
}

const titled = (title: string, { proof }: ComputeOptions) => (proof ? `PROOF on the old paint: ${title}` : title)

/** On every sheet: paper is looked at when no screen is. */
const stamped = (title: string, errors: number) =>
	`${title} (${errors === 1 ? 'AN ERROR' : `${errors} ERRORS`} IN THIS JOB: see the summary)`

function sheetsOf(pieces: readonly Piece[], title: string, job: Job, shop: Shop, revision: string, options: ComputeOptions) {
	const stock = printsOn(shop, options)
	// Pieces follow from the job and the shop: hashing every point of them again would cost more than the sheets.
	const key = keyOf('sheets', job, shop, stock, options.version, options.mirrored, options.proof, options.only, options.paintwork)
	const layout = options.mirrored ? layoutMirrored : layoutSheets
	// How each piece is laid, by the piece itself: those of panels that did not change are laid as before.
	const plans = options.cache && cached(options.cache, 'plans', (): PlanCache => new WeakMap())
	return cached(options.cache, key, () =>
		layout(pieces, {
			...stock,
			papers: shop.papers,
			...(plans ? { cache: plans } : {}),
			job: { title, revision, unit: job.unit },
			...(options.version ? { version: options.version } : {}),
		}),
	)
}

/** Sheets of the decals themselves; those that are laid face down are printed mirrored, and say so. */
function decalSheetsOf(
	panels: readonly PanelResult[],
	job: Job,
	shop: Shop,
	revision: string,
	options: ComputeOptions,
): Outcome<NonNullable<Result['decalSheets']>> {
	const all = panels.flatMap((panel) =>
		(panel.art ?? []).map((piece) => {
			const decal = panel.panel.decals?.find(({ id }) => piece.id.startsWith(`${panel.id}/${id}/`))
			return { piece, reverse: decal?.reverse ?? false }
		}),
	)
	if (all.length === 0) return { problems: [] }
	const key = keyOf('decal-sheets', job, shop, options.paper, options.printer, options.version)
	return cached(options.cache, key, () => {
		const laid = (reverse: boolean) => {
			const pieces = all.flatMap((each) => (each.reverse === reverse ? [each.piece] : []))
			if (pieces.length === 0) return undefined
			return (reverse ? layoutMirrored : layoutSheets)(pieces, {
				...printsOn(shop, options),
				papers: shop.papers,
				job: { title: `Decals: ${job.title}`, revision, unit: job.unit },
				...given('version', options.version),
			})
		}
		const [plain, mirrored] = [laid(false), laid(true)]
		return {
			value: { ...given('plain', plain?.value), ...given('mirrored', mirrored?.value) },
			problems: [...(plain?.problems ?? []), ...(mirrored?.problems ?? [])],
		}
	})
}
