/** Reads what artwork is made from: drawings beside the job file, and the fonts of lettering. */
import type { ArtworkEntry, FontId } from '../job/artworkSchema.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job } from '../job/schema.ts'
import { curveTolerance } from './artwork.ts'
import type { Drawn, ReadShape } from './drawn.ts'
import type { LetterFont } from './lettering/font.ts'

/** The bytes of a file that a job names; its problems where there are none. */
export type ReadFile = (file: string, path: string) => Promise<Outcome<Uint8Array>>
/** The bytes of a font of lettering; rejects where it is not beside the program. */
export type ReadFont = (font: FontId) => Promise<Uint8Array>

/** What was read before, so that it is not read again at every change of the job. Of what failed nothing is kept. */
export interface ArtworkCache {
	readonly fonts: Map<FontId, Promise<LetterFont>>
	readonly drawn: Map<string, Outcome<Drawn>>
}
export const artworkCache = (): ArtworkCache => ({ fonts: new Map(), drawn: new Map() })

/** Entries that are kept: each change of a size makes another. */
const MOST_KEPT = 200

export const artworkNeedsReading = (job: Job): boolean =>
	(job.artwork ?? []).some(({ shape }) => (shape.kind === 'drawing' || shape.kind === 'lettering') && !('drawn' in shape))

/**
 * The job with its drawings read and its lettering set: from here on nothing asks for a file or a font (`artworkOf`). What could
 * not be read is marked so, with a problem that says why. The libraries for both are loaded only where there are some.
 */
export async function withArtwork(
	job: Job,
	read: ReadFile,
	fonts: ReadFont,
	cache: ArtworkCache = artworkCache(),
): Promise<{ readonly job: Job; readonly problems: readonly Problem[] }> {
	if (!artworkNeedsReading(job)) return { job, problems: [] }
	const problems: Problem[] = []
	const artwork: ArtworkEntry[] = []
	for (const [i, entry] of (job.artwork ?? []).entries()) {
		const path = `/artwork/${i}/shape`
		if (entry.shape.kind !== 'drawing' && entry.shape.kind !== 'lettering') {
			artwork.push(entry)
			continue
		}
		const key = JSON.stringify([path, entry.tolerance, entry.shape])
		const made = cache.drawn.get(key) ?? (await drawnFrom(entry, path, read, fonts, cache))
		if (made.value && !cache.drawn.has(key)) {
			if (cache.drawn.size >= MOST_KEPT) cache.drawn.clear()
			cache.drawn.set(key, made)
		}
		problems.push(...made.problems)
		const shape: ReadShape = { ...entry.shape, drawn: made.value ?? 'none' }
		artwork.push({ ...entry, shape })
	}
	return { job: { ...job, artwork }, problems }
}

async function drawnFrom(
	entry: ArtworkEntry,
	path: string,
	read: ReadFile,
	fonts: ReadFont,
	cache: ArtworkCache,
): Promise<Outcome<Drawn>> {
	const { shape } = entry
	if (shape.kind === 'drawing') {
		const bytes = await read(shape.file, `${path}/file`)
		if (!bytes.value) return { problems: bytes.problems }
		const { readDrawing } = await import('./svg/read.ts')
		const drawing = readDrawing(bytes.value, shape, curveTolerance(entry), path)
		return { ...drawing, problems: [...bytes.problems, ...drawing.problems] }
	}
	if (shape.kind !== 'lettering') return { problems: [] }
	const { setLettering } = await import('./lettering/set.ts')
	const font = await fontOf(shape.font, fonts, cache).catch((error: unknown) => String(error))
	if (typeof font !== 'string') return setLettering(shape, font, curveTolerance(entry), path)
	const found = `the font ${shape.font}, which cannot be read (${font})`
	const fix = 'Install the program anew.'
	return {
		problems: [
			{ code: 'FONT_UNREAD', severity: 'error', path: `${path}/font`, found, expected: 'the fonts beside the program', fix },
		],
	}
}

async function fontOf(id: FontId, fonts: ReadFont, cache: ArtworkCache): Promise<LetterFont> {
	const known = cache.fonts.get(id)
	if (known) return known
	const { readFont } = await import('./lettering/font.ts')
	const font = fonts(id).then(readFont)
	cache.fonts.set(id, font)
	// asked again after a failure
	font.catch(() => cache.fonts.delete(id))
	return font
}
