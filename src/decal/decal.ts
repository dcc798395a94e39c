/** One decal on one side of its panel: where it lies, how its film lies down, and what says so. */
import type { Artwork } from '../artwork/artwork.ts'
import { area } from '../chart/area.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import type { DecalFilm } from '../job/decalFilms.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Decal } from '../job/schema.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { normalise } from '../plane/region.ts'
import type { Side } from '../scheme/side.ts'
import { type DecalFrame, riseOf, turnOn } from './frame.ts'
import { type Give, giveOf, takes } from './give.ts'
import { type Laying, layAlong, layFollowing, layRegion, layRound, regionOf } from './lay.ts'
import { beyondChart, type DecalPlace, type PlaceInput, placeDecal } from './place.ts'
import { type ReliefCut, reliefCuts } from './relief.ts'
import { type Turned, turnedOn } from './turned.ts'
import { decalProblem } from './words.ts'

export interface PlacedDecal {
	/** decal/side */
	readonly id: string
	readonly decal: string
	readonly side: Side
	/** JSON pointer to the decal */
	readonly path: string
	readonly artwork: Artwork
	readonly turned: Turned
	readonly place: DecalPlace
	readonly frame: DecalFrame
	/** degrees by which its baseline rises towards the rear; across the centreline, by which it turns anticlockwise */
	readonly riseDeg: number
	readonly laying: Laying
	/** what is printed, and the film with its carrier, on the panel; of a painted emblem both are what is sprayed */
	readonly outline: ChartRegion
	readonly film: ChartRegion
	/** of what is printed, on the panel, mm^2 */
	readonly areaMm2: number
	readonly material: Decal['material']
	/** what its film takes; absent of a painted emblem */
	readonly limits?: DecalFilm
	readonly give: Give
	/** the film takes what it must give */
	readonly takes: boolean
	readonly relief: readonly ReliefCut[]
	/** the same in the decal's frame: x rearward, y up */
	readonly inFrame: { readonly outline: Region; readonly film: Region }
}

export interface DecalInput extends Omit<PlaceInput, 'size'> {
	readonly artwork: Artwork
	readonly films: readonly DecalFilm[]
	/** gives what was made before of the same chart, artwork and data: to lay film down takes longer than all else */
	readonly keep?: <T>(data: string, make: () => T) => T
}

/** Without a value the decal is left out on this side, and the problems say why. */
export function layDecal(input: DecalInput): Outcome<PlacedDecal> {
	const { chart, panel, side, decal, artwork, words } = input
	const turned = turnedOn(decal, side)
	if (turned.mirrored && artwork.lettering) {
		return decalProblem(words, 'DECAL_TEXT_MIRRORED', {
			path: 'turn',
			found: `${decal.what ?? decal.id}, lettering that would be the wrong way round${side === 'both' ? '' : ` on the ${side}`}`,
			expected: 'text that reads on both sides',
			fix: 'write "turn": "reads"; only artwork without text is reflected',
		})
	}
	const placed = placeDecal({ ...input, size: artwork })
	const problems: Problem[] = [...placed.problems]
	const place = placed.value
	if (!place) return { problems }
	// Of an emblem that is painted nothing lies beyond its outline.
	const carrier = decal.material === 'paint' ? artwork.outline : artwork.carrier
	const inFrame = { outline: turnedRegion(artwork.outline, turned), film: turnedRegion(carrier, turned) }
	const { keep = (_, make) => make() } = input
	const laid = keep(JSON.stringify([place.frame, place.anchor.point, place.follows, turned.sign, decal.material]), () => {
		const best = layBest(input, place, inFrame.film)
		const outline = layRegion(chart, best.laying, inFrame.outline)
		const film = best.give && regionOf(chart, best.give.rim)
		return { ...best, outline, film, areaMm2: outline ? area(chart, outline) : 0 }
	})
	const { outline, film, areaMm2 } = laid
	if (!outline || !film || !laid.give) return { problems: [...problems, ...beyondChart(words, place.frame.at).problems] }
	const { give } = laid
	const limits = input.films.find(({ material }) => material === decal.material)
	const shares = limits && { stretch: limits.stretch / 100, pucker: limits.pucker / 100 }
	const ok = !shares || takes(give, shares)
	const cuts = shares && !ok ? reliefCuts(give, shares, inFrame.outline, laid.laying.place) : []
	if (limits && !ok) problems.push(...filmProblem(input, give, limits, cuts, laid.laying.place(give.most).at))
	return {
		value: {
			...{ id: `${decal.id}/${side}`, decal: decal.id, side, path: words.path, artwork, turned, place, frame: place.frame },
			riseDeg: riseOf(panel, side, place.frame.angle),
			laying: laid.laying,
			...{ outline, film, areaMm2, material: decal.material, give, takes: ok },
			...(limits ? { limits } : {}),
			relief: cuts ?? [],
			inFrame,
		},
		problems,
	}
}

