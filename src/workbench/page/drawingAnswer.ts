/** A drawing that is to become artwork, read in the thread: what it comes to, or why it is refused. Nothing of the file goes further. */
import { artworkOf } from '../../artwork/artwork.ts'
import type { ReadShape } from '../../artwork/drawn.ts'
import { MOST_BYTES, readDrawing } from '../../artwork/svg/read.ts'
import type { DrawingShape } from '../../job/artworkSchema.ts'
import type { Job } from '../../job/schema.ts'
import { artworkView } from '../decalView.ts'
import type { DrawingWanted, PaperAnswer } from './messages.ts'

/** By what an artwork's curves may be off where it does not say, mm. */
const FINE_MM = 0.008

export function drawingAnswer({ file, bytes, width, height, unit }: DrawingWanted): Omit<PaperAnswer, 'id'> {
	const shape: DrawingShape = { kind: 'drawing', file, ...(width ? { width } : {}), ...(height ? { height } : {}) }
	const read = readDrawing(bytes.subarray(0, MOST_BYTES + 1), shape, FINE_MM, '')
	if (!read.value) return { problems: read.problems }
	const entry = { id: 'drawing', margin: 1, tolerance: 0.02, shape: { ...shape, drawn: read.value } as ReadShape }
	const made = artworkOf({ artwork: [entry] } as unknown as Job)
	const artwork = made.value?.get('drawing')
	return { ...(artwork ? { artwork: artworkView(artwork, unit) } : {}), problems: [...read.problems, ...made.problems] }
}
