import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import { nearTurn } from '../chart/round.ts'
import { handOf, readRef, refOf } from '../job/marks.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Edge, Hand, Job, Panel } from '../job/schema.ts'
import { type FittedEdge, fitEdge } from '../line/edge.ts'
import type { Through } from '../line/run.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { areaOf } from '../plane/region.ts'
import type { PanelArea } from '../scheme/outline.ts'
import type { SidedEdge } from '../scheme/scheme.ts'
import { onSide, type Side, sidesOf } from '../scheme/side.ts'
import type { Folded } from '../survey/fold.ts'
import { isCrossing } from '../survey/named.ts'
import { findMark, type Mark, type Survey } from '../survey/survey.ts'

export interface PanelEdge {
	readonly id: string
	readonly hand: string
	readonly fitted: FittedEdge
	/** the line as it lies on each of its sides */
	readonly sided: readonly SidedEdge[]
	/** how well it is known (1 sd across it) where it is known least well, mm */
	readonly sdMm: number
}

export interface EdgesInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly path: string
	readonly survey: Survey
	readonly folded: Folded
	readonly area: PanelArea | undefined
	/** from the panel as found to the panel as prepared */
	readonly carry: (p: ChartPoint) => ChartPoint
	readonly limits: Job['limits']
	readonly toleranceMm: number
}

/** Of a line's problems, those that a mark in the wrong place brings about. */
const FOLLOWS_MARKS: ReadonlySet<string> = new Set(['EDGE_ODD_MARK', 'EDGE_LEAVES_MARK'])

/** The lines of one panel, each fitted through its marks and laid on its sides. */
export function panelEdges(input: EdgesInput): Outcome<readonly PanelEdge[]> {
	const problems: Problem[] = []
	const edges: PanelEdge[] = []
	// A line that runs off does not end in a hole.
	const panel = toPlane(input.area?.region ?? []).filter((loop) => areaOf([loop]) > 0)
	input.panel.edges.forEach((edge, i) => {
		const path = `${input.path}/edges/${i}`
		for (const way of waysOf(input.panel, edge)) fitOne(edge, path, way)
	})
	return { value: edges, problems }

	function fitOne(edge: Edge, path: string, { hand, sides, of }: Way): void {
		const marks = marksOf(input, edge, hand, of, `${path}/through`, problems)
		if (!marks) return
		const through = directed(input.chart, throughOf(input, edge, marks), edge, hand)
		const outcome = fitEdge(input.chart, {
			id: edge.id,
			panel: input.panel,
			...(sides.length === 1 ? { side: sides[0] as Side } : {}),
			path,
			marks: through,
			closed: edge.closed,
			runsOff: { front: edge.front === 'runs-off', rear: edge.rear === 'runs-off' },
			onPanel: (p) => pointInRegion({ x: p.s, y: p.g }, panel),
			toleranceMm: input.toleranceMm,
		})
		// A line beside a mark in doubt points at whatever mark it likes.
		const doubted = marks.some((mark) => mark.inDoubt)
		problems.push(...outcome.problems.filter(({ code }) => !(doubted && FOLLOWS_MARKS.has(code))))
		if (!outcome.value) return
		const { curve, led, known } = outcome.value
		const fromRight = hand === 'mirrored'
		edges.push({
			id: edge.id,
			hand,
			fitted: outcome.value,
			sided: sides.map((side) => ({
				edge: edge.id,
				side,
				curve: fromRight ? onSide(input.panel, curve, side) : curve,
				led: led,
			})),
			sdMm: Math.max(...known.map((place) => place.sdMm)),
		})
	}
}

/** One fit of a line: the sides that it is for, and whose marks it goes through. */
interface Way {
	readonly hand: Hand
	readonly sides: readonly Side[]
	readonly of: 'mean' | 'left' | 'right'
}

/** A line that keeps each side as it was is fitted on each, any other once. */
function waysOf(panel: Panel, edge: Edge): readonly Way[] {
	const hand = handOf(panel, edge.hand)
	if (hand === 'mirrored' && edge.sides === 'each') {
		return (['left', 'right'] as const).map((side) => ({ hand: side, sides: [side], of: side }))
	}
	const of = hand === 'mirrored' && edge.sides && edge.sides !== 'each' ? edge.sides : 'mean'
	return [{ hand, sides: sidesOf(panel, hand), of }]
}

