/** The films on one panel, place by place: what lies there from below, and how thick. */
import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Loop, PlanePoint } from '../plane/point.ts'
import { perimeter, signedArea } from '../plane/polyline.ts'
import { simplify } from '../plane/simplify.ts'
import { partFinder } from '../stages/finder.ts'
import type { Seen } from '../stages/parts.ts'
import { type Opened, type Stack, stacksOf } from '../stages/stacks.ts'

/** One stage's film, from its first coat to its last, um. */
export interface Film {
	readonly stage: number
	readonly paint: string
	readonly um: number
}

/** A place of the panel with the same films throughout. */
export interface Cell {
	/** from below; none where nothing was sprayed */
	readonly films: readonly Film[]
	readonly totalUm: number
	readonly region: ChartRegion
	/** on the panel, mm^2 */
	readonly areaMm2: number
}

export interface FilmMap {
	readonly panel: string
	readonly hand: Seen['hand']
	readonly chart: Chart
	/** every place of the panel's area lies in exactly one */
	readonly cells: readonly Cell[]
	readonly areaMm2: number
	/** each film and how far it was let go, in the order of the stages */
	readonly spread: readonly { readonly film: Film; readonly region: ChartRegion }[]
}

/** Outlines of what was opened are taken this rough, mm: a third of what shows at a painted edge. */
export const ROUGH_MM = 0.03
/** Two rough outlines of one line leave each other by no more, mm: what lies between them is of neither film. */
export const SLIVER_MM = 2 * ROUGH_MM
/** So far out of a sliver its neighbours are looked for, mm. */
const BESIDE_MM = 0.02

/** Outlines of a line as it is planned and as it is taped leave each other by this, mm: a slit between them is no film's edge. */
const SLIT_MM = 0.02
/** Cosine of a turn by which a line comes back. */
const BACK = -0.5

/** The film map of a panel after its stages, in their order; `filmUm` is the whole dry film of a paint, um. */
export function filmMap(
	{ panel, hand, chart, area: whole }: Pick<Seen, 'panel' | 'hand' | 'chart' | 'area'>,
	opened: readonly Opened[],
	filmUm: (paint: string) => number,
): FilmMap {
	const rough = opened.map((each) => ({ ...each, open: fewer(each.open) }))
	const films = opened.map(({ stage, paint }): Film => ({ stage, paint, um: filmUm(paint) }))
	const cells = withoutSlivers(chart, stacksOf(whole, rough)).map((stack): Cell => {
		const here = stack.films.map((film) => films[film] as Film)
		const region = toChart(stack.region)
		return { films: here, totalUm: here.reduce((sum, { um }) => sum + um, 0), region, areaMm2: area(chart, region) }
	})
	const spread = rough.map(({ open }, i) => ({ film: films[i] as Film, region: open }))
	return { panel, hand, chart, cells, areaMm2: area(chart, whole), spread }
}

/** As rough as the map needs; what real tape leaves open beside a line by its chords alone is no film. */
const fewer = (region: ChartRegion): ChartRegion =>
	toChart(
		toPlane(region)
			.map((loop) => simplify(withoutSpurs(loop), ROUGH_MM, true))
			.filter((loop) => loop.length >= 3 && !isSliver(loop)),
	)

/** A loop without the slits and spurs that two outlines of one line make where they cross. */
function withoutSpurs(loop: Loop): Loop {
	const out: PlanePoint[] = []
	const spur = (a: number, b: number, c: number) =>
		out.length > 2 && isSpur(out.at(a) as PlanePoint, out.at(b) as PlanePoint, out.at(c) as PlanePoint)
	for (const p of loop) {
		const last = out.at(-1)
		// Blunt ends of slits are made sharp.
		if (last && Math.hypot(p.x - last.x, p.y - last.y) < SLIT_MM / 2) continue
		out.push(p)
		while (spur(-3, -2, -1)) out.splice(-2, 1)
	}
	// The same round the end of the list.
	for (let more = true; more; ) {
		more = true
		if (spur(-2, -1, 0)) out.pop()
		else if (spur(-1, 0, 1)) out.shift()
		else more = false
	}
	return out
}

/** Whether a line turns back on itself at b, with no more than a slit between. */
function isSpur(a: PlanePoint, b: PlanePoint, c: PlanePoint): boolean {
	const [ux, uy, vx, vy] = [b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y]
	const [u, v] = [Math.hypot(ux, uy), Math.hypot(vx, vy)]
	return ux * vx + uy * vy < BACK * u * v && Math.abs(ux * vy - uy * vx) < SLIT_MM * Math.max(u, v)
}

export const isSliver = (loop: readonly PlanePoint[]) => 2 * Math.abs(signedArea(loop)) < SLIVER_MM * perimeter(loop)

/** Stacks that are nothing but slivers go, loop by loop, to the one that each has most of its edge with. */
function withoutSlivers(chart: Chart, stacks: readonly Stack[]): readonly Stack[] {
	const real = stacks.filter(({ region }) => !region.every(isSliver))
	if (real.length === 0 || real.length === stacks.length) return stacks
	const find = partFinder(
		chart,
		real.map(({ region }) => toChart(region)),
	)
	const gains = real.map((): Loop[] => [])
	for (const { region } of stacks.filter((stack) => !real.includes(stack))) {
		for (const loop of region) gains[neighbour(loop, find)]?.push(loop)
	}
	return real.map((stack, i) => ({ ...stack, region: [...stack.region, ...(gains[i] as Loop[])] }))
}

/** Which region has most of a loop's edge beside it; the first, where only slivers have. */
function neighbour(loop: Loop, find: (p: ChartPoint) => number): number {
	const shared = new Map<number, number>()
	loop.forEach((a, i) => {
		const b = loop[(i + 1) % loop.length] as PlanePoint
		const length = Math.hypot(b.x - a.x, b.y - a.y)
		if (length === 0) return
		const [x, y] = [(BESIDE_MM * (b.y - a.y)) / length, (BESIDE_MM * (b.x - a.x)) / length]
		const part = find({ s: (a.x + b.x) / 2 + x, g: (a.y + b.y) / 2 - y })
		if (part >= 0) shared.set(part, (shared.get(part) ?? 0) + length)
	})
	return [...shared].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0] ?? 0
}
