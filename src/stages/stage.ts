/** One paint on one panel: what is open to the gun, what is covered, and the lines to tape along. */
import type { Chart } from '../chart/chart.ts'
import { part } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Paint } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { areaOf, intersect, offsetRegion, subtract, union } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import { besideAt, stretchesBy } from './borders.ts'
import { chainsOf, type Directed, directed } from './chains.ts'
import { hides } from './coats.ts'
import { partFinder } from './finder.ts'
import type { Border, Part, Seen, Stage, StageEdge, Standing } from './parts.ts'
import { strip } from './strip.ts'

export interface StageInput {
	readonly seen: Seen
	readonly paints: ReadonlyMap<string, Paint>
	/** every paint of the vehicle in the order they are sprayed */
	readonly order: readonly string[]
	/** which of them this stage is of */
	readonly paint: string
	readonly mode: Stage['mode']
	/** how far this paint goes on below another that comes later, mm */
	readonly underlap: (under: string, over: string) => number
}

/** Nothing narrower than this is masked off by itself where paint on it does no harm, mm: it costs more than it saves. */
const NARROW_MM = 4
/** What a round tool leaves in corners is less than this, mm^2. */
const LEAST_MM2 = 5
/** What is too narrow is found on outlines this rough, mm. */
const ROUGH_MM = 0.05
/** So far beside a line it is looked whether paint comes to it, mm: more than outlines of two kinds leave each other by. */
const BESIDE_MM = 0.15
/** A lap begins so far on the painted side of its line, mm: chords of two outlines of one line leave nothing open between them. */
const OVER_MM = 0.02
/** A hidden edge shorter than this is no length of tape, mm. */
const LEAST_LAP_MM = 2
/** So near two outlines touch, mm: more than they are rough. */
const TOUCH_MM = 0.2

/** Of each part, what it is to the stage of a paint: by which of its coats are on, and which come. */
export function standings(
	parts: readonly Pick<Part, 'coats'>[],
	paint: string,
	order: readonly string[],
	paints: ReadonlyMap<string, Paint>,
): readonly Standing[] {
	const now = order.indexOf(paint)
	return parts.map(({ coats }) => {
		if (coats.includes(paint)) return 'painted'
		// What has its last coat is not touched again; below a coat that does not hide all would show.
		const bottom = coats[0]
		const bottomPaint = bottom === undefined ? undefined : paints.get(bottom)
		const begun = bottom === undefined || order.indexOf(bottom) < now
		return begun || !bottomPaint || !hides(bottomPaint) ? 'closed' : 'later'
	})
}

/** A stage; undefined where no part of the panel has its paint. */
export function stageOf(input: StageInput): Stage | undefined {
	const { seen, paint, order, paints, mode } = input
	const { parts, area } = seen
	const standing = standings(parts, paint, order, paints)
	const of = (wanted: Standing) => parts.filter((_, i) => standing[i] === wanted).map(({ region }) => toPlane(region))
	const painted = of('painted')
	if (painted.length === 0) return undefined
	const whole = toPlane(area)
	const laps = mode === 'local' ? lapsOf(input, standing) : []
	const later = of('later')
	const reached = reachedFrom(seen, standing)
	const open =
		mode === 'all-over'
			? union(parts.flatMap(({ region }, i) => (reached.has(i) ? [toPlane(region)] : [])))
			: union([
					...painted,
					...withoutNarrow(
						later,
						painted,
						laps.flatMap(({ region }) => region),
					),
				])
	const covered = subtract(whole, open)
	const openOrCovered = partFinder(seen.chart, [toChart(open), toChart(covered)])
	const lineAt = (p: ChartPoint) => (['off', 'taped', 'not'] as const)[openOrCovered(p) + 1] as Beside
	const partAt = partFinder(seen.chart, laps.length > 0 ? parts.map(({ region }) => region) : [])
	// A lap that comes to what is closed ends at its line, which is taped itself.
	const lapAt = (p: ChartPoint): Beside => (openOrCovered(p) !== 0 && standing[partAt(p)] !== 'closed' ? 'taped' : 'not')
	const lines = chainsOf(
		seen.borders.flatMap((border) => {
			const link = directed(border, (part) => standing[part] === 'closed')
			return link ? whereOpen(seen.chart, link, (curve, u) => lineAt(besideAt(seen.chart, curve, u, -BESIDE_MM))) : []
		}),
	)
	const beyond = laps.flatMap(({ chain, offMm }) =>
		chainsOf(
			chain.links.flatMap((link) =>
				whereOpen(seen.chart, link, (curve, u) => lapAt(besideAt(seen.chart, curve, u, offMm + BESIDE_MM))),
			),
		)
			.filter(({ curve }) => measure(seen.chart, curve).length > LEAST_LAP_MM)
			.map((each) => edgeOf(each, 'lap', offMm)),
	)
	return {
		number: order.indexOf(paint) + 1,
		paint,
		mode,
		standing,
		open: toChart(open),
		covered: toChart(covered),
		edges: [...lines.map((chain) => edgeOf(chain, 'line', 0)), ...beyond],
	}
}

