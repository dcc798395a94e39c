/** Where a girth strip ends at patches. */
import type { Chart } from '../chart/chart.ts'
import type { Curve } from '../chart/point.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { intersect, normalise } from '../plane/region.ts'
import { beside, type KeepOff } from './keepOff.ts'
import { FAR_MM, type StripStops, WORDS_FROM_MM } from './stripShape.ts'

/** What patches take of a strip with a body so wide that goes from one girth to another; undefined where none comes near it. */
export function stripStops(
	chart: Chart,
	keepOff: KeepOff | undefined,
	strip: { readonly station: number; readonly bottom: number; readonly top: number; readonly body: number },
): StripStops | undefined {
	if (!keepOff) return undefined
	const { station, body } = strip
	const [from, to] = [strip.bottom - 1, strip.top + 1]
	// Along the strip's working edge outward; its body lies behind, on the minus side.
	const taken = beside(chart, girthLine(station, from, to), keepOff.region, [-body - 1, 1])
	const loops = taken.map((loop) => loop.map(({ x, y }): PlanePoint => ({ x: -y, y: from + x })))
	// The head goes round what lies on the baseline.
	const out = loops.filter((loop) => loop.every((p) => p.y > 0) || loop.every((p) => p.y < 0))
	const edge = keepOff.reach(station)
	const short = edge.to < strip.top || edge.from > strip.bottom
	if (out.length === 0 && !short) return undefined
	const shadow = normalise(out.flatMap(shadowOf))
	const worded = intersect(shadow, [
		[
			{ x: WORDS_FROM_MM, y: -FAR_MM },
			{ x: body, y: -FAR_MM },
			{ x: body, y: FAR_MM },
			{ x: WORDS_FROM_MM, y: FAR_MM },
		],
	]).flat()
	return {
		shadow,
		edge,
		room: {
			from: Math.max(edge.from, ...worded.filter((p) => p.y < 0).map((p) => p.y)),
			to: Math.min(edge.to, ...worded.filter((p) => p.y > 0).map((p) => p.y)),
		},
	}
}

/** The girth line of a station, a straightest path, as a curve. */
function girthLine(station: number, from: number, to: number): Curve {
	const on = (t: number) => ({ s: station, g: from + (to - from) * t })
	return { id: 'girth', closed: false, maxErrorMm: 0, cubics: [[on(0), on(1 / 3), on(2 / 3), on(1)]] }
}

/** A loop beside the strip, with all that lies farther out than it. */
function shadowOf(loop: readonly PlanePoint[]): Region {
	const far = (p: PlanePoint): PlanePoint => ({ x: p.x, y: Math.sign(p.y) * FAR_MM })
	const quads = loop.map((p, i) => {
		const q = loop[(i + 1) % loop.length] as PlanePoint
		return [p, q, far(q), far(p)]
	})
	// Either way round, so that all of it counts alike.
	return [loop, ...quads].flatMap((each) => normalise([[...each]]))
}
