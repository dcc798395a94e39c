/** Ridges: where a film ends inside the panel, seen on a line or hidden below what comes later. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import { rowLength } from '../chart/rowLength.ts'
import type { PlanePoint } from '../plane/point.ts'
import { clipPolyline } from '../plane/region.ts'
import { partFinder } from '../stages/finder.ts'
import { type Cell, type FilmMap, SLIVER_MM } from './films.ts'

export interface Ridge {
	/** of the film that ends here */
	readonly stage: number
	readonly paint: string
	/** `line`: on a line that is seen; `under`: a later film lies over both sides of it */
	readonly kind: 'line' | 'under'
	/** of the film, um */
	readonly heightUm: number
	/** along the panel */
	readonly lengthMm: number
	/** end to end; the film on the left of its direction */
	readonly line: readonly ChartPoint[]
}

/** Both sides of a film's edge are looked at this far off it, mm: farther than slivers are wide. */
const BESIDE_MM = SLIVER_MM + 0.02
/** Towards the point of a stripe what is beside its edge is narrower, mm. */
const POINT_MM = 0.02
/** Looks along an edge, mm apart; a change between two is found to END_MM. */
const LOOK_MM = 3
const END_MM = 0.01
/** A stretch shorter than this is rounding where lines meet, mm. */
const SHORT_MM = 0.25

type Kind = Ridge['kind'] | 'rim' | 'none'

/** Every ridge of a panel, stage by stage. */
export function ridgesOf(map: FilmMap): readonly Ridge[] {
	const cellAt = finderOf(map)
	return map.spread.flatMap(({ film, region }) => {
		const { stage, paint, um } = film
		const kindAt: KindAt = (inside, outside) => {
			const [on, off] = [cellAt(inside), cellAt(outside)]
			if (!on || !off) return 'rim'
			if (!has(on, stage) || has(off, stage)) return 'none'
			return on.films.some((later) => later.stage > stage && has(off, later.stage)) ? 'under' : 'line'
		}
		return toPlane(region).flatMap((loop) =>
			stretchesOf(loop, kindAt).map(({ kind, points }): Ridge => {
				const line = points.map((p) => ({ s: p.x, g: p.y }))
				return { stage, paint, kind, heightUm: um, lengthMm: rowLength(map.chart, line), line }
			}),
		)
	})
}

/** What kind of ridge lies between a place to the left of a loop and one to its right. */
type KindAt = (inside: ChartPoint, outside: ChartPoint) => Kind

const finders = new WeakMap<FilmMap, (p: ChartPoint) => Cell | undefined>()

/** The cell at a place of a panel; undefined beyond its rim. */
export function finderOf(map: FilmMap): (p: ChartPoint) => Cell | undefined {
	const known = finders.get(map)
	if (known) return known
	const find = partFinder(
		map.chart,
		map.cells.map(({ region }) => region),
	)
	const made = (p: ChartPoint) => map.cells[find(p)]
	finders.set(map, made)
	return made
}

export const has = ({ films }: Cell, stage: number): boolean => films.some((film) => film.stage === stage)

interface Spot {
	readonly p: PlanePoint
	/** unit vector to the left of the loop */
	readonly left: PlanePoint
}
const beside = ({ p, left }: Spot, mm: number): ChartPoint => ({ s: p.x + mm * left.x, g: p.y + mm * left.y })

