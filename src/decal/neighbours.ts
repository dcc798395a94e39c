/** What a decal lies beside and over: stripes, colour breaks, the rim, holes, patches and other decals. */
import type { Chart } from '../chart/chart.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Problem } from '../job/problem.ts'
import type { Decal } from '../job/schema.ts'
import { clipToBox } from '../plane/boxClip.ts'
import type { Region } from '../plane/point.ts'
import { boxOf } from '../plane/polyline.ts'
import { areaOf, intersect, subtract } from '../plane/region.ts'
import { gapBetween } from '../scheme/gap.ts'
import type { PlacedDecal } from './decal.ts'
import { type DecalWords, decalProblem } from './words.ts'

export type NeighbourKind = 'stripe' | 'field' | 'rim' | 'hole' | 'patch' | 'decal'

/** Something a decal could come too near to. */
export interface Neighbour {
	readonly kind: NeighbourKind
	/** as people call it */
	readonly name: string
	/** names by which `over` allows it */
	readonly ids: readonly string[]
	/** it says itself that it lies over the decal */
	readonly meant?: boolean
	/** what is between the two is told where the other stands */
	readonly toldThere?: boolean
	/** where it is; of the rim, of fields and of bands what a decal may lie in */
	readonly region: ChartRegion
}

export interface Clearance {
	readonly kind: NeighbourKind
	readonly name: string
	/** smallest gap, mm; 0 where they overlap */
	readonly gapMm: number
	readonly at: ChartPoint
	/** which way the neighbour lies from the decal; left and right across the centreline, as it reads */
	readonly towards: 'front' | 'rear' | 'left' | 'right' | 'top' | 'bottom'
	/** of the decal that lies over it, mm^2 of chart */
	readonly overlapMm2: number
	/** it was said to lie over it, or it over this */
	readonly meant: boolean
	readonly toldThere: boolean
}

/** Less is rounding of outlines, mm^2. */
const LEAST_MM2 = 0.02
/** Gaps that differ by a smaller share than this look meant to be equal. */
const LOOKS_EQUAL = 0.3
/** How near a thing must be to count as beside, mm. */
const BESIDE_MM = 50
const PATH_MM = 1e-3
/** A field's edge this near to another is the same one, mm. */
const SAME_EDGE_MM = 0.5

/** Gaps to all that is near: what it lies over first, then the nearest. */
export function clearancesOf(
	chart: Chart,
	placed: PlacedDecal,
	decal: Decal,
	neighbours: readonly Neighbour[],
): readonly Clearance[] {
	const own = toPlane(placed.film)
	const all = neighbours
		.flatMap((n): Clearance[] => {
			const over = overlap(n.kind, own, toPlane(n.region))
			const overlapMm2 = areaOf(over)
			const meant = n.meant === true || n.ids.some((id) => decal.over?.includes(id))
			const head = { kind: n.kind, name: n.name, meant, toldThere: n.toldThere === true }
			if (overlapMm2 > LEAST_MM2) {
				const p = over[0]?.[0] as { x: number; y: number }
				const at = { s: p.x, g: p.y }
				return [{ ...head, gapMm: 0, at, towards: towards(chart, placed, at, at), overlapMm2 }]
			}
			const gap = gapBetween(chart, placed.film, n.region, BESIDE_MM)
			if (!gap) return []
			// The look by the metric at one end says which two places; how far they are apart the tape says.
			const gapMm = distance(chart, gap.at, gap.to, PATH_MM)?.length ?? gap.mm
			if (gapMm > BESIDE_MM) return []
			return [{ ...head, gapMm, at: gap.at, towards: towards(chart, placed, gap.at, gap.to), overlapMm2: 0 }]
		})
		.sort((a, b) => b.overlapMm2 - a.overlapMm2 || a.gapMm - b.gapMm)
	// A stripe of several bands is one neighbour: what lies over the decal, or its nearest band.
	const once = all.filter((c, i) => all.findIndex((d) => d.kind === c.kind && d.name === c.name) === i)
	// A field ends at the rim or below a stripe: what is nearer on the same side is said, and the field's edge is not.
	return once.filter(
		(c) =>
			c.kind !== 'field' ||
			c.overlapMm2 > 0 ||
			!once.some((d) => d.kind !== 'field' && d.towards === c.towards && d.gapMm <= c.gapMm + SAME_EDGE_MM),
	)
}

/** A neighbour is looked at so far round the film, mm: what is beyond does not overlap it. */
const ROUND_MM = 1

/** The rim is to hold all of a decal; a field or a band all of it or none; the rest none. */
function overlap(kind: NeighbourKind, own: Region, whole: Region): Region {
	const box = boxOf(own.flat())
	if (!box) return []
	const { minX, minY, maxX, maxY } = box
	const theirs = clipToBox(whole, { minX: minX - ROUND_MM, minY: minY - ROUND_MM, maxX: maxX + ROUND_MM, maxY: maxY + ROUND_MM })
	if (kind === 'rim') return subtract(own, theirs)
	const inside = intersect(own, theirs)
	return kind === 'field' || kind === 'stripe' ? least(inside, subtract(own, theirs)) : inside
}

const least = (a: Region, b: Region): Region => (areaOf(a) <= areaOf(b) ? a : b)

