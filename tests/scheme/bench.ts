import type { Chart } from '../../src/chart/chart.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import { toPlane } from '../../src/chart/region.ts'
import { constantWidth } from '../../src/chart/width.ts'
import { pulledRun, smoothRun } from '../../src/line/run.ts'
import { flatChart } from '../../src/panel/flat.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { pointInRegion } from '../../src/plane/polyline.ts'
import { type BandInput, layBand } from '../../src/scheme/band.ts'

const centre = panelFrame('panel', 'centre')
export const flat = flatChart(centre, { front: 0, bend: 0 })
export const bent = flatChart(centre, { front: 0, bend: 1 / 400 })
export const rolled = rolledAlong(centre, circleProfile(80, 240), 0, 400)
export const guard = revolvedChart(centre, 310, circleProfile(62, 180), 0, 500)
/** A sphere of this radius about a great circle: a circle of it turned about the sphere's own diameter. */
export const SPHERE_MM = 200
export const sphere = revolvedChart(centre, SPHERE_MM, circleProfile(SPHERE_MM, 400), -50, 600)
export const surfaces: readonly (readonly [string, Chart])[] = [
	['flat', flat],
	['flat, bent baseline', bent],
	['rolled', rolled],
	['revolved', guard],
	['sphere', sphere],
]

export const TOLERANCE = 0.0005

/** A smooth line through places. */
export function lineThrough(chart: Chart, places: readonly (readonly [number, number])[]): Curve {
	const marks = places.map(([s, g], i) => ({
		key: `m${i}`,
		at: { s, g },
		sdS: 0.1,
		sdG: 0.1,
		tolerance: 1,
		corner: false,
		by: 'smooth' as const,
	}))
	const run = smoothRun(chart, marks, { pinStart: true, pinEnd: true }, TOLERANCE)
	if (!run) throw new Error('no line')
	return { id: 'line', cubics: run.cubics, closed: false, maxErrorMm: run.maxErrorMm }
}

export const bow = (chart: Chart) =>
	lineThrough(chart, [
		[0, 20],
		[100, 38],
		[200, 42],
		[300, 36],
		[400, 22],
	])

/** A taut line, or several with corners between. */
export function pulled(chart: Chart, ...places: readonly (readonly [number, number])[]): Curve {
	const cubics = places.slice(1).flatMap(([s, g], i) => {
		const [a, b] = places[i] as readonly [number, number]
		return pulledRun(chart, { s: a, g: b }, { s, g }, TOLERANCE)?.cubics ?? []
	})
	return { id: 'line', cubics, closed: false, maxErrorMm: TOLERANCE }
}

export function circle(s: number, g: number, r: number): Curve {
	const fit = fitCubics(
		(a) => ({ x: s + r * Math.cos(a), y: g + r * Math.sin(a), dx: -r * Math.sin(a), dy: r * Math.cos(a) }),
		0,
		2 * Math.PI,
		{ toleranceMm: 1e-6 },
	)
	const cubics = fit.cubics.map((c) => c.map((p) => ({ s: p.x, g: p.y })) as unknown as Curve['cubics'][number])
	return { id: 'ring', cubics, closed: true, maxErrorMm: 1e-6 }
}

export const band = (chart: Chart, base: Curve, near: number, far: number, more: Partial<BandInput> = {}) =>
	layBand(chart, {
		id: 'band',
		base,
		near: constantWidth(near),
		far: constantWidth(far),
		breaks: [],
		front: { shape: 'square' },
		rear: { shape: 'square' },
		corners: 'mitred',
		toleranceMm: TOLERANCE,
		...more,
	})

export const holds = (region: readonly (readonly ChartPoint[])[], p: ChartPoint) =>
	pointInRegion({ x: p.s, y: p.g }, toPlane(region))
