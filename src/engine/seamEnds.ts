/** The seams of one panel: where its work ends, on which side of each it lies, and the names of the lines that go on over them. */
import type { Chart } from '../chart/chart.ts'
import { evaluate } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import type { Curve } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { areaOf, intersect } from '../plane/region.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { cutScheme, type SeamCut, seamSides } from '../scheme/seamCut.ts'
import { edgeOf } from '../template/bands.ts'
import type { HandedScheme, PanelResult, SeamEnd } from './panelResult.ts'
import { type SeamHalf, type SeamLine, seamHalf, seamLine, seamMeetings } from './seamLines.ts'

/** One half of a seam by names: the datums and lines of one of its two panels. */
export interface SeamNames {
	readonly label: string
	/** the other panel, as people call it */
	readonly other: string
	readonly datums: readonly string[]
	readonly lines: readonly string[]
	/** JSON pointer to the seam */
	readonly path: string
}

/** Every seam that a panel has, declared by itself or by the other; the same letter on both. */
export function seamsNamed(job: Job, id: string): SeamNames[] {
	let count = 0
	return job.panels.flatMap((panel, index) =>
		(panel.seams ?? []).flatMap((seam, k): SeamNames[] => {
			const label = letter(count++)
			const half = panel.id === id ? 0 : seam.with === id ? 1 : undefined
			if (half === undefined || panel.id === seam.with) return []
			const of = (pairs: readonly (readonly [string, string])[]) => pairs.map((pair) => pair[half])
			const them = half === 0 ? job.panels.find((each) => each.id === seam.with) : panel
			const other = them?.title ?? them?.id ?? seam.with
			return [{ label, other, datums: of(seam.datums), lines: of(seam.lines), path: `/panels/${index}/seams/${k}` }]
		}),
	)
}

/** What the ticks of one line at a seam begin with, the letters of its crossings follow. */
const lineLabel = (seam: string, line: number) => `${seam}${line + 1}`

/** How many places of each line a panel has ticks for at a seam; undefined where it is not cut off there. */
export function tickCounts(ends: readonly SeamEnd[] | undefined, seam: string, lines: number): number[] | undefined {
	const cut = ends?.find((end) => end.cut.label === seam)?.cut
	const of = (line: number) =>
		cut?.ticks.filter(({ label }) => label.replace(/[a-z]+$/, '') === lineLabel(seam, line)).length ?? 0
	return cut && Array.from({ length: lines }, (_, line) => of(line))
}

/** A, B ... Z, AA, AB ... */
export const letter = (index: number): string =>
	(index >= 26 ? letter(Math.floor(index / 26) - 1) : '') + String.fromCharCode(65 + (index % 26))

/** Where more than this share of a panel lies beyond a seam, it cannot be told on which side of it the panel is. */
const UNCLEAR_SHARE = 0.4
/** Lines are looked at so often for that, mm. */
const STEP_MM = 2
/** Lines that meet a seam this near to each other meet it at one place, mm. */
const ONE_PLACE_MM = 0.02

type Laid = Required<Pick<PanelResult, 'shape' | 'survey' | 'lines'>>

/** One half of a seam on its panel, and the panel's side of it. */
export interface SeamSide {
	readonly names: SeamNames
	readonly hand: HandedScheme['hand']
	readonly half: SeamHalf
	readonly line: SeamLine
	/** led on past all that is drawn, and what lies beyond it */
	readonly curve: Curve
	readonly beyond: Region
	/** the panel lies to the left (1) or right (-1) of the seam's direction, as one looks at it */
	readonly lies: 1 | -1
}

/** Bands lie no farther off their lines than this, mm. */
const BESIDE_MM = 150

/** On which side of each of its seams a panel lies. A seam of which that cannot be told is left out, and said. */
function seamSidesOf(laid: Laid, panel: Panel, seams: readonly SeamNames[]): Outcome<readonly SeamSide[]> {
	const outcomes = seams.map((names) => seamSideOf(laid, panel, names))
	return { value: outcomes.flatMap(({ value }) => value ?? []), problems: outcomes.flatMap(({ problems }) => problems) }
}

export function seamSideOf(laid: Laid, panel: Panel, names: SeamNames): Outcome<SeamSide> {
	const half = seamHalf(laid, names.datums)
	const line = half && seamLine(half)
	const hand = laid.shape.now.find(({ chart }) => chart === half?.chart)?.hand
	// What is wrong with the seam itself is said where its two panels are compared.
	if (!half || !line || !hand) return { problems: [] }
	const { chart } = half
	const edges = edgesOn(laid, hand)
	const { area } = laid.lines
	const drawn = [...edges.flatMap(({ curve }) => curve.cubics.flat()), ...(area?.region.flat() ?? [])]
	const sides = seamSides(chart, line.curve, drawn, BESIDE_MM)
	const outline = area?.from === 'outline' ? toPlane(area.region) : undefined
	const shareOf = (region: Region) => (outline ? areaOf(intersect(outline, region)) : lengthIn(chart, edges, region))
	const [plus, minus] = [shareOf(sides.plus), shareOf(sides.minus)]
	if (Math.min(plus, minus) > UNCLEAR_SHARE * (plus + minus)) return { problems: [unclear(panel, names)] }
	const beyond = plus >= minus ? sides.minus : sides.plus
	const lies = plus >= minus === chart.orientation > 0 ? 1 : -1
	return { value: { names, hand, half, line, curve: sides.curve, beyond, lies }, problems: [] }
}