const turnedRegion = (region: Region, { sign }: Turned): Region =>
	sign === 1 ? region : normalise(region.map((loop) => loop.map(({ x, y }) => ({ x: -x, y }))))

/** About its middle or along its baseline, whichever asks less of the film; along its line where it follows one. */
function layBest({ chart, panel, side }: DecalInput, place: DecalPlace, film: Region): { laying: Laying; give?: Give } {
	const { frame, anchor, follows } = place
	const ways = follows
		? [layFollowing(chart, follows)]
		: [layRound(chart, frame), layAlong(chart, { ...frame, turn: turnOn(panel, side) }, anchor.point.y)]
	const tried = ways.map((laying) => {
		const give = giveOf(chart, laying, film)
		const reached = give.rim.flat().every((p) => p.reached)
		return { laying, give, reached, most: Math.max(give.stretch, give.pucker) }
	})
	const good = tried.filter(({ reached }) => reached)
	const best = good.reduce<(typeof tried)[number] | undefined>((a, b) => (a && a.most <= b.most + 1e-6 ? a : b), undefined)
	return best ?? { laying: ways[0] as Laying }
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`

function filmProblem(
	{ words, decal }: DecalInput,
	give: Give,
	limits: DecalFilm,
	cuts: readonly ReliefCut[] | undefined,
	at: ChartPoint,
): readonly Problem[] {
	const stretches = give.stretch > limits.stretch / 100
	const found = stretches
		? `a ${NAMES[decal.material]} that must stretch by ${percent(give.stretch)} at its rim, ${give.stretchMm.toFixed(1)} mm all round`
		: `a ${NAMES[decal.material]} that puckers by ${percent(give.pucker)} at its rim, ${give.puckerMm.toFixed(1)} mm all round`
	return decalProblem(words, stretches ? 'DECAL_STRETCHES' : 'DECAL_PUCKERS', {
		path: 'material',
		severity: 'warning',
		found,
		expected: `at most ${stretches ? limits.stretch : limits.pucker} %, which it takes`,
		fix: cuts
			? `cut it from the rim at the ${cuts.length === 1 ? 'place' : `${cuts.length} places`} marked on its frame, divide it into smaller parts, or take a film that gives more`
			: 'divide it into smaller parts, take a film that gives more, or have it painted',
		at,
	}).problems
}

/** What decals are made of, in words. */
export const NAMES: Readonly<Record<Decal['material'], string>> = {
	'water-slide': 'water-slide decal',
	'dry-transfer': 'dry transfer',
	'cast-film': 'cast film',
	'calendered-film': 'calendered film',
	paint: 'painted emblem',
}

/** From the artwork as drawn to the panel. */
export const onPanel = ({ turned, laying }: Pick<PlacedDecal, 'turned' | 'laying'>, p: PlanePoint): ChartPoint =>
	laying.place({ x: turned.sign * p.x, y: p.y }).at
