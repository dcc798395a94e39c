/** Whether a plan paints what the scheme shows: everything that is sprayed, stage by stage, against every part. */
import { area } from '../chart/area.ts'
import { type Chart, metricRoom } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { rowLength } from '../chart/rowLength.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listed } from '../job/say.ts'
import type { Paint, Panel } from '../job/schema.ts'
import type { Loop, Region } from '../plane/point.ts'
import { pointInRegion, signedArea } from '../plane/polyline.ts'
import { intersect, offsetRegion, subtract } from '../plane/region.ts'
import { hides } from './coats.ts'
import type { Part, Seen } from './parts.ts'
import { type Opened, type Stack, stacksOf } from './stacks.ts'

/** What one part ends with, mm^2 on the panel: right, bare and wrong add up to all of it. */
export interface PartProof {
	/** its place in the list of parts */
	readonly part: number
	readonly areaMm2: number
	/** with exactly the paints that the scheme says */
	readonly rightMm2: number
	/** with no paint at all */
	readonly bareMm2: number
	/** with another paint, or with its own over or under the wrong one */
	readonly wrongMm2: number
	/** width of what is not right where it is widest, mm: twice its area over its perimeter */
	readonly widestMm: number
	/** wider than what shows: a place in it, and the films there from below, by their place in the list of what was opened */
	readonly amiss?: { readonly at: ChartPoint; readonly films: readonly number[] }
}

export interface PlanProof {
	readonly panel: string
	readonly hand: Seen['hand']
	readonly opened: readonly Opened[]
	readonly parts: readonly PartProof[]
	/** nothing amiss on any part */
	readonly holds: boolean
}

/** What is wrong beside a painted edge shows from this width, mm (common practice, no source). */
export const SHOWS_MM = 0.1

/**
 * The proof of a panel's plan. `opened` is what each stage really left open, in order: the panel less all that tape and paper
 * cover. What is not right is counted all of it, and is amiss where it is wider than `showsMm`: chords of two outlines of one
 * line leave each other by a hundredth of a millimetre.
 */
export function provePlan(
	seen: Seen,
	opened: readonly Opened[],
	paints: ReadonlyMap<string, Paint>,
	showsMm = SHOWS_MM,
): PlanProof {
	const stacks = stacksOf(seen.area, opened)
	const parts = seen.parts.map((part, i) => proofOf(seen.chart, part, i, { stacks, opened, paints, showsMm }))
	return { panel: seen.panel, hand: seen.hand, opened, parts, holds: parts.every(({ amiss }) => !amiss) }
}

interface Sprayed {
	readonly stacks: readonly Stack[]
	readonly opened: readonly Opened[]
	readonly paints: ReadonlyMap<string, Paint>
	readonly showsMm: number
}

function proofOf(chart: Chart, part: Part, index: number, { stacks, opened, paints, showsMm }: Sprayed): PartProof {
	const region = toPlane(part.region)
	const paintsOf = ({ films }: Stack) => films.map((film) => opened[film]?.paint as string)
	const right = stacks.filter((stack) => isRight(paintsOf(stack), part.coats, paints))
	const notRight = subtract(
		region,
		right.flatMap((stack) => stack.region),
	)
	const empty = part.coats.length > 0 ? stacks.filter(({ films }) => films.length === 0).flatMap((stack) => stack.region) : []
	const bare = notRight.length > 0 ? intersect(notRight, empty) : []
	const [areaMm2, offMm2, bareMm2] = [part.region, toChart(notRight), toChart(bare)].map((each) => area(chart, each)) as [
		number,
		number,
		number,
	]
	const { widestMm, at } = widest(chart, notRight, showsMm)
	const films = at && stacks.find((stack) => pointInRegion({ x: at.s, y: at.g }, stack.region))?.films
	return {
		part: index,
		areaMm2,
		rightMm2: areaMm2 - offMm2,
		bareMm2,
		wrongMm2: offMm2 - bareMm2,
		widestMm,
		...(at ? { amiss: { at, films: films ?? [] } } : {}),
	}
}

