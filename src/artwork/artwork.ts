/** What a decal is: inks, outline and film, in mm about its middle. */
import type { ArtworkEntry } from '../job/artworkSchema.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { mm } from '../job/say.ts'
import type { Job } from '../job/schema.ts'
import type { Loop, Region } from '../plane/point.ts'
import { boxOf, perimeter } from '../plane/polyline.ts'
import { areaOf, SNAP_MM, union } from '../plane/region.ts'
import { leftOutMm, simplify } from '../plane/simplify.ts'
import { carrierOf, outerLoops } from './carrier.ts'
import { CURVE_SHARE, type Drawn, type Ink, type ReadShape, SIMPLIFY_SHARE } from './drawn.ts'
import { ellipseLoop, rectangleLoop } from './shapes.ts'
import { tracedShape } from './traced.ts'

export type { Ink } from './drawn.ts'

export interface Artwork {
	readonly id: string
	readonly title: string
	/** what is printed, mm: x to the right, y up, the middle of the box round all of it at 0,0; in painting order */
	readonly inks: readonly Ink[]
	/** all inks together */
	readonly outline: Region
	/** the film's edge: one loop without holes that keeps all parts together */
	readonly carrier: Region
	/** of the outline's box, mm */
	readonly width: number
	readonly height: number
	/** of the outline, holes taken off */
	readonly areaMm2: number
	/** of all its loops */
	readonly perimeterMm: number
	/** how many pieces of it lie apart */
	readonly parts: number
	/** there are words in it: it is never mirrored */
	readonly lettering: boolean
	/** largest distance between the outline and what was drawn, mm */
	readonly maxErrorMm: number
}

/** Below a thousandth of a millimetre the grid of regions (0.0001 mm) shows. */
const LEAST_TOLERANCE_MM = 1e-3
/** No decal is larger, mm: what would be is drawn in another unit than was thought. */
const MOST_MM = 10_000

/**
 * The artwork of a job by its names, drawings and lettering read before (`withArtwork`). What is wrong with one leaves that one out.
 * Problems: ARTWORK_UNREAD, CORNER_TOO_ROUND, TRACED_*, ARTWORK_EMPTY, ARTWORK_TOO_LARGE.
 */
export function artworkOf(job: Job): Outcome<ReadonlyMap<string, Artwork>> {
	const problems: Problem[] = []
	const value = new Map<string, Artwork>()
	for (const [i, entry] of (job.artwork ?? []).entries()) {
		const path = `/artwork/${i}/shape`
		const drawn = drawnOf(entry, path)
		problems.push(...drawn.problems)
		if (!drawn.value) continue
		const made = placed(entry, drawn.value, path)
		problems.push(...made.problems)
		// a second one of the same name is the job's own problem
		if (made.value && !value.has(entry.id)) value.set(entry.id, made.value)
	}
	return { value, problems }
}

export const curveTolerance = (entry: ArtworkEntry) => CURVE_SHARE * Math.max(entry.tolerance, LEAST_TOLERANCE_MM)

function drawnOf(entry: ArtworkEntry, path: string): Outcome<Drawn> {
	const shape: ReadShape = entry.shape
	const fine = curveTolerance(entry)
	const one = (loop: Loop, colour: string): Outcome<Drawn> => ({
		value: { inks: [{ region: [loop], colour }], maxErrorMm: fine },
		problems: [],
	})
	switch (shape.kind) {
		case 'rectangle': {
			const most = Math.min(shape.width, shape.height) / 2
			if (shape.corner > most) return { problems: [tooRound(`${path}/corner`, shape.corner, most)] }
			return one(rectangleLoop(shape.width, shape.height, shape.corner, fine), shape.colour)
		}
		case 'ellipse':
			return one(ellipseLoop(shape.width, shape.height, fine), shape.colour)
		case 'traced':
			return tracedShape(shape, entry.tolerance, path)
		default: {
			// what could not be read has said why
			if (shape.drawn === 'none') return { problems: [] }
			return shape.drawn ? { value: shape.drawn, problems: [] } : { problems: [unread(path, shape.kind)] }
		}
	}
}

