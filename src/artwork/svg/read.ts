/** A drawing in SVG as inks in mm. Nothing of the file goes further: only outlines and flat colours. */
import type { DrawingShape } from '../../job/artworkSchema.ts'
import type { Outcome } from '../../job/problem.ts'
import { mm } from '../../job/say.ts'
import type { Box } from '../../plane/cubic.ts'
import { boxOf } from '../../plane/polyline.ts'
import { areaOf, intersect, union } from '../../plane/region.ts'
import type { Drawn, Ink } from '../drawn.ts'
import { tooMuch } from './effort.ts'
import { inksOf, loopsOf, pageRegion } from './inks.ts'
import { apply, stretches } from './matrix.ts'
import { readScene, type Scene } from './scene.ts'
import { readTree } from './tree.ts'
import { Troubles } from './trouble.ts'

/** A badge is a few thousand characters; what is larger holds pictures. */
export const MOST_BYTES = 5_000_000
/** Sizes of the drawing and of the job that differ by more are two sizes. */
const SAME_SIZE = 0.005
/** What is cut off at the page's edge is said from this share of all ink on. */
const CUT_SHARE = 1e-3
/** Larger or smaller, mm, is another unit than was thought; it would also leave the grid of regions. */
const [LEAST_MM, MOST_MM] = [0.05, 20_000]
/** Times that a drawing is scaled to its known width: the first by what its lines reach, the next by its ink. */
const MOST_PASSES = 4

/**
 * Reads the bytes of a drawing for the sizes that the job knows of it. Never throws, whatever the bytes are.
 * Problems: DRAWING_* with the file, line and element. The error is that of its chords, `toleranceMm` at most.
 */
export function readDrawing(bytes: Uint8Array, shape: DrawingShape, toleranceMm: number, path: string): Outcome<Drawn> {
	const troubles = new Troubles(shape.file, `${path}/file`)
	const value = read(bytes, shape, toleranceMm, troubles)
	return { ...(value && !troubles.failed ? { value } : {}), problems: troubles.list() }
}

function read(bytes: Uint8Array, shape: DrawingShape, toleranceMm: number, troubles: Troubles): Drawn | undefined {
	const complain = (code: string, found: string, expected: string, fix: string) => {
		troubles.add(undefined, { code, found, expected, fix })
		return undefined
	}
	if (bytes.length > MOST_BYTES) {
		const fix = 'Leave out of the drawing what is not printed.'
		return complain('DRAWING_TOO_LARGE', `a file of ${(bytes.length / 1e6).toFixed(1)} MB`, 'at most 5 MB', fix)
	}
	const root = readTree(decode(bytes), troubles)
	const scene = root && readScene(root, troubles)
	if (!scene) return undefined
	const box = roughBox(scene)
	if (!box)
		return complain(
			'DRAWING_EMPTY',
			'a drawing in which nothing is drawn',
			'shapes with a colour',
			'Look at what is in the file.',
		)
	const scale = firstScale(scene, box, shape)
	if (scale === undefined) {
		return complain(
			'DRAWING_NO_SIZE',
			'a drawing that does not say its real size',
			'`width` or `height` of what is printed, measured on the old decal, or a `known` length in it',
			'Write one of them into the job.',
		)
	}
	const reach = Math.max(box.maxX - box.minX, box.maxY - box.minY, Math.abs(box.minX), Math.abs(box.maxY)) * scale
	if (!(reach > LEAST_MM && reach < MOST_MM)) {
		const fix = 'Look at the size of its page and at the known dimension.'
		return complain('DRAWING_SIZE', `a drawing of about ${mm(reach)}`, `more than ${mm(LEAST_MM)} and less than 20 m`, fix)
	}
	const effort = tooMuch(scene.items.flatMap(({ paint }) => loopsOf(paint, [scale, 0, 0, -scale, 0, 0], toleranceMm)))
	if (effort) {
		return complain('DRAWING_TOO_LARGE', effort, 'one badge or mark', 'Simplify it in the drawing program.')
	}
	return sized(scene, scale, shape, toleranceMm, troubles)
}

