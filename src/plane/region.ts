import clipper, { type Path } from 'clipper-lib'
import { boxAround, clipToBox } from './boxClip.ts'
import { clearLoops, combineClear, liesWithin, type Rule } from './keepClear.ts'
import type { Loop, PlanePoint, Region } from './point.ts'
import { perimeter, signedArea } from './polyline.ts'
import { refuseNonFinite } from './vector.ts'

export { clipPolyline } from './clip.ts'

/** Booleans and offsets of regions (Vatti 1992, by clipper-lib in integers). Non-zero fill but where it says otherwise. */

/** One integer of the library, mm: the grid that every region is snapped to. */
export const SNAP_MM = 1e-4
const PER_MM = 1e4
/** Largest coordinate, mm: where the library's arithmetic leaves exact integers. Far beyond any vehicle. */
const REACH_MM = 4e11
/** Loops with a mean width under this are rounding noise between edges that should coincide: two steps of the grid. */
const SLIVER_MM = 2 * SNAP_MM

type Work = InstanceType<typeof clipper.Clipper>

/** The library rounds the count of chords of an arc to the nearest: 1.5 become 1, and a sagitta 1.5^2 times what was asked for. */
const CHORD_ROUNDING = 2.25

// The library reports faults by `alert`, which a process without a window lacks; a fault must stop the work either way.
clipper.Error = (message: string): never => {
	throw new Error(`region: ${message}`)
}

export interface RegionOptions {
	/** loops whose mean width (twice the area over the perimeter) is less are dropped; 0.0002 mm by default */
	readonly sliverMm?: number
}

export const union = (regions: readonly Region[], options?: RegionOptions): Region =>
	combine(clipper.ClipType.ctUnion, regions.flat(), [], options)
export const intersect = (a: Region, b: Region, options?: RegionOptions): Region =>
	combine(clipper.ClipType.ctIntersection, a, b, options)
export const subtract = (a: Region, b: Region, options?: RegionOptions): Region =>
	combine(clipper.ClipType.ctDifference, a, b, options)
export const xor = (a: Region, b: Region, options?: RegionOptions): Region => combine(clipper.ClipType.ctXor, a, b, options)

/** What of a region lies within another and what does not: `intersect` and `subtract` in one. */
export function divide(a: Region, b: Region): { readonly within: Region; readonly beyond: Region } {
	const { ctIntersection, ctDifference } = clipper.ClipType
	const [within, beyond] = combineBy([ctIntersection, ctDifference], a, b) as [Region, Region]
	return { within, beyond }
}

/** As `intersect` and `subtract`, for a small region and one that reaches far beyond it: only what lies near the small one is looked at. */
export const intersectSmall = (small: Region, large: Region): Region => intersect(small, near(small, large))
export const subtractFrom = (small: Region, large: Region): Region => subtract(small, near(small, large))

/** Round a small region so much of the large one is kept, mm: clear of every grid. */
const AROUND_MM = 1

function near(small: Region, large: Region): Region {
	const box = boxAround(small, AROUND_MM)
	return box ? clipToBox(large, box) : []
}

/** The same region by our rules: overlaps merged, snapped, outer loops anticlockwise, holes clockwise, no slivers. */
export const normalise = (region: Region, options?: RegionOptions): Region => union([region], options)

/** The region that loops bound by the even-odd rule: what an odd count of them goes round, however they run. */
export function evenOdd(loops: Region, options: RegionOptions = {}): Region {
	const work = new clipper.Clipper()
	if (!work.AddPaths(toPaths(loops), clipper.PolyType.ptSubject, true)) return []
	return run(work, clipper.ClipType.ctUnion, clipper.PolyFillType.pftEvenOdd, options.sliverMm ?? SLIVER_MM)
}

/**
 * Whether a region lies within the loops of another, each in one of them and clear of its edge. A quick look before `subtract`:
 * where it says no the answer may still be yes.
 */
export const surelyWithin = (outer: Region): ((inner: Region) => boolean) => liesWithin(outer, PER_MM)

/** Area, mm^2, holes taken off. */
export const areaOf = (region: Region): number => region.reduce((sum, loop) => sum + signedArea(loop), 0)

export interface RegionOffset {
	readonly join: 'mitre' | 'round'
	/** a mitre longer than this many times the distance is cut off; at least 2 (the library's own floor), which is the default */
	readonly mitreLimit?: number
	/** largest sagitta of the chords of a round join, mm; 0.001 by default */
	readonly arcToleranceMm?: number
	readonly sliverMm?: number
}