function placed(entry: ArtworkEntry, drawn: Drawn, path: string): Outcome<Artwork> {
	const far = boxOf(drawn.inks.flatMap(({ region }) => region.flat()))
	if (far && !(far.maxX - far.minX <= MOST_MM && far.maxY - far.minY <= MOST_MM)) {
		return { problems: [tooLarge(path, far.maxX - far.minX, far.maxY - far.minY)] }
	}
	const toleranceMm = Math.max(entry.tolerance, LEAST_TOLERANCE_MM)
	// Loops thinner than the tolerance are no ink: seams between areas that were drawn edge to edge.
	const clean = { sliverMm: toleranceMm }
	const inks = drawn.inks.map((ink) => ({ ...ink, ...fewer(union([ink.region], clean), SIMPLIFY_SHARE * toleranceMm) }))
	const whole = fewer(
		union(
			drawn.inks.map(({ region }) => region),
			clean,
		),
		SIMPLIFY_SHARE * toleranceMm,
	)
	const box = boxOf(whole.region.flat())
	if (!box) return { problems: [empty(path)] }
	// by whole steps of the grid, so that what was on it stays on it
	const onGrid = (x: number) => Math.round(x / SNAP_MM) * SNAP_MM
	const middle = { x: onGrid((box.minX + box.maxX) / 2), y: onGrid((box.minY + box.maxY) / 2) }
	const moved = (region: Region): Region => region.map((loop) => loop.map((p) => ({ x: p.x - middle.x, y: p.y - middle.y })))
	const outline = moved(whole.region)
	const value: Artwork = {
		id: entry.id,
		title: entry.title ?? entry.id,
		inks: inks.flatMap(({ region, colour }) => (region.length > 0 ? [{ region: moved(region), colour }] : [])),
		outline,
		carrier: carrierOf(outline, entry.margin, toleranceMm / 4),
		width: box.maxX - box.minX,
		height: box.maxY - box.minY,
		areaMm2: areaOf(outline),
		perimeterMm: outline.reduce((sum, loop) => sum + perimeter(loop), 0),
		parts: outerLoops(outline).length,
		lettering: entry.lettering ?? entry.shape.kind === 'lettering',
		maxErrorMm: drawn.maxErrorMm + whole.errorMm + SNAP_MM,
	}
	return { value, problems: [] }
}

/** A region of fewer points, and the farthest that one left out lies from the chord in its place, mm. */
function fewer(region: Region, toleranceMm: number): { readonly region: Region; readonly errorMm: number } {
	let errorMm = 0
	const loops = region.map((loop) => {
		const kept = simplify(loop, toleranceMm, true)
		errorMm = Math.max(errorMm, leftOutMm(loop, kept))
		return kept
	})
	return { region: union([loops], { sliverMm: toleranceMm }), errorMm }
}

const unread = (path: string, kind: string): Problem => ({
	...{
		code: 'ARTWORK_UNREAD',
		severity: 'error',
		path,
		found: `${kind === 'drawing' ? 'a drawing' : 'lettering'} that was not read`,
	},
	...{ expected: 'a job whose artwork was read', fix: 'read its files first: withArtwork' },
})

const tooRound = (path: string, corner: number, most: number): Problem => ({
	...{ code: 'CORNER_TOO_ROUND', severity: 'error', path, found: `corners of radius ${mm(corner)}` },
	...{ expected: `at most ${mm(most)}, half the shorter side`, fix: 'Make the radius smaller.' },
})

const empty = (path: string): Problem => ({
	...{ code: 'ARTWORK_EMPTY', severity: 'error', path, found: 'artwork in which nothing has any area' },
	...{ expected: 'areas to print, wider than the tolerance', fix: 'Look at what is drawn, and at its size.' },
})

const tooLarge = (path: string, width: number, height: number): Problem => ({
	...{ code: 'ARTWORK_TOO_LARGE', severity: 'error', path, found: `artwork of ${mm(width)} by ${mm(height)}` },
	...{ expected: `at most ${MOST_MM / 1000} m either way`, fix: 'Look at the unit and at the known dimension.' },
})
