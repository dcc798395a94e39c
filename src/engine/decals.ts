/** The decals of one panel: laid on each of its sides, what they lie beside, and left against right. */
import type { Artwork } from '../artwork/artwork.ts'
import type { Chart } from '../chart/chart.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { turns } from '../chart/round.ts'
import { layDecal } from '../decal/decal.ts'
import { isOfEmblem } from '../decal/emblem.ts'
import type { MeasuredPoint } from '../decal/fit.ts'
import { clearanceProblems, clearancesOf, holesOf, type Neighbour } from '../decal/neighbours.ts'
import type { PanelDecal, PanelDecals } from '../decal/panelDecals.ts'
import { mirroredMark } from '../decal/place.ts'
import { decalSides, type SidesOfDecal } from '../decal/sides.ts'
import type { DecalWords } from '../decal/words.ts'
import { readRef } from '../job/marks.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { listed } from '../job/say.ts'
import type { Decal, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { type Side, sidesOf } from '../scheme/side.ts'
import { findMark, type Mark } from '../survey/survey.ts'
import { type Cache, keptWhile } from './cache.ts'
import type { HandedChart, HandedScheme, PanelLines, PanelSurvey } from './panelResult.ts'
import { patchesOn } from './panelResult.ts'

export interface DecalsInput {
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly charts: readonly HandedChart[]
	readonly schemes: readonly HandedScheme[]
	readonly lines: PanelLines
	readonly survey: PanelSurvey
	readonly artwork: ReadonlyMap<string, Artwork>
	/** decals, by name, that do not hold together: nothing is made of them */
	readonly leftOut: readonly string[]
	readonly shop: Pick<Shop, 'decals' | 'tolerances'>
	readonly cache?: Cache
}

/** How far a decal keeps from the rest where it does not say, mm (common practice, no source). */
const CLEARANCE_MM = 2

interface LaidOne {
	readonly decal: Decal
	readonly words: DecalWords
	readonly chart: Chart
	readonly placed: PanelDecal
}

/** One decal on each of its sides, as far as what it lies beside is not asked. */
export function layOnSides(input: DecalsInput, decal: Decal, index: number) {
	const { panel, path, charts, artwork, shop } = input
	const problems: Problem[] = []
	const laid: LaidOne[] = []
	const drawn = input.leftOut.includes(decal.id) ? undefined : artwork.get(decal.artwork)
	// Why an artwork is none is told where it stands.
	for (const side of drawn ? sidesOf(panel, decal.hand) : []) {
		const of = charts.find(({ hand }) => hand === 'centre' || hand === side)
		if (!drawn || !of) continue
		const { hand, chart } = of
		const words: DecalWords = { panel, side, path: `${path}/decals/${index}`, limit: `at most there: ${chart.limitReason}` }
		const made = layDecal({
			...{ chart, panel, side, decal, artwork: drawn, words },
			line: (edge) => lineOn(input.lines, edge, side),
			mark: (name) => markOn(input, name, side),
			toleranceMm: shop.tolerances.decal,
			films: shop.decals,
			keep: (data, make) => keptWhile(input.cache, `laid ${path}/${decal.id}/${side}`, [chart, drawn], data, make),
		})
		// What both sides of a place have alike is said once.
		problems.push(...made.problems.filter((p) => !problems.some((q) => q.code === p.code && q.found === p.found)))
		if (made.value) laid.push({ decal, words, chart, placed: { ...made.value, hand, clearances: [] } })
	}
	return { laid, problems }
}

export function panelDecals(input: DecalsInput): Outcome<PanelDecals> {
	const { panel, path, charts, artwork } = input
	const problems: Problem[] = []
	const laid: LaidOne[] = []
	const sides: SidesOfDecal[] = []
	for (const [i, decal] of (panel.decals ?? []).entries()) {
		const [first, size] = [charts[0], artwork.get(decal.artwork)]
		if (!first || !size || input.leftOut.includes(decal.id)) continue
		const compared = decalSides({
			...{ chart: first.chart, panel, decal, size, path: `${path}/decals/${i}` },
			mark: (name, side) => ownMark(input, name, side),
			tolerances: input.shop.tolerances,
		})
		problems.push(...compared.problems)
		if (compared.value) sides.push(compared.value)
		// The mean of a right and a wrong place is wrong on both sides.
		if (compared.value?.contradicts) continue
		const made = layOnSides(input, decal, i)
		problems.push(...made.problems)
		laid.push(...made.laid)
		if (made.laid.length > 0 && !compared.value) problems.push(...unchecked(input, decal, `${path}/decals/${i}`))
	}
	const placed = laid.map(({ decal, words, chart, placed: one }, i): PanelDecal => {
		const others = laid.flatMap((other, k) =>
			other.placed.hand === one.hand && k !== i ? [otherDecal(decal, other, k < i)] : [],
		)
		const near = [...neighboursOf(input, one), ...others].map((each) => allRound(chart, each))
		const clearances = clearancesOf(chart, one, decal, near)
		const told = clearanceProblems(words, clearances, {
			leastMm: decal.clearance ?? CLEARANCE_MM,
			toleranceMm: input.shop.tolerances.decal,
		})
		// What both sides have alike is said once.
		problems.push(...told.filter((p) => !problems.some((q) => q.code === p.code && q.path === p.path && q.found === p.found)))
		return { ...one, clearances }
	})
	return { value: { placed, sides }, problems }
}

/** Marks of which some number nothing checks, on a decal that was measured on one side: a slip in it would not show. */
function unchecked(input: DecalsInput, decal: Decal, path: string): readonly Problem[] {
	const { panel, survey } = input
	if (decal.place.kind !== 'marks') return []
	const { readings } = survey.survey
	const bare = decal.place.marks.flatMap(({ mark }, i) => {
		const found = (['left', 'right', 'both'] as const).flatMap((side) => ownMark(input, mark, side) ?? [])[0]
		const keys = found ? [mark, `left/${mark}`, `right/${mark}`] : []
		const own = readings.filter(({ marks }) => marks.some((key) => keys.includes(key)))
		return own.some(({ redundancy }) => redundancy < LEAST_CHECKED) ? [{ mark, i }] : []
	})
	const [first] = bare
	if (!first) return []
	const names = listed(
		bare.map(({ mark }) => mark),
		'and',
	)
	return [
		{
			...{
				code: 'DECAL_UNCHECKED',
				severity: 'warning',
				path: `${path}/place/marks/${first.i}/mark`,
				place: { panel: panel.id },
			},
			found: `${decal.what ?? decal.id}, placed by ${names}, of which a number is read once and checked by nothing`,
			expected: 'marks in which a slip would show: a decal goes down once',
			fix: `tape from a datum to ${names} as well, or read ${bare.length === 1 ? 'it' : 'them'} on the other side`,
		},
	]
}

/** Less of an error than this shows in a reading that the others hardly check. */
const LEAST_CHECKED = 0.05

/** Of two decals the first tells what is between them. */
const otherDecal = (own: Decal, { decal, placed }: LaidOne, toldThere: boolean): Neighbour => ({
	kind: 'decal',
	name: decal.what ?? decal.id,
	ids: [decal.id],
	region: placed.film,
	meant: decal.over?.includes(own.id) ?? false,
	toldThere,
})

/** On a ring what lies beyond the seam is near as well. */
const allRound = ({ periodS }: Chart, neighbour: Neighbour): Neighbour =>
	periodS === undefined ? neighbour : { ...neighbour, region: toChart(turns(toPlane(neighbour.region), periodS)) }

function neighboursOf({ panel, schemes, lines }: DecalsInput, { hand, side, decal }: PanelDecal): readonly Neighbour[] {
	const scheme = schemes.find((each) => each.hand === hand)?.scheme
	const named = (things: readonly { readonly id: string; readonly what?: string | undefined }[], id: string) =>
		things.find((each) => each.id === id)?.what ?? id
	// A painted emblem is a neighbour as a decal, and its border lies on its own outline.
	const painted = (panel.decals ?? []).flatMap(({ id, material }) => (material === 'paint' ? [id] : []))
	const edgeOf = (stripe: string) => panel.stripes.find(({ id }) => id === stripe)?.edge ?? ''
	const here = (other: Side) => side === 'both' || other === 'both' || other === side
	const area = lines.area && lines.area.from !== 'marks' ? lines.area.region : undefined
	return [
		...(scheme?.bands ?? []).flatMap((band): Neighbour[] =>
			here(band.side) && !(painted.includes(decal) && isOfEmblem(edgeOf(band.stripe), decal))
				? [{ kind: 'stripe', name: named(panel.stripes, band.stripe), ids: [band.stripe], region: band.region }]
				: [],
		),
		...(scheme?.fields ?? []).flatMap((field): Neighbour[] =>
			here(field.side) && !painted.some((id) => isOfEmblem(field.field, id))
				? [{ kind: 'field', name: named(panel.fields, field.field), ids: [field.field], region: field.region }]
				: [],
		),
		...(area ? [{ kind: 'rim' as const, name: 'the rim of the panel', ids: [], region: area }] : []),
		...(area ? holesOf(area).map((region): Neighbour => ({ kind: 'hole', name: 'a hole', ids: ['holes'], region })) : []),
		...patchesOn(lines, hand).map(
			({ id, what, inside }): Neighbour => ({
				kind: 'patch',
				name: what,
				ids: [id],
				region: inside.map((loop) => loop.map(({ x, y }) => ({ s: x, g: y }))),
			}),
		),
	]
}

function lineOn(lines: PanelLines, edge: string, side: Side) {
	for (const { id, sided, sdMm } of lines.edges) {
		const found = id === edge && (sided.find((one) => one.side === side) ?? sided.find((one) => one.side === 'both'))
		if (found) return { curve: found.curve, sdMm }
	}
	return undefined
}

type MarkPlace = Omit<MeasuredPoint, 'point'>

/** A mark as a decal on this side has it: what was measured on both sides is one place for both. */
function markOn(input: DecalsInput, name: string, side: Side): MarkPlace | undefined {
	const { panel, survey, lines } = input
	const { name: id, side: said } = readRef(name)
	const turned = (mark: MarkPlace) => (panel.hand === 'centre' ? mirroredMark(mark) : mark)
	if (said !== undefined && said !== side && side !== 'both') {
		// A mark of one side by name stands for its like on the other.
		const other = ownMark(input, name, side)
		return other && turned(other)
	}
	if (said !== undefined || side === 'both' || !survey.folded.marks[id]) return ownMark(input, name, side)
	const folded = survey.folded.marks[id]
	if (!folded) return undefined
	const one = placeOf(folded, lines, name)
	// Folded marks of a centreline panel lie on its right.
	return side === 'left' ? turned(one) : one
}

/** A mark as it was measured on one side itself. */
function ownMark({ survey: { survey }, lines }: DecalsInput, name: string, side: Side): MarkPlace | undefined {
	const { side: said } = readRef(name)
	const found = said === undefined && side !== 'both' ? (survey.marks[`${side}/${name}`] ?? undefined) : findMark(survey, name)
	return found && placeOf(found, lines, name)
}

const placeOf = (mark: Mark, { carry }: PanelLines, name: string): MarkPlace => ({
	mark: name,
	at: carry(mark.at),
	covariance: mark.covariance,
})