/**
 * Region grown by d mm (shrunk for d < 0); empty where nothing that far from the edge is left.
 * Arc chords and the grid make it good to arcToleranceMm + 1e-4: for a true edge offset use `offsetCubics`.
 * Throws a RangeError for a distance that is not finite or a mitre limit below 2.
 */
export function offsetRegion(region: Region, d: number, options: RegionOffset): Region {
	const mitreLimit = options.mitreLimit ?? 2
	if (!Number.isFinite(d)) throw new RangeError(`offset distance is ${d}, not finite`)
	if (!(mitreLimit >= 2)) throw new RangeError(`mitreLimit is ${mitreLimit}, not 2 or more`)
	const arcToleranceMm = options.arcToleranceMm ?? 0.001
	if (!(arcToleranceMm > 0)) throw new RangeError(`arcToleranceMm is ${arcToleranceMm}, not above 0`)
	const clean = normalise(region)
	if (d === 0) return clean
	const work = new clipper.ClipperOffset(mitreLimit, (arcToleranceMm * PER_MM) / CHORD_ROUNDING)
	const { jtMiter, jtRound } = clipper.JoinType
	work.AddPaths(toPaths(clean), options.join === 'mitre' ? jtMiter : jtRound, clipper.EndType.etClosedPolygon)
	const solution: Path[] = []
	work.Execute(solution, d * PER_MM)
	return toRegion(solution, options.sliverMm ?? SLIVER_MM)
}

/** What each boolean keeps, by the winding numbers of its two sides (non-zero fill). */
const RULES: ReadonlyMap<number, Rule> = new Map([
	[clipper.ClipType.ctUnion, (s, c) => s !== 0 || c !== 0],
	[clipper.ClipType.ctIntersection, (s, c) => s !== 0 && c !== 0],
	[clipper.ClipType.ctDifference, (s, c) => s !== 0 && c === 0],
	[clipper.ClipType.ctXor, (s, c) => (s !== 0) !== (c !== 0)],
])

const combine = (type: number, subject: Region, clip: Region, options?: RegionOptions): Region =>
	combineBy([type], subject, clip, options)[0] as Region

/** Several booleans of the same two. */
function combineBy(types: readonly number[], subject: Region, clip: Region, options: RegionOptions = {}): Region[] {
	// With nothing at all to work on the library reports a failure.
	if (subject.length === 0 && clip.length === 0) return types.map(() => [])
	const sliverMm = options.sliverMm ?? SLIVER_MM
	const clear = clearLoops(subject, clip, PER_MM)
	if (clear) {
		return types.map((type) => combineClear(clear, RULES.get(type) as Rule, PER_MM).filter((loop) => isWide(loop, sliverMm)))
	}
	const work = new clipper.Clipper()
	const { ptSubject, ptClip } = clipper.PolyType
	const added = [work.AddPaths(toPaths(subject), ptSubject, true), work.AddPaths(toPaths(clip), ptClip, true)]
	// the library takes no loop without area, and calls work on none of them a failure
	if (!added.includes(true)) return types.map(() => [])
	return types.map((type) => run(work, type, clipper.PolyFillType.pftNonZero, sliverMm))
}

function run(work: Work, type: number, fill: number, sliverMm: number): Region {
	const solution: Path[] = []
	if (!work.Execute(type, solution, fill, fill)) throw new Error('region: the boolean did not complete')
	return toRegion(solution, sliverMm)
}

function toPaths(region: Region): Path[] {
	return region.map((loop, i) => {
		refuseNonFinite(loop, `loop ${i}`)
		return loop.map((p, j) => {
			if (Math.abs(p.x) > REACH_MM || Math.abs(p.y) > REACH_MM) {
				throw new RangeError(`loop ${i}: point ${j} is (${p.x}, ${p.y}), beyond ${REACH_MM} mm`)
			}
			return { X: Math.round(p.x * PER_MM), Y: Math.round(p.y * PER_MM) }
		})
	})
}

/** The library gives outer loops anticlockwise and holes clockwise (y up), as we do. */
function toRegion(paths: readonly Path[], sliverMm: number): Region {
	return paths
		.map((path) => path.map((p): PlanePoint => ({ x: p.X / PER_MM, y: p.Y / PER_MM })))
		.filter((loop) => isWide(loop, sliverMm))
}

const isWide = (loop: Loop, sliverMm: number) => loop.length >= 3 && 2 * Math.abs(signedArea(loop)) > sliverMm * perimeter(loop)
