/** Patches of a panel: pockets, knee recesses, fillers. Paper does not lie there; paint may run on. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { nearTurn, turns } from '../chart/round.ts'
import { handOf } from '../job/marks.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Hand, Panel, PatchOutline } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import { isSimple } from '../plane/polyline.ts'
import { areaOf, intersect, normalise, offsetRegion, union } from '../plane/region.ts'
import { domainLoop, onceRound, type PanelArea, type RimPlace, rimLoop, rimPlace } from './outline.ts'
import type { Scheme } from './scheme.ts'
import { cutScheme } from './seamCut.ts'

export interface Patch {
	readonly id: string
	/** as people call it */
	readonly what: string
	/** paint runs on over it */
	readonly painted: boolean
	/** the one of a pair that it is on; absent where both have it */
	readonly only?: 'left' | 'right'
	/** as far as its rim, in the (s, g) plane; on a ring a turn before and behind too */
	readonly inside: Region
	/** with a little round it: no paper lies there */
	readonly keepOff: Region
}

/** So far from a rim paper stays: a rim is felt and read to about this (common practice, no source). */
export const OFF_RIM_MM = 2
/** Less than this is no patch, mm^2. */
const LEAST_MM2 = 1
/** With more of itself than this off the panel a patch has a place that was mistyped. */
const MOST_OFF = 0.5

/** The patches of a panel, each with its rim as it lies now; one that cannot be meant so is left out, and said. */
export function panelPatches(
	chart: Chart,
	panel: Panel,
	path: string,
	places: ReadonlyMap<string, ChartPoint>,
	area: PanelArea | undefined,
): Outcome<readonly Patch[]> {
	const outcomes = (panel.patches ?? []).map((patch, i) => patchOf(chart, panel, patch, `${path}/patches/${i}`, places, area))
	return { value: outcomes.flatMap(({ value }) => value ?? []), problems: outcomes.flatMap(({ problems }) => problems) }
}

function patchOf(
	chart: Chart,
	panel: Panel,
	patch: PatchOutline,
	path: string,
	places: ReadonlyMap<string, ChartPoint>,
	area: PanelArea | undefined,
): Outcome<Patch> {
	const hand = handOf(panel, patch.hand)
	const what = patch.what ?? patch.id
	const wrong = (code: string, found: string, expected: string, fix: string, severity: Problem['severity'] = 'error') => ({
		problems: [{ code, severity, path, place: { panel: panel.id }, found, expected, fix }],
	})
	const side = sideOf(panel, hand)
	const points = patch.outline.flatMap((p) => {
		const at = rimPlace(
			p,
			(ref) => (hand === 'left' || hand === 'right' ? places.get(`${hand}/${ref}`) : undefined) ?? places.get(ref),
		)
		return at ? [{ ...at, at: side(at.at) }] : []
	})
	if (points.length < patch.outline.length) {
		return wrong(
			'PATCH_NO_PLACE',
			`${what}, of whose rim a mark has no place, so that templates lie over it`,
			'marks that readings or datums have placed',
			'measure that mark, or give its station and girth',
		)
	}
	const near = roundRim(chart, points)
	if (!near) {
		return wrong(
			'PATCH_GOES_ROUND',
			`${what}, whose rim goes right round the ring`,
			'a rim that comes back to its first place without going round the ring',
			'give it as two patches, each half of the way round',
		)
	}
	const loop = rimLoop(chart, near).map((p) => ({ x: p.s, y: p.g }))
	const one = normalise([loop])
	if (areaOf(one) < LEAST_MM2) {
		return wrong(
			'PATCH_NO_AREA',
			`${what}, whose places lie in one line`,
			'three places or more with room between them',
			'correct a place',
		)
	}
	if (!isSimple(loop, true)) {
		return wrong(
			'PATCH_CROSSES_ITSELF',
			`${what}, whose rim crosses itself`,
			'places in order round the rim, one way or the other',
			'put the places in the order in which they follow each other round it',
		)
	}
	const panelled = toPlane(
		area && area.from !== 'marks' ? area.region.filter((l) => areaOf(toPlane([l])) > 0) : [domainLoop(chart)],
	)
	const panelOnly = normalise(panelled)
	const rim = turns(one, chart.periodS)
	const off = 1 - areaOf(intersect(rim, panelOnly)) / areaOf(one)
	const outside = (severity: Problem['severity']) =>
		wrong(
			'PATCH_OUTSIDE',
			`${what}, ${off > 1 - 1e-9 ? 'no part' : `only ${Math.round((1 - off) * 100)} %`} of which lies on the panel`,
			'a patch on the panel',
			'correct its places: station, girth and side',
			severity,
		)
	if (off > 1 - 1e-9) return outside('error')
	const both = (region: Region) => (panel.hand === 'centre' && hand === 'mirrored' ? union([region, mirrored(region)]) : region)
	return {
		value: {
			...{ id: patch.id, what, painted: patch.painted, inside: both(rim) },
			keepOff: both(turns(grown(chart, one, OFF_RIM_MM), chart.periodS)),
			...(panel.hand === 'pair' && (hand === 'left' || hand === 'right') ? { only: hand } : {}),
		},
		problems: off > MOST_OFF ? outside('warning').problems : [],
	}
}