/** The marks that a line goes through, or undefined (with a problem) where one has no place. */
function marksOf(
	input: EdgesInput,
	edge: Edge,
	hand: Hand,
	of: Way['of'],
	path: string,
	problems: Problem[],
): Mark[] | undefined {
	const marks: Mark[] = []
	let missing = false
	edge.through.forEach((step, i) => {
		const ref = refOf(step)
		const { name, side } = readRef(ref)
		const mark = side
			? findMark(input.survey, ref)
			: hand === 'mirrored'
				? foldedMark(input, name, of)
				: of !== 'mean'
					? sidedMark(input, name, of)
					: hand === 'left' || hand === 'right'
						? (findMark(input.survey, `${hand}/${name}`) ?? findMark(input.survey, name))
						: findMark(input.survey, name)
		if (mark) {
			marks.push(mark)
			return
		}
		missing = true
		problems.push({
			code: 'EDGE_MARK_UNKNOWN',
			severity: 'error',
			path: `${path}/${listedAt(edge, i)}`,
			place: { panel: input.panel.id },
			found: `${ref}, a mark whose place is not known${hand === 'across' && !side ? ' (or known on both sides)' : ''}`,
			expected: 'marks that readings or datums have placed',
			fix: hand === 'across' && !side ? `write left/${name} or right/${name}` : `measure ${ref}, or take it out of the line`,
		})
	})
	return missing ? undefined : marks
}

/** Of one side only where that was asked for and measured; as on the right. */
function foldedMark({ panel, survey, folded }: EdgesInput, name: string, of: Way['of']): Mark | undefined {
	const own = of === 'mean' ? undefined : survey.marks[`${of}/${name}`]
	if (!own) return folded.marks[name]
	return of === 'left' ? acrossCentre(panel, own) : own
}

/** On one side where it lies; from the other one where it was measured there alone. */
function sidedMark({ panel, survey, folded }: EdgesInput, name: string, side: 'left' | 'right'): Mark | undefined {
	const own = findMark(survey, `${side}/${name}`)
	const other = folded.marks[name]
	return own ?? (other && side === 'left' ? acrossCentre(panel, other) : other)
}

/** To the other side of the centreline; a pair is alike already. */
function acrossCentre(panel: Panel, mark: Mark): Mark {
	if (panel.hand !== 'centre') return mark
	const { ss, sg, gg } = mark.covariance
	return { ...mark, at: { s: mark.at.s, g: 0 - mark.at.g }, covariance: { ss, sg: -sg, gg } }
}

function throughOf(input: EdgesInput, edge: Edge, marks: readonly Mark[]): Through[] {
	return edge.through.map((step, i) => {
		const mark = marks[i] as Mark
		const said = typeof step === 'string' ? undefined : step
		const ref = refOf(step)
		return {
			key: ref,
			listed: listedAt(edge, i),
			...(isCrossing(ref) ? { path: `${input.path}/readings/${mark.readings[0] ?? 0}` } : {}),
			at: input.carry(mark.at),
			sdS: mark.sd.s,
			sdG: mark.sd.g,
			covariance: mark.covariance,
			tolerance: said?.tolerance ?? input.limits.mark,
			corner: said?.corner ?? false,
			by: said?.by ?? 'smooth',
		}
	})
}

/** Which of the marks that the job lists for the line this one is: where it crosses a station it lists none. */
const listedAt = (edge: Edge, i: number) => edge.through.slice(0, i).filter((step) => !isCrossing(refOf(step))).length

/**
 * Open lines go front to rear (left to right where they cross the centreline), in whatever order their marks were written:
 * ends and lengths along them are named so. How a line comes to a mark belongs to the stretch between two.
 */
function directed(chart: Chart, marks: readonly Through[], edge: Edge, hand: string): readonly Through[] {
	const first = marks[0] as Through
	// On a ring each mark is the short way from the one before.
	const last = { at: marks.reduce((before, { at }) => nearTurn(chart, before, at), first.at) }
	const [along, beside] = hand === 'across' ? (['g', 's'] as const) : (['s', 'g'] as const)
	const forward = last.at[along] - first.at[along] || last.at[beside] - first.at[beside]
	if (edge.closed || forward >= 0) return marks
	return marks.map((mark, i) => ({ ...mark, by: (marks[i + 1] ?? first).by })).reverse()
}
