/** What is covered beyond the tape at the lines: wider tape lapped on it, then paper. */
import { toChart, toPlane } from '../chart/region.ts'
import type { Shop, Tape } from '../job/shop.ts'
import type { Region } from '../plane/point.ts'
import { areaOf, intersectSmall, offsetRegion, subtract, union } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { strip } from '../stages/strip.ts'
import { onPanel } from './lay.ts'
import type { Backing, TapeRun } from './run.ts'

/** Backing lies at least so far over the tape at the line, of that tape's width (US Army TM 1-1500-204-23-9). */
const LAPPED = 0.5
/** What is left narrower than this is covered by pressing the backing down, mm. */
const NARROW_MM = 3
/** Less than this beyond a run needs no backing, mm^2. */
const LEAST_MM2 = 60
/** Nothing here makes an edge that is seen: outlines may be so far off, mm. */
const ROUGH_MM = 0.1
const rough = (region: Region): Region => region.map((loop) => simplify(loop, ROUGH_MM, true))

/** Backing for each run that has something to cover beyond it, and the paper over the rest. */
export function backed(
	{ chart }: Seen,
	stage: Stage,
	runs: readonly TapeRun[],
	tapes: Shop['tapes'],
	covers: readonly Region[],
): { readonly backing: readonly Backing[]; readonly paper: Region } {
	const covered = rough(toPlane(stage.covered))
	if (areaOf(covered) <= 0) return { backing: [], paper: [] }
	const taped = union(covers.map(rough))
	const left = subtract(covered, taped)
	const wide = tapes.filter(({ kind }) => kind === 'crepe').sort((a, b) => b.width - a.width)[0]
	const backing: Backing[] = []
	for (const run of wide ? runs : []) {
		const from = run.offMm + LAPPED * run.tape.width
		const outline = intersectSmall(rough(strip(chart, run.line, from, from + (wide as Tape).width)), covered)
		if (areaOf(intersectSmall(outline, left)) < LEAST_MM2) continue
		backing.push({ over: run.id, tape: wide as Tape, lengthMm: run.lengthMm, outline: toChart(outline) })
	}
	const rest = backing.length > 0 ? subtract(left, union(backing.map(({ outline }) => toPlane(outline)))) : left
	// What is too narrow for paper goes with the tape beside it.
	const style = { join: 'round', arcToleranceMm: 2 * ROUGH_MM } as const
	const paper = offsetRegion(offsetRegion(rest, -NARROW_MM / 2, style), NARROW_MM / 2, style)
	return { backing, paper }
}

/** mm^2 of paper, on the panel. */
export const paperArea = (seen: Seen, paper: Region): number => (paper.length > 0 ? onPanel(seen.chart, paper) : 0)