/** Places of a rim, on a ring each by the short way from the one before; undefined where that goes right round it. */
function roundRim(chart: Chart, points: readonly RimPlace[]): readonly RimPlace[] | undefined {
	const near: RimPlace[] = []
	for (const p of points) near.push({ ...p, at: nearTurn(chart, (near.at(-1) ?? p).at, p.at) })
	const [first, last] = [near[0], near.at(-1)]
	return first && last && nearTurn(chart, last.at, first.at).s === first.at.s ? near : undefined
}

const mirrored = (region: Region): Region => region.map((loop) => loop.map(({ x, y }) => ({ x, y: -y })).reverse())

/** A patch of one side of a centreline lies there whichever side its marks were read on; mirrored, it is drawn on the right. */
function sideOf(panel: Panel, hand: Hand): (p: ChartPoint) => ChartPoint {
	if (panel.hand !== 'centre' || hand === 'across') return (p) => p
	return ({ s, g }) => ({ s, g: hand === 'left' ? -Math.abs(g) : Math.abs(g) })
}

/** A region of the (s, g) plane grown by about so much on the panel. */
function grown(chart: Chart, region: Region, mm: number): Region {
	const all = region.flat()
	const j = all.reduce((sum, p) => sum + chart.metric(p.x, p.y).j, 0) / all.length
	const to = (factor: number) => (of: Region) => of.map((loop) => loop.map((p) => ({ x: p.x * factor, y: p.y })))
	return to(1 / j)(offsetRegion(to(j)(region), mm, { join: 'round', arcToleranceMm: 0.01 }))
}

/** What lies within a patch's rim, once: on a ring from the seam to the seam. */
export const patchRegion = (chart: Chart, { inside }: Patch): ChartRegion => onceRound(chart, toChart(inside))

/** Bands and fields as far as the rims of patches that are not painted. */
export function cutAtPatches(chart: Chart, scheme: Scheme, patches: readonly Patch[]): Scheme {
	const rims = patches
		.filter(({ painted }) => !painted)
		.flatMap((patch) =>
			patch.inside.map((loop) => ({
				curve: { id: patch.id, closed: true, maxErrorMm: 0, cubics: chordsOf(toChart([loop])[0] ?? []) },
				beyond: [loop],
			})),
		)
	return cutScheme(chart, scheme, rims)
}

function chordsOf(loop: readonly ChartPoint[]) {
	return loop.map((p, i) => {
		const q = loop[(i + 1) % loop.length] as ChartPoint
		const on = (t: number): ChartPoint => ({ s: p.s + (q.s - p.s) * t, g: p.g + (q.g - p.g) * t })
		return [p, on(1 / 3), on(2 / 3), q] as const
	})
}
