import type { Outcome, Problem } from '../../job/problem.ts'
import { listedShort, mm } from '../../job/say.ts'
import { fitSections, LEAST_POINTS } from './fitSection.ts'
import { boundsOf, type ScanMesh } from './mesh.ts'
import { noiseOf } from './noise.ts'
import { refused, said } from './said.ts'
import { type SectionLine, sectionLine } from './sectionLine.ts'
import type { SectionSpline } from './sectionSpline.ts'
import { slice } from './slice.ts'

/** A smooth section of a scan in the plane square to the vehicle's length at `along`. */
export interface ScanSection {
	/** rearward, in the vehicle's frame, mm */
	readonly along: number
	/** evenly spaced, from left to right (from below to above on a panel of one side); a ring begins and ends 1 mm to both sides of its seam, below */
	readonly points: readonly { readonly across: number; readonly up: number }[]
	readonly closed: boolean
	/** one standard deviation of these points by the scan's noise, mm */
	readonly sdMm: number
	/** longest stretch without scanned points, mm */
	readonly gapMm: number
}

export interface ScanSections {
	readonly sections: readonly ScanSection[]
	/** one standard deviation of a single point of the scan, mm */
	readonly noiseMm: number
	readonly noiseFrom: 'given' | 'estimated'
}

export interface SectionOptions {
	/** a panel of one side is cut from below to above and looked at from outside; 'centre' from left to right, outward is up */
	readonly hand: 'centre' | 'left' | 'right'
	/** where to cut, in the vehicle's frame; evenly over the scan where absent */
	readonly stations?: readonly number[]
	/** one standard deviation of a point, mm; estimated where absent */
	readonly noiseMm?: number
	readonly path: string
}

/** Sections where none are asked for: a tank lofted from 13 came to 0.008 mm, and twice as many cost nothing to measure. */
const SECTIONS = 25
/** The first and the last lie in from the ends by this part of the length: ends are ragged. */
const MARGIN = 0.01
/** Points of a section: twice what its shape has effective parameters, within these. */
const LEAST_OUT = 17
const MOST_OUT = 49
const SEAM_TRIES = 400
/** A ring's two ends keep this much off its seam, so that they are two places; the skin runs on over it. */
const SLIT_MM = 1
/** Below this a scan is as good as exact, and smoothing has nothing to weigh, mm. */
const LEAST_NOISE_MM = 0.001
/** Estimated noise beyond this is no scanner's: the mesh is too coarse for its shape, or damaged, mm. */
const MOST_NOISE_MM = 1
/** A section shorter than this part of the longest is near the tip of the panel, where it turns into the plane of the cut. */
const SHORT = 0.3
/** Other lines in the planes are told of above this share of their length. */
const LEFT_OUT = 0.05
/** Holes wider than this are told of where they cross a section, mm. */
const WIDE_GAP_MM = 10

/**
 * A placed scan as a list of clean sections to loft from: cut by planes square to the vehicle's length, joined across holes, and
 * smoothed by one stiffness for all, no further than its noise asks for; a finer mesh gives more points to each and a better
 * section. Fails when fewer than three sections come of it.
 */
export function scanSections(
	placed: { readonly mesh: ScanMesh; readonly other: Int32Array },
	{ hand, stations, noiseMm: given, path }: SectionOptions,
): Outcome<ScanSections> {
	const { mesh, other } = placed
	const box = boundsOf(mesh)
	const [from, to] = [box[0]!, box[3]!]
	const at = stations ? [...stations].sort((a, b) => a - b) : evenly(from, to)
	const outside = at.filter((x) => x <= from || x >= to)
	if (outside.length > 0) {
		return refused(
			'SECTION_OFF_SCAN',
			`${path}/stations`,
			`sections at ${listedShort(
				outside.map((x) => mm(x)),
				'and',
				4,
			)}, where the scan has nothing`,
			`places between ${mm(Math.ceil(from))} and ${mm(Math.floor(to))}`,
			'take them out, or look whether the datums place the scan rightly',
		)
	}
	const noiseMm = Math.max(LEAST_NOISE_MM, given ?? noiseOf(mesh, other) ?? LEAST_NOISE_MM)
	if (noiseMm > MOST_NOISE_MM) {
		return refused(
			'SCAN_ROUGH',
			path,
			`a scan whose points scatter by ${mm(noiseMm)}`,
			`at most ${MOST_NOISE_MM} mm`,
			'scan again more finely, or take sections with a profile gauge',
		)
	}
	const lines = slice(mesh, other, at).map((cuts) => sectionLine(cuts, sectionFrame(hand)))
	const good = lines.flatMap((line, i) => (line && line.xy.length / 2 >= LEAST_POINTS ? [{ along: at[i]!, line }] : []))
	const lengths = good.map(({ line }) => lengthOf(line))
	const longest = lengths.reduce((a, b) => Math.max(a, b), 0)
	const used = good.filter((_, i) => lengths[i]! >= SHORT * longest)
	const fits =
		used.length >= 3
			? fitSections(
					used.map(({ line }) => line),
					noiseMm,
				)
			: undefined
	if (!fits) {
		return refused(
			'SCAN_FEW_SECTIONS',
			path,
			`a scan of which ${used.length} of ${at.length} sections can be used`,
			'three sections or more',
			'look whether the datums place the scan along the vehicle, and whether it has holes',
		)
	}
	const sections = used.map(({ along, line }, i) => sectionOf(along, line, fits[i]!, noiseMm))
	const noiseFrom = given === undefined ? 'estimated' : 'given'
	return {
		value: { sections, noiseMm, noiseFrom },
		problems: told(
			sections,
			at.length,
			used.map((u) => u.line),
			path,
		),
	}
}