/** From the last paint that hides upward a place has a part's coats; where the lowest does not hide, nothing else at all. */
function isRight(films: readonly string[], coats: readonly string[], paints: ReadonlyMap<string, Paint>): boolean {
	const bottom = coats[0]
	if (bottom === undefined) return films.length === 0
	const lowest = paints.get(bottom)
	const below = films.length - coats.length
	return (below === 0 || (below > 0 && lowest !== undefined && hides(lowest))) && coats.every((c, i) => films[below + i] === c)
}

const room = metricRoom()

/** The widest place of a region; `at` only where it is wider than `showsMm`, and then well inside it. */
function widest(chart: Chart, region: Region, showsMm: number): { widestMm: number; at?: ChartPoint } {
	if (region.length === 0) return { widestMm: 0 }
	// A wide place at the end of a long narrow one has a small mean width: what is narrow is taken away first.
	const stretch = region.reduce((most, loop) => loop.reduce((j, p) => Math.max(j, chart.metric(p.x, p.y, room).j), most), 1)
	const half = showsMm / 2 / stretch
	const style = { join: 'round', arcToleranceMm: 0.01 } as const
	const roomy = region.filter((loop) => Math.abs(signedArea(loop)) > Math.PI * half ** 2)
	const core = roomy.length > 0 ? offsetRegion(roomy, -half, style) : []
	let best: { widestMm: number; at?: ChartPoint } = { widestMm: 0 }
	for (const loop of core) {
		for (const whole of intersect(offsetRegion([loop], half, style), region)) {
			const widestMm = widthOf(chart, whole)
			const inside = loop[0]
			if (widestMm > showsMm && widestMm > best.widestMm && inside) best = { widestMm, at: { s: inside.x, g: inside.y } }
		}
	}
	return best.at ? best : { widestMm: Math.min(showsMm, Math.max(...region.map((loop) => widthOf(chart, loop)))) }
}

function widthOf(chart: Chart, loop: Loop): number {
	const row = loop.map(({ x, y }) => ({ s: x, g: y }))
	return (2 * Math.abs(area(chart, [row]))) / rowLength(chart, row, true)
}

/** What is amiss on a panel, as problems: one for each part. */
export function planProblems(panel: Panel, path: string, seen: Seen, proof: PlanProof): readonly Problem[] {
	return proof.parts.flatMap(({ part, amiss, bareMm2, wrongMm2, widestMm }): Problem[] => {
		if (!amiss) return []
		const { what, coats, side } = seen.parts[part] as Part
		const there = amiss.films.map((film) => proof.opened[film] as Opened)
		const bare = there.length === 0
		const wanted = coats.length === 0 ? 'nothing' : listed(coats, 'and')
		const mm2 = Math.max(1, Math.round(bare ? bareMm2 : wrongMm2))
		const width = `up to ${widestMm.toFixed(widestMm < 1 ? 2 : 1)} mm wide`
		return [
			{
				code: bare ? 'STAGE_BARE' : 'STAGE_WRONG_PAINT',
				severity: 'error',
				path,
				place: placeOn(panel, amiss.at, side),
				found: bare
					? `${what}: ${mm2} mm2 end without any paint, ${width}`
					: `${what}: ${mm2} mm2 end with ${listed(
							there.map(({ paint }) => paint),
							'and',
						)} from below, ${width}`,
				expected: `${wanted} from below at every place of it`,
				fix: fixOf(what, coats, there, proof.opened),
			},
		]
	})
}

/** One thing to do: open it where a coat of its own is missing, else cover it where another came over it. */
function fixOf(what: string, coats: readonly string[], there: readonly Opened[], opened: readonly Opened[]): string {
	const missing = coats.find((coat) => !there.some(({ paint }) => paint === coat))
	if (missing !== undefined) {
		const stage = opened.find(({ paint }) => paint === missing)
		return stage ? `Leave ${what} open in stage ${stage.stage} (${missing}).` : `Add a stage of ${missing} that reaches ${what}.`
	}
	const over = [...there].reverse().find(({ paint }) => !coats.includes(paint))
	return over
		? `Cover ${what} in stage ${over.stage} (${over.paint}), or spray ${over.paint} before its own paints.`
		: `Spray ${listed(coats, 'and')} in this order.`
}
