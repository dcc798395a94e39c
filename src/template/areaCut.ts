import type { PlanePoint, Region } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import { areaOf, normalise } from '../plane/region.ts'
import type { FlatArea, RimPoint } from './flatten.ts'

/** How an area that was laid flat is cut from one sheet, in the frame it was laid in. */
export interface AreaCut {
	/** outline with the wedges that slits stand open by */
	readonly knife: Region
	/** where the sides of slits would lap over each other, or nearly meet: plain cuts half-way between them */
	readonly cuts: readonly (readonly PlanePoint[])[]
	/** where slits run, wedges and plain cuts */
	readonly slits: readonly (readonly PlanePoint[])[]
	readonly working: readonly (readonly PlanePoint[])[]
	/** slits whose mouths stand open on paper and close on the panel, and those that open there */
	readonly closing: number
	readonly opening: number
	/** widest that a slit closes or opens by, mm */
	readonly widestMm: number
	/** what cutting leaves out of true, mm */
	readonly errorMm: number
}

/** More overlap than this is a piece that lies over itself, mm^2: the grid of regions makes less. */
const OVERLAP_MM2 = 0.5
const GRID_MM = 1e-4
/** A wedge narrower than this is one cut of a knife, mm (common practice, no source). */
const ONE_CUT_MM = 0.05
/** What cutting leaves out of true at most, mm. */
export const CUT_MM = ONE_CUT_MM / 2 + GRID_MM

/** Undefined where parts other than the two sides of a slit would lie over each other. */
export function areaCut(flat: Pick<FlatArea, 'rim'>): AreaCut | undefined {
	const cuts: PlanePoint[][] = []
	const slits: PlanePoint[][] = []
	const mouths = { closing: 0, opening: 0 }
	let widestMm = 0
	const loops = flat.rim.map((rim) => {
		const { loop, widest } = withoutLaps(rim, cuts, slits, mouths)
		widestMm = Math.max(widestMm, widest)
		return loop
	})
	const knife = normalise(loops)
	const wanted = loops.reduce((sum, loop) => sum + signedArea(loop), 0)
	if (wanted - areaOf(knife) > OVERLAP_MM2) return undefined
	return {
		knife,
		cuts,
		slits,
		...mouths,
		working: loops.flatMap(workingRuns),
		widestMm,
		errorMm: cuts.length > 0 ? CUT_MM : GRID_MM,
	}
}

/** A rim whose slits do not lap: where the two sides would, both run half-way between them. */
function withoutLaps(
	rim: readonly RimPoint[],
	cuts: PlanePoint[][],
	slits: PlanePoint[][],
	mouths: { closing: number; opening: number },
): { loop: RimPoint[]; widest: number } {
	const n = rim.length
	const first = Math.max(
		0,
		rim.findIndex((p, i) => p.slit === undefined && rim[(i + n - 1) % n]?.slit === undefined),
	)
	const turned = [...rim.slice(first), ...rim.slice(0, first)]
	const loop: RimPoint[] = []
	let widest = 0
	for (let i = 0; i < n; i++) {
		const p = turned[i] as RimPoint
		if (p.mouth === undefined || turned[i + 1]?.slit !== p.mouth) {
			loop.push(p)
			continue
		}
		let end = i + 1
		while (turned[end]?.slit === p.mouth) end++
		const sides = turned.slice(i, end + 1)
		slits.push(sides.map(({ x, y }) => ({ x, y })))
		const { points, merged } = parted(sides)
		cuts.push(...merged)
		const other = sides[sides.length - 1] as RimPoint
		const gap = Math.hypot(other.x - p.x, other.y - p.y)
		widest = Math.max(widest, gap)
		const mouth = points[0] as RimPoint
		const laps = mouth.x !== p.x || mouth.y !== p.y
		if (laps) mouths.opening++
		else mouths.closing++
		// What of the edge lies past the cut goes with the lap.
		const past = (q: RimPoint | undefined) =>
			laps && q !== undefined && q.slit === undefined && q.mouth === undefined && Math.hypot(q.x - mouth.x, q.y - mouth.y) < gap
		while (past(loop[loop.length - 1])) loop.pop()
		loop.push(...points)
		i = end
		while (past(turned[i + 1])) i++
	}
	return { loop, widest }
}

/** Both sides of a slit from mouth to mouth by way of its tip, and the lines on which they were made one. */
function parted(sides: readonly RimPoint[]): { points: RimPoint[]; merged: PlanePoint[][] } {
	const last = sides.length - 1
	const tip = Math.floor(last / 2)
	const middle = (k: number): PlanePoint => {
		const [a, b] = [sides[k] as RimPoint, sides[last - k] as RimPoint]
		return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
	}
	const points = [...sides]
	const merged: PlanePoint[][] = []
	let run: PlanePoint[] = []
	for (let k = 0; k <= tip; k++) {
		const [a, b] = [sides[k] as RimPoint, sides[last - k] as RimPoint]
		const [p, q] = [middle(Math.max(0, k - 1)), middle(Math.min(tip, k + 1))]
		// The rim comes in on the one side, the piece to its left: the other side belongs to the right of it.
		const [dx, dy] = [q.x - p.x, q.y - p.y]
		const laps = k === tip || (dx * (b.y - a.y) - dy * (b.x - a.x)) / (Math.hypot(dx, dy) || 1) > -ONE_CUT_MM
		if (laps) {
			const m = middle(k)
			run.push(m)
			points[k] = { ...a, ...m }
			points[last - k] = { ...b, ...m }
		}
		if (laps && k < tip) continue
		if (run.length > 1) merged.push(run)
		run = []
	}
	return { points, merged }
}

/** The stretches of a rim that are taped along. */
function workingRuns(rim: readonly RimPoint[]): PlanePoint[][] {
	const n = rim.length
	const start = rim.findIndex((p) => !p.working)
	if (start < 0) return [[...rim, rim[0] as RimPoint].map(({ x, y }) => ({ x, y }))]
	const runs: PlanePoint[][] = []
	let run: PlanePoint[] = []
	for (let k = 1; k <= n; k++) {
		const { x, y, working } = rim[(start + k) % n] as RimPoint
		if (working) run.push({ x, y })
		if (working && k < n) continue
		if (run.length > 1) runs.push(run)
		run = []
	}
	return runs
}
