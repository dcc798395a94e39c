import { convexHull } from '../plane/hull.ts'
import type { Region } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import { offsetRegion } from '../plane/region.ts'

/** The outer loops of a region, without its holes. */
export const outerLoops = (region: Region): Region => region.filter((loop) => signedArea(loop) > 0)

/**
 * The edge of the film: one loop without holes, the margin outside what is printed and round at corners. Of one part its own
 * outline, of several the hull round them, so that they keep their places.
 */
export function carrierOf(outline: Region, marginMm: number, toleranceMm: number): Region {
	const outer = outerLoops(outline)
	const core = outer.length > 1 ? [convexHull(outer.flat())] : outer
	if (marginMm === 0) return core
	return outerLoops(offsetRegion(core, marginMm, { join: 'round', arcToleranceMm: toleranceMm }))
}