/** Parts and the borders between them. */
interface Neighbours {
	readonly parts: readonly Pick<Part, 'coats'>[]
	readonly borders: readonly Pick<Border, 'plus' | 'minus'>[]
}

/**
 * What is painted, and all that comes later and is come to from there without going over anything closed. Between parts painted
 * alike there is no border: one that is come to brings its likes.
 */
export function reachedFrom({ parts, borders }: Neighbours, standing: readonly Standing[]): ReadonlySet<number> {
	const coats = parts.map((part) => part.coats.join())
	const reached = new Set(standing.flatMap((each, i) => (each === 'painted' ? [i] : [])))
	for (let more = true; more; ) {
		more = false
		for (const { plus, minus } of borders) {
			if (reached.has(plus) === reached.has(minus)) continue
			const other = reached.has(plus) ? minus : plus
			if (standing[other] === 'closed') continue
			for (const [part, own] of coats.entries()) if (own === coats[other]) reached.add(part)
			more = true
		}
	}
	return reached
}

/** What a look beside a line says of it: it is to be taped there, or not, or there is a hole. */
type Beside = 'taped' | 'not' | 'off'

/** The stretches of a border that are to be taped; over a hole between two of them tape goes on. */
function whereOpen(chart: Chart, link: Directed, lookAt: (curve: Curve, u: number) => Beside): Directed[] {
	const { curve } = link
	const all = stretchesBy(
		chart,
		curve,
		(u) => lookAt(curve, u),
		(a, b) => a === b,
	)
	const found: { from: number; to: number }[] = []
	for (const [i, { from, to, what }] of all.entries()) {
		const [before, next, last] = [all[i - 1], all[i + 1], found[found.length - 1]]
		const over = what === 'off' && before?.what === 'taped' && next?.what === 'taped'
		if (last && last.to === from && (over || what === 'taped')) found[found.length - 1] = { from: last.from, to }
		else if (what === 'taped') found.push({ from, to })
	}
	const whole = found.length === 1 && found[0]?.from === 0 && found[0].to === curve.cubics.length
	return whole ? [link] : found.map(({ from, to }) => ({ ...link, curve: part(curve, from, to) }))
}

function edgeOf(
	{ curve, links }: { curve: StageEdge['curve']; links: readonly Directed[] },
	kind: StageEdge['kind'],
	offMm: number,
) {
	return {
		curve,
		kind,
		offMm,
		borders: links.map(({ border }) => border.id),
		lines: [...new Set(links.map(({ border }) => border.line))],
		coveredParts: [...new Set(links.map(({ covered }) => covered))],
	}
}

/** How far the paint goes on below each of its neighbours that come later, along the lines that they share. */
function lapsOf({ seen, paint, order, underlap }: StageInput, standing: readonly Standing[]) {
	const next = (part: number) =>
		(seen.parts[part] as Part).coats.find((coat) => order.indexOf(coat) > order.indexOf(paint)) ?? paint
	const links = seen.borders.flatMap((border) => {
		const link = directed(border, (part) => standing[part] === 'later')
		return link && standing[link.open] === 'painted' ? [{ ...link, offMm: underlap(paint, next(link.covered)) }] : []
	})
	return [...new Set(links.map(({ offMm }) => offMm))].flatMap((offMm) =>
		chainsOf(links.filter((link) => link.offMm === offMm)).map((chain) => ({
			chain,
			offMm,
			region: offMm > 0 ? strip(seen.chart, chain.curve, -OVER_MM, offMm) : [],
		})),
	)
}

/** Of what comes later: the laps, and what would be left between them and other things too narrow to be masked by itself. */
function withoutNarrow(later: readonly Region[], painted: readonly Region[], laps: Region): readonly Region[] {
	if (later.length === 0) return []
	const all = union(later)
	const lapped = laps.length > 0 ? intersect(all, laps) : []
	const rough = (region: Region): Region => region.map((loop) => simplify(loop, ROUGH_MM, true))
	const left = lapped.length > 0 ? subtract(rough(all), rough(lapped)) : rough(all)
	const half = NARROW_MM / 2
	const style = { join: 'round', arcToleranceMm: 2 * ROUGH_MM } as const
	const wide = offsetRegion(offsetRegion(left, -half, style), half + 4 * ROUGH_MM, style)
	const narrow = subtract(left, wide).filter((loop) => areaOf([loop]) > LEAST_MM2)
	if (narrow.length === 0) return [lapped]
	const beside = rough([...painted.flat(), ...lapped])
	const touching = narrow.filter((loop) => loop.some((p) => pointInRegion(p, beside, TOUCH_MM)))
	// Rough outlines are brought back to the true ones that they touch.
	return [lapped, touching.length > 0 ? intersect(offsetRegion(touching, 4 * ROUGH_MM, style), all) : []]
}