function evenly(from: number, to: number): number[] {
	const inset = MARGIN * (to - from)
	return Array.from({ length: SECTIONS }, (_, i) => from + inset + ((to - from - 2 * inset) * i) / (SECTIONS - 1))
}

/** From the vehicle's y, z to across and outward, as the panel lies on its side of the vehicle. */
function sectionFrame(hand: SectionOptions['hand']): (y: number, z: number) => [number, number] {
	if (hand === 'centre') return (y, z) => [y, z]
	return hand === 'left' ? (y, z) => [z, -y] : (y, z) => [z, y]
}

function lengthOf({ xy }: SectionLine): number {
	let sum = 0
	// over strides of eight points, which noise lengthens little
	for (let i = 16; i < xy.length; i += 16) sum += Math.hypot(xy[i]! - xy[i - 16]!, xy[i + 1]! - xy[i - 15]!)
	return sum
}

function sectionOf(along: number, { gapMm, closed }: SectionLine, fit: SectionSpline, noiseMm: number): ScanSection {
	const count = Math.max(LEAST_OUT, Math.min(MOST_OUT, Math.ceil(2 * fit.df) + 1))
	const c = new Float64Array(6)
	const slit = fit.closed ? SLIT_MM : 0
	const start = (fit.closed ? seamOf(fit) : 0) + slit
	const run = fit.length - 2 * slit
	const points = Array.from({ length: count }, (_, i) => {
		fit.at(start + (run * i) / (count - 1), c)
		return { across: c[0]!, up: c[1]! }
	})
	return { along, points, closed, gapMm, sdMm: noiseMm * Math.sqrt(Math.min(1, fit.df / fit.points)) }
}

/** Where a ring is opened: below, under the middle of the vehicle; at its lowest place if it does not reach across the middle. */
function seamOf(fit: SectionSpline): number {
	const c = new Float64Array(6)
	const step = fit.length / SEAM_TRIES
	let low = Number.POSITIVE_INFINITY
	let lowest = Number.POSITIVE_INFINITY
	let seam: number | undefined
	let lowestAt = 0
	let before = fit.at(0, c)[0]!
	for (let i = 1; i <= SEAM_TRIES; i++) {
		fit.at(i * step, c)
		if (c[1]! < lowest) {
			lowest = c[1]!
			lowestAt = i * step
		}
		if (before < 0 !== c[0]! < 0 && c[1]! < low) {
			low = c[1]!
			// the line is straight enough over a step for its zero to be right to a hundredth of one
			seam = (i - c[0]! / (c[0]! - before)) * step
		}
		before = c[0]!
	}
	return seam ?? lowestAt
}

function told(sections: readonly ScanSection[], asked: number, lines: readonly SectionLine[], path: string): Problem[] {
	const out: Problem[] = []
	const missing = asked - sections.length
	if (missing > 0) {
		out.push(
			said(
				'note',
				'SECTIONS_LEFT_OUT',
				path,
				`${missing} of ${asked} sections that were too short, left out`,
				'sections across the whole panel',
				'nothing, unless stripes go there: then give "stations" that lie on the panel',
			),
		)
	}
	const others = Math.max(...lines.map((l) => l.leftOutShare))
	if (others > LEFT_OUT) {
		out.push(
			said(
				'warning',
				'SECTION_PARTS',
				path,
				`sections with other lines beside the panel's own (up to ${Math.round(others * 100)} % of their length), which were left out`,
				'one sheet',
				'cut away in the scanning program what is not the outside of the panel',
			),
		)
	}
	const gap = sections.reduce((a, b) => (b.gapMm > a.gapMm ? b : a))
	if (gap.gapMm > WIDE_GAP_MM) {
		out.push(
			said(
				'warning',
				'SECTION_GAP',
				path,
				`a hole ${gap.gapMm.toFixed(0)} mm wide across the section at ${mm(Math.round(gap.along))}, bridged by the bend on both sides of it`,
				`scanned points at least every ${WIDE_GAP_MM} mm`,
				'keep stripes off that place, or scan it again',
			),
		)
	}
	return out
}