/** At the size that is wanted, what lies off the page cut off. */
function sized(
	scene: Scene,
	firstScaleMm: number,
	shape: DrawingShape,
	toleranceMm: number,
	troubles: Troubles,
): Drawn | undefined {
	let scale = firstScaleMm
	for (let pass = 1; pass <= MOST_PASSES; pass++) {
		const all = inksOf(scene, scale, toleranceMm)
		const inks = scene.page ? onPage(all, pageRegion(scene.page, scale), troubles) : all
		const box = boxOf(inks.flatMap(({ region }) => region.flat()))
		if (!box) {
			const fix = 'Look at what is in the file, and whether it lies on the page.'
			troubles.add(undefined, { code: 'DRAWING_EMPTY', found: 'a drawing that covers nothing', expected: 'areas to print', fix })
			return undefined
		}
		const [width, height] = [box.maxX - box.minX, box.maxY - box.minY]
		const wanted = shape.width === undefined ? shape.height : shape.width
		const factor = wanted === undefined ? 1 : wanted / (shape.width === undefined ? height : width)
		if (Math.abs(factor - 1) < SAME_SIZE || pass === MOST_PASSES) {
			sayOtherSize(scene, scale * factor, troubles)
			return { inks: inks.map((ink) => grown(ink, factor)), maxErrorMm: toleranceMm * factor }
		}
		scale *= factor
	}
	return undefined
}

const grown = ({ region, colour }: Ink, factor: number): Ink =>
	factor === 1
		? { region, colour }
		: { region: region.map((loop) => loop.map((p) => ({ x: p.x * factor, y: p.y * factor }))), colour }

function onPage(inks: readonly Ink[], page: ReturnType<typeof pageRegion>, troubles: Troubles): Ink[] {
	const out = inks
		.map(({ region, colour }) => ({ region: intersect(region, page), colour }))
		.filter(({ region }) => region.length > 0)
	const area = (some: readonly Ink[]) => areaOf(union(some.map(({ region }) => region)))
	const [all, left] = [area(inks), area(out)]
	if (all - left > CUT_SHARE * all) {
		const found = `a drawing that goes over the edge of its page; ${Math.round((100 * (all - left)) / all)} % of it is cut off`
		const fix = 'Make the page as large as the drawing, if it is to be printed whole.'
		troubles.add(undefined, { code: 'DRAWING_CUT', severity: 'warning', found, expected: 'all of it on the page', fix })
	}
	return out
}

/** mm of one px: by the known length, by a known width or height and what the lines reach, or as the file says; undefined where none does. */
function firstScale({ mmPerPx, root }: Scene, box: Box, { known, width, height }: DrawingShape): number | undefined {
	if (known) {
		const [a, b] = [known.from, known.to].map(([x, y]) => apply(root, { x, y })) as [
			{ x: number; y: number },
			{ x: number; y: number },
		]
		const px = Math.hypot(b.x - a.x, b.y - a.y)
		return px > 0 ? known.length / px : undefined
	}
	if (width !== undefined) return width / (box.maxX - box.minX)
	if (height !== undefined) return height / (box.maxY - box.minY)
	return mmPerPx
}

function sayOtherSize({ mmPerPx }: Scene, scale: number, troubles: Troubles): void {
	if (mmPerPx === undefined || Math.abs(scale / mmPerPx - 1) < SAME_SIZE) return
	const found = `a drawing whose own size is ${((100 * mmPerPx) / scale).toFixed(1)} % of what the job says`
	const fix = 'Measure the old decal again, or take the known dimension out of the job.'
	troubles.add(undefined, {
		code: 'DRAWING_OTHER_SIZE',
		severity: 'warning',
		found,
		expected: 'one size; the one in the job is taken',
		fix,
	})
}

/** What the handles of all lines reach, pens with them, px; undefined where there are none. */
function roughBox(scene: Scene): Box | undefined {
	const corners = scene.items.flatMap(({ paint }) => {
		const pen = 'pen' in paint ? (paint.pen.width / 2) * stretches(paint.matrix).most : 0
		const all = boxOf(paint.lines.flatMap(({ cubics }) => cubics.flat().map((p) => apply(paint.matrix, p))))
		return all
			? [
					{ x: all.minX - pen, y: all.minY - pen },
					{ x: all.maxX + pen, y: all.maxY + pen },
				]
			: []
	})
	const box = boxOf(corners)
	return box && Object.values(box).every(Number.isFinite) && box.maxX > box.minX && box.maxY > box.minY ? box : undefined
}

/** UTF-8 where it does not begin with the mark of another. */
function decode(bytes: Uint8Array): string {
	const [a, b] = bytes
	const name = a === 0xfe && b === 0xff ? 'utf-16be' : a === 0xff && b === 0xfe ? 'utf-16le' : 'utf-8'
	return new TextDecoder(name).decode(bytes)
}
