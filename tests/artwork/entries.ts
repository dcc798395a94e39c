/** Jobs that hold artwork and little else. */
import { artworkOf } from '../../src/artwork/artwork.ts'
import { FONT_FILES } from '../../src/artwork/lettering/fonts.ts'
import { withArtwork } from '../../src/artwork/withArtwork.ts'
import { fontFile } from '../../src/files/package.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'

export function jobWith(artwork: readonly unknown[], unit: 'mm' | 'in' = 'mm'): Job {
	const panels = [{ id: 'lid', hand: 'centre', found: { kind: 'flat' } }]
	const { value, problems } = loadJob(JSON.stringify({ format: 1, title: 'A lid', unit, paints: [], panels, artwork }))
	if (!value) throw new Error(JSON.stringify(problems))
	return value.job
}

/** One artwork of a shape, read where it has to be; `svg` is what lies in any file. */
export async function made(shape: object, more: object = {}, svg?: string | Uint8Array) {
	const job = jobWith([{ id: 'a', shape, ...more }])
	const bytes = typeof svg === 'string' ? new TextEncoder().encode(svg) : (svg ?? new Uint8Array())
	const read = await withArtwork(
		job,
		async () => ({ value: bytes, problems: [] }),
		async (font) => fontFile(FONT_FILES[font]),
	)
	const { value, problems } = artworkOf(read.job)
	return { artwork: value?.get('a'), problems: [...read.problems, ...problems] }
}

/** The same where nothing may be wrong. */
export async function whole(shape: object, more: object = {}, svg?: string | Uint8Array) {
	const { artwork, problems } = await made(shape, more, svg)
	if (!artwork || problems.length > 0) throw new Error(JSON.stringify(problems))
	return artwork
}