/** A loop in stretches of one kind, those without a ridge left out. */
function stretchesOf(loop: readonly PlanePoint[], kindOf: KindAt): { kind: Ridge['kind']; points: readonly PlanePoint[] }[] {
	const walk = walkOf(loop)
	const kindAt = (l: number) => {
		const spot = walk.at(l)
		const far = kindOf(beside(spot, BESIDE_MM), beside(spot, -BESIDE_MM))
		return far === 'none' ? kindOf(beside(spot, POINT_MM), beside(spot, -POINT_MM)) : far
	}
	const looks = walk.looks.map((l) => ({ l, kind: kindAt(l) }))
	const first = looks[0]
	if (!first) return []
	if (looks.every(({ kind }) => kind === first.kind)) {
		return isRidge(first.kind) ? [{ kind: first.kind, points: [...loop, loop[0] as PlanePoint] }] : []
	}
	// Changes in order round the loop, each to a hundredth of a millimetre.
	const changes = looks.flatMap(({ l, kind }, i) => {
		const next = looks[(i + 1) % looks.length] as (typeof looks)[number]
		if (next.kind === kind) return []
		let [a, b] = [l, i + 1 < looks.length ? next.l : next.l + walk.length]
		while (b - a > END_MM) {
			const m = (a + b) / 2
			if (kindAt(m) === kind) a = m
			else b = m
		}
		return [{ l: (a + b) / 2, kind: next.kind }]
	})
	const end = (list: typeof changes, i: number) => list[i + 1]?.l ?? (list[0] as (typeof changes)[number]).l + walk.length
	const long = changes.filter(({ l }, i) => end(changes, i) - l >= SHORT_MM)
	const only = long.filter(({ kind }, i) => i === 0 || kind !== long[i - 1]?.kind)
	return only.flatMap(({ l, kind }, i) => (isRidge(kind) ? [{ kind, points: walk.between(l, end(only, i)) }] : []))
}

const isRidge = (kind: Kind): kind is Ridge['kind'] => kind === 'line' || kind === 'under'

/** A loop by its length in the (s, g) plane; lengths beyond its end go round again. */
function walkOf(loop: readonly PlanePoint[]) {
	const at: number[] = [0]
	loop.forEach((a, i) => {
		const b = loop[(i + 1) % loop.length] as PlanePoint
		at.push((at[i] as number) + Math.hypot(b.x - a.x, b.y - a.y))
	})
	const length = at[loop.length] as number
	const indexAt = (l: number) => {
		let [low, high] = [0, loop.length]
		while (high - low > 1) {
			const m = (low + high) >> 1
			if ((at[m] as number) <= l) low = m
			else high = m
		}
		return low
	}
	const spot = (whole: number): Spot => {
		const l = whole % length
		const i = indexAt(l)
		const [a, b] = [loop[i] as PlanePoint, loop[(i + 1) % loop.length] as PlanePoint]
		const chord = (at[i + 1] as number) - (at[i] as number)
		const t = chord > 0 ? (l - (at[i] as number)) / chord : 0
		const [x, y] = chord > 0 ? [(b.x - a.x) / chord, (b.y - a.y) / chord] : [1, 0]
		return { p: { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t }, left: { x: -y, y: x } }
	}
	const looks = loop.flatMap((_, i) => {
		const [from, to] = [at[i] as number, at[i + 1] as number]
		const n = Math.max(1, Math.ceil((to - from) / LOOK_MM))
		return to > from ? Array.from({ length: n }, (_, k) => from + ((to - from) * (k + 0.5)) / n) : []
	})
	const between = (from: number, to: number): PlanePoint[] => {
		const corners = [0, length].flatMap((turn) =>
			loop.flatMap((p, i) => ((at[i] as number) + turn > from && (at[i] as number) + turn < to ? [p] : [])),
		)
		return [spot(from).p, ...corners, spot(to).p]
	}
	return { length, at: spot, looks, between }
}

/** The stretches of ridges that lie under a region, a decal's say, with their lengths and heights. */
export function ridgesUnder(chart: Chart, ridges: readonly Ridge[], region: ChartRegion): readonly Ridge[] {
	const plane = toPlane(region)
	return ridges.flatMap((ridge) =>
		clipPolyline(
			ridge.line.map(({ s, g }) => ({ x: s, y: g })),
			plane,
		).map(({ points }): Ridge => {
			const line = points.map((p) => ({ s: p.x, g: p.y }))
			return { ...ridge, line, lengthMm: rowLength(chart, line) }
		}),
	)
}
