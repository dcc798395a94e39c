/** Left laid over right, and edges as taped, as pictures: plain numbers in mm, x rearward, y outboard (up, off the centreline). */
import type { ChartPoint } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import type { PanelResult } from '../engine/panel.ts'
import { foldedPairs } from '../report/sidesPicture.ts'
import type { Verdict } from '../sides/tapedPanel.ts'
import { centrelineWords, isOff } from '../sides/words.ts'
import { crossingsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { Line } from './scene.ts'

/** Both sides folded onto one. */
export interface OverlayView {
	/** deviations are drawn so many times as large as they are */
	readonly factor: number
	/** the lines of both sides, thin */
	readonly lines: readonly Line[]
	/** a mark in the mean of both sides, and where its right one lies against the left one */
	readonly pairs: readonly {
		readonly says: string
		readonly at: readonly [number, number]
		readonly off: readonly [number, number]
		/** more than the readings leave by chance, or it does not fit the others */
		readonly odd: boolean
	}[]
}

export interface TapedLineView {
	readonly name: string
	readonly side: string
	readonly verdict: Verdict
	readonly plan: Line
	readonly taped: Line
}

export interface SidesView {
	readonly overlay?: OverlayView
	/** how the taped centreline lies against the middle of what was measured, where that can be seen at all */
	readonly centreline?: { readonly proven: boolean; readonly lies: string; readonly move: string }
	/** the lines of the panel, thin, and those that were checked between their first and last place: of one place, a point */
	readonly taped?: { readonly factor: number; readonly edges: readonly Line[]; readonly lines: readonly TapedLineView[] }
	/** ids of edges that were measured on both sides: for them it can be said which one to follow */
	readonly both: readonly string[]
}

/** Chords of what is drawn leave it by no more, mm. */
const CHORD_MM = 0.1
/** A tape is not moved by less. */
const LEAST_MM = 0.2

export function sidesViewOf({ sides, taped, lines, shape, panel }: PanelResult, unit: Unit): SidesView {
	const chart = shape?.now[0]?.chart
	const off = sides?.settled ? sides.centreline : undefined
	const centreline = off && (off.proven || Math.max(Math.abs(off.front.mm), Math.abs(off.rear.mm)) > LEAST_MM) ? off : undefined
	const curves = (lines?.edges ?? []).flatMap((edge) => edge.sided)
	const right = curves.filter(({ side }) => side === 'right').map(({ curve }) => curve)
	return {
		...(sides && sides.pairs.length > 0 && chart
			? {
					overlay: {
						factor: sides.exaggeration,
						lines: right.map((curve) => flat(polyline(chart, curve, CHORD_MM))),
						pairs: foldedPairs(sides).map(({ id, place, off, setAside }, i) => ({
							says: crossingsIn(id, unit),
							at: at(place),
							off: at(off),
							odd: setAside || isOff(sides.pairs[i] as (typeof sides.pairs)[number]),
						})),
					},
				}
			: {}),
		...(centreline ? { centreline: { proven: centreline.proven, ...centrelineWords(centreline, unit) } } : {}),
		...(taped && taped.lines.length > 0
			? {
					taped: {
						factor: taped.exaggeration,
						edges: chart ? curves.map(({ curve }) => flat(polyline(chart, curve, CHORD_MM))) : [],
						lines: taped.lines.map(({ name, side, verdict, plan, taped: as }) => ({
							...{ name, side, verdict, plan: flat(plan), taped: flat(as) },
						})),
					},
				}
			: {}),
		both: panel.edges.map(({ id }) => id).filter((id) => sides?.pairs.some((pair) => pair.lines.includes(id))),
	}
}

const round = (x: number) => Math.round(x * 1000) / 1000
const at = ({ s, g }: ChartPoint): readonly [number, number] => [round(s), round(g)]
const flat = (points: readonly ChartPoint[]): Line => points.flatMap(at)
