/** The areas and lines of a drawing as regions in mm. */
import { flatten } from '../../plane/flatten.ts'
import type { Region } from '../../plane/point.ts'
import { evenOdd, intersect, normalise, SNAP_MM, union } from '../../plane/region.ts'
import { type StrokedLine, strokeRegion } from '../../plane/stroke.ts'
import type { Ink } from '../drawn.ts'
import { apply, applyToCubic, type Matrix, stretches, times } from './matrix.ts'
import type { Clip, Fill, Scene, Stroke } from './scene.ts'

/** In painting order, y up; what follows in the same colour is one ink. `toMm` brings px to mm. */
export function inksOf(scene: Scene, mmPerPx: number, toleranceMm: number): Ink[] {
	const toMm: Matrix = [mmPerPx, 0, 0, -mmPerPx, 0, 0]
	const clips = new Map<Clip, Region>()
	const clipRegion = (clip: Clip) => {
		const known = clips.get(clip) ?? union(clip.map((area) => fillRegion(area, toMm, toleranceMm)))
		clips.set(clip, known)
		return known
	}
	const inks: { colour: string; regions: Region[] }[] = []
	for (const { colour, paint, clips: within } of scene.items) {
		let region = 'pen' in paint ? penRegion(paint, toMm, toleranceMm) : fillRegion(paint, toMm, toleranceMm)
		for (const clip of within) region = intersect(region, clipRegion(clip))
		if (region.length === 0) continue
		const last = inks.at(-1)
		if (last?.colour === colour) last.regions.push(region)
		else inks.push({ colour, regions: [region] })
	}
	return inks.map(({ colour, regions }) => ({ colour, region: union(regions) }))
}

/** The page's area, where the drawing has a page. */
export const pageRegion = (page: Clip, mmPerPx: number): Region =>
	union(page.map((area) => fillRegion(area, [mmPerPx, 0, 0, -mmPerPx, 0, 0], SNAP_MM)))

/** Lines as loops in mm, each taken as closed. */
export function loopsOf({ lines, matrix }: Fill | Stroke, toMm: Matrix, toleranceMm: number): Region {
	const m = times(toMm, matrix)
	return lines.map(({ cubics }) =>
		flatten(
			cubics.map((c) => applyToCubic(m, c)),
			toleranceMm,
		),
	)
}

function fillRegion(fill: Fill, toMm: Matrix, toleranceMm: number): Region {
	const loops = loopsOf(fill, toMm, toleranceMm)
	return fill.evenOdd ? evenOdd(loops) : normalise(loops)
}

/** The pen is round in the drawing's own units: lines are stroked there, in units of about a mm, and then transformed. */
function penRegion({ lines, matrix, pen }: Stroke, toMm: Matrix, toleranceMm: number): Region {
	const m = times(toMm, matrix)
	const scale = stretches(m).most
	const grown = lines.map(({ cubics, closed }): StrokedLine => {
		return { cubics: cubics.map((c) => applyToCubic([scale, 0, 0, scale, 0, 0], c)), closed }
	})
	const region = strokeRegion(grown, { ...pen, width: pen.width * scale, toleranceMm })
	const back = times(m, [1 / scale, 0, 0, 1 / scale, 0, 0])
	const loops = region.map((loop) => loop.map((p) => apply(back, p)))
	// mirrored, holes and outer loops change places
	return normalise(back[0] * back[3] - back[1] * back[2] < 0 ? loops.map((loop) => [...loop].reverse()) : loops)
}
