/** What nothing covers beside a painted line, and what is covered that is to be painted. */
import { measure } from '../chart/measure.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Region } from '../plane/point.ts'
import { perimeter } from '../plane/polyline.ts'
import { areaOf, intersect, intersectSmall, subtractFrom } from '../plane/region.ts'
import type { Seen, Stage, StageEdge } from '../stages/parts.ts'
import { strip } from '../stages/strip.ts'
import { onPanel } from './lay.ts'
import type { Gap } from './run.ts'

/** A gap wider than this beside a painted line bleeds where it is seen, mm. */
export const GAP_MM = 0.1
/** Where outlines of two kinds meet, chords leave each other by this, mm: what is narrower is theirs. */
const CHORDS_MM = 0.012
/** Less is rounding, mm^2. */
const LEAST_MM2 = 0.01

/** Of a line that a stripe of tape stands for, how far off it the tape may begin, mm. */
export const letPassAlong = ({ borders }: StageEdge, letPass: ReadonlyMap<string, number>): number =>
	borders.reduce((most, id) => Math.max(most, letPass.get(id) ?? 0), 0)

/**
 * The strip beside each painted line, from the line to its own parallel, less everything that covers: what is left is open. Tape
 * narrower than its stripe leaves half the difference on each side, and the strip begins there: `letPass` has it by border.
 */
export function gapOf(seen: Seen, stage: Stage, taped: Region, letPass: ReadonlyMap<string, number>): Gap {
	const { chart } = seen
	const covered = toPlane(stage.covered)
	let lineMm = 0
	let openMm2 = 0
	let worst: { mm: number; at?: ChartPoint } = { mm: 0 }
	for (const edge of stage.edges) {
		if (edge.kind !== 'line') continue
		lineMm += measure(chart, edge.curve).length
		const fromMm = letPassAlong(edge, letPass)
		const untaped = subtractFrom(strip(chart, edge.curve, fromMm, fromMm + GAP_MM), taped)
		for (const loop of intersectSmall(untaped, covered)) {
			const mm = (2 * areaOf([loop])) / perimeter(loop)
			if (mm < CHORDS_MM || areaOf([loop]) < LEAST_MM2) continue
			openMm2 += onPanel(chart, [loop])
			const first = loop[0]
			if (mm > worst.mm && first) worst = { mm, at: { s: first.x, g: first.y } }
		}
	}
	const over = intersect(taped, toPlane(stage.open)).filter((loop) => (2 * areaOf([loop])) / perimeter(loop) > CHORDS_MM)
	return {
		lineMm,
		stripMm: GAP_MM,
		openMm2,
		widestMm: worst.mm,
		...(worst.at ? { at: worst.at } : {}),
		overMm2: over.length > 0 ? onPanel(chart, over) : 0,
	}
}
