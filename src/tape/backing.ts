/** What is covered beyond the tape at the lines: wider tape lapped on it, then paper. */
import { toChart, toPlane } from '../chart/region.ts'
import type { Shop, Tape } from '../job/shop.ts'
import type { Region } from '../plane/point.ts'
import { areaOf, intersectSmall, subtract, union } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { strip } from '../stages/strip.ts'
import { onPanel } from './lay.ts'
import type { Backing, TapeRun } from './run.ts'

/** Backing lies at least so far over the tape at the line, of that tape's width (US Army TM 1-1500-204-23-9). */
const LAPPED = 0.5
/** Less than this beyond a run needs no backing, mm^2. */
const LEAST_MM2 = 60
/** Less is covered with what lies beside it, mm^2. */
const LEAST_PAPER_MM2 = 100
/** Nothing here makes an edge that is seen: outlines may be so far off, mm. */
const ROUGH_MM = 0.1
const rough = (region: Region): Region => region.map((loop) => simplify(loop, ROUGH_MM, true))

/** Backing for each run that has something to cover beyond it, and the paper over the rest. */
export function backed(
	{ chart }: Seen,
	stage: Stage,
	runs: readonly TapeRun[],
	tapes: Shop['tapes'],
	taped: Region,
): { readonly backing: readonly Backing[]; readonly paperMm2: number } {
	const covered = rough(toPlane(stage.covered))
	if (areaOf(covered) <= 0) return { backing: [], paperMm2: 0 }
	const left = subtract(covered, rough(taped))
	const wide = tapes.filter(({ kind }) => kind === 'crepe').sort((a, b) => b.width - a.width)[0]
	const backing: Backing[] = []
	for (const run of wide ? runs : []) {
		const from = run.offMm + LAPPED * run.tape.width
		const outline = intersectSmall(rough(strip(chart, run.line, from, from + (wide as Tape).width)), covered)
		if (areaOf(intersectSmall(outline, left)) < LEAST_MM2) continue
		backing.push({ over: run.id, tape: wide as Tape, lengthMm: run.lengthMm, outline: toChart(outline) })
	}
	const rest = backing.length > 0 ? subtract(left, union(backing.map(({ outline }) => toPlane(outline)))) : left
	const paperMm2 = rest.length > 0 ? onPanel(chart, rest) : 0
	return { backing, paperMm2: paperMm2 > LEAST_PAPER_MM2 ? paperMm2 : 0 }
}