/** Places nearer to each other tell no way, mm. */
const TOUCHES_MM = 0.01

/**
 * Which side of the decal a neighbour lies at, by the two places at which they come nearest: the way from the one to the other, not
 * where on the decal that is, which often is a corner. Of what touches it or lies below it the place itself.
 */
function towards(chart: Chart, { frame, artwork, side }: PlacedDecal, at: ChartPoint, to: ChartPoint): Clearance['towards'] {
	const { j } = chart.metric(frame.at.s, frame.at.g)
	const [c, s] = [Math.cos(frame.angle), Math.sin(frame.angle)]
	const inFrame = (p: ChartPoint) => {
		const [ds, dg] = [(p.s - frame.at.s) * j, p.g - frame.at.g]
		return { x: c * ds + s * dg, y: frame.turn * (-s * ds + c * dg) }
	}
	const [p, q] = [inFrame(at), inFrame(to)]
	// The decal's own place is the one nearer to its middle.
	const out = Math.hypot(q.x, q.y) >= Math.hypot(p.x, p.y) ? 1 : -1
	const [x, y] =
		Math.hypot(q.x - p.x, q.y - p.y) > TOUCHES_MM
			? [out * (q.x - p.x), out * (q.y - p.y)]
			: [p.x / artwork.width, p.y / artwork.height]
	const [before, after] = side === 'both' ? (['left', 'right'] as const) : (['front', 'rear'] as const)
	if (Math.abs(x) > Math.abs(y)) return x > 0 ? after : before
	return y > 0 ? 'top' : 'bottom'
}

export interface ClearanceLimits {
	/** how far decals keep from the rest, mm */
	readonly leastMm: number
	/** gaps meant to be equal may differ by so much, mm */
	readonly toleranceMm: number
}

export function clearanceProblems(words: DecalWords, found: readonly Clearance[], limits: ClearanceLimits): readonly Problem[] {
	const problems = found.flatMap((c): readonly Problem[] => {
		if (c.meant || c.toldThere) return []
		if (c.overlapMm2 > 0) {
			const code = c.kind === 'rim' ? 'DECAL_OFF_PANEL' : 'DECAL_OVER'
			const { path, ...said } = { path: undefined, ...overWords(c) }
			return decalProblem(words, code, { ...said, severity: 'warning', at: c.at }).problems
		}
		if (c.gapMm >= limits.leastMm - 1e-6) return []
		return decalProblem(words, 'DECAL_TOO_NEAR', {
			severity: 'warning',
			found: `${c.gapMm.toFixed(1)} mm between the decal and ${c.name}`,
			expected: `at least ${limits.leastMm} mm`,
			fix: 'move it, or give it a smaller "clearance" if the original was so',
			at: c.at,
		}).problems
	})
	return [...problems, ...unequal(words, found, limits)]
}

function overWords({ kind, name, overlapMm2 }: Clearance) {
	const size = `${overlapMm2 < 10 ? overlapMm2.toFixed(1) : overlapMm2.toFixed(0)} mm2 of it`
	if (kind === 'rim') {
		return {
			found: `${size} off the panel`,
			expected: 'a decal that lies on its panel',
			fix: 'move it, or look at its size and the outline',
		}
	}
	if (kind === 'hole' || kind === 'patch') {
		return {
			found: `${size} over ${name}`,
			expected: 'film that lies on the panel all over',
			fix: 'move it, or say "over" if it is cut out there',
		}
	}
	return {
		found: kind === 'field' ? `a decal across the edge of ${name}` : `${size} over ${name}`,
		expected: 'a decal clear of it, unless it is said to lie over it',
		fix: `move it, or add it to the "over" of the decal${kind === 'decal' ? '' : '; the edge of paint below it is flatted first'}`,
	}
}

/** Opposite gaps that look meant to be equal and are not. */
function unequal(words: DecalWords, found: readonly Clearance[], { toleranceMm }: ClearanceLimits): readonly Problem[] {
	const nearest = (side: Clearance['towards']) => found.find((c) => c.towards === side && c.overlapMm2 === 0)
	return (
		[
			['front', 'rear'],
			['left', 'right'],
			['top', 'bottom'],
		] as const
	).flatMap(([one, other]) => {
		const [a, b] = [nearest(one), nearest(other)]
		if (!a || !b || a.name === b.name) return []
		const by = Math.abs(a.gapMm - b.gapMm)
		if (by <= toleranceMm || by > LOOKS_EQUAL * Math.max(a.gapMm, b.gapMm)) return []
		return decalProblem(words, 'DECAL_GAPS_UNEQUAL', {
			severity: 'note',
			found: `${a.gapMm.toFixed(1)} mm to ${a.name} at its ${one}, ${b.gapMm.toFixed(1)} mm to ${b.name} at its ${other}`,
			expected: `equal gaps, if that is what the original had, within ${toleranceMm} mm`,
			fix: `move it by ${(by / 2).toFixed(1)} mm, or leave it`,
			at: a.at,
		}).problems
	})
}

/** The whole of a region's inside loops as neighbours of their own: holes. */
export const holesOf = (area: ChartRegion): readonly ChartRegion[] =>
	toPlane(area)
		.filter((loop) => areaOf([loop]) < 0)
		.map((loop) => toChart([[...loop].reverse()]))