/** The schemes of a panel as far as its seams; `lay` lays them whole. */
export function schemesToSeams(
	laid: Laid,
	panel: Panel,
	seams: readonly SeamNames[],
	lay: (sides: readonly SeamSide[]) => Outcome<readonly HandedScheme[]>,
): Outcome<{ readonly schemes: readonly HandedScheme[]; readonly seamEnds: readonly SeamEnd[] }> {
	const { value: sides = [], problems } = seamSidesOf(laid, panel, seams)
	const whole = lay(sides)
	if (!whole.value) return { problems: [...problems, ...whole.problems] }
	const seamEnds = sides.flatMap((side): SeamEnd[] => {
		const scheme = whole.value?.find(({ hand }) => hand === side.hand)?.scheme
		const { label, other } = side.names
		return scheme
			? [
					{
						hand: side.hand,
						cut: { label, other, curve: side.curve, beyond: side.beyond, ticks: ticksOf(laid, panel, side, scheme) },
					},
				]
			: []
	})
	const schemes = whole.value.map(({ hand, scheme }) => {
		const cuts = seamEnds.filter((end) => end.hand === hand).map(({ cut }) => cut)
		const chart = laid.shape.now.find((each) => each.hand === hand)?.chart
		return { hand, scheme: chart ? cutScheme(chart, scheme, cuts) : scheme }
	})
	return { value: { schemes, seamEnds }, problems: [...problems, ...whole.problems] }
}

const edgesOn = ({ lines }: Laid, hand: SeamEnd['hand']) =>
	lines.edges.flatMap(({ sided }) => sided).filter(({ side }) => hand === 'centre' || side === hand)

type Edges = readonly { readonly edge: string; readonly curve: Curve }[]

function lengthIn(chart: Chart, edges: Edges, region: Region): number {
	return edges.reduce((sum, { curve }) => {
		const { length, at } = measure(chart, curve)
		const steps = Math.ceil(length / STEP_MM)
		const inside = Array.from({ length: steps }, (_, i) => evaluate(curve, at(((i + 0.5) * length) / steps)).at).filter(
			({ s, g }) => pointInRegion({ x: s, y: g }, region),
		)
		return sum + (inside.length / Math.max(1, steps)) * length
	}, 0)
}

/**
 * The places where lines, and the edges of the stripes that are laid off them, come to a seam: those of each line that goes on
 * over it are named in order along it.
 */
function ticksOf(laid: Laid, panel: Panel, { names, hand, half, line }: SeamSide, scheme: Scheme): SeamCut['ticks'] {
	const along = measure(half.chart, line.curve)
	const met = (edge: string) =>
		[
			...edgesOn(laid, hand).filter((each) => each.edge === edge),
			...scheme.bands
				.filter((band) => edgeOf(panel, band) === edge)
				.flatMap(({ near, far }) => [...near, ...far].map((curve) => ({ curve }))),
		].flatMap(({ curve }) => seamMeetings(half.chart, line, along, curve))
	const goingOn = names.lines.flatMap((edge, k) =>
		met(edge)
			.sort((a, b) => a.alongMm - b.alongMm)
			.filter((hit, i, all) => i === 0 || hit.alongMm - (all[i - 1]?.alongMm ?? 0) > ONE_PLACE_MM)
			.map(({ at, seamAngle }, i) => ({
				...{ label: `${lineLabel(names.label, k)}${letter(i).toLowerCase()}`, goesOn: true },
				...{ at, angle: seamAngle },
			})),
	)
	const ending = panel.edges
		.filter(({ id }) => !names.lines.includes(id))
		.flatMap(({ id }) =>
			met(id).map(({ at, seamAngle }) => ({ label: `seam ${names.label}`, goesOn: false, at, angle: seamAngle })),
		)
	return [...goingOn, ...ending]
}

const unclear = (panel: Panel, { label, other, path }: SeamNames): Problem => ({
	code: 'SEAM_SIDE_UNCLEAR',
	severity: 'warning',
	path,
	place: { panel: panel.id },
	found: `seam ${label} with ${other}, which has about as much of ${panel.id} on its one side as on its other: nothing is cut off there`,
	expected: `most of the lines of ${panel.id}, or of its outline where it has one, on one side of the seam`,
	fix: `give ${panel.id} an outline that ends at the seam, or measure its lines no farther than the seam`,
})
