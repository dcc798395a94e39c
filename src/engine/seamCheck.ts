/** A seam on the assembled vehicle: where each visible line should come to it on both panels, and how it should go on. */
import type { Chart } from '../chart/chart.ts'
import { endOf, evaluate, startOf } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import type { Job } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import type { Side } from '../scheme/side.ts'
import { MM_PER_INCH, type Unit } from '../units/length.ts'
import type { PanelResult } from './panelResult.ts'
import { type MetSeam, meetSeam } from './seamMeet.ts'
import type { Seam } from './seams.ts'
import { type SeenLine, seenLines } from './taped.ts'

/** A place beside a seam laid flat: along it from its first datum as this panel has it, and to its left as one looks at it, mm. */
export interface SeamPlace {
	readonly x: number
	readonly y: number
}

export interface SeamRow {
	/** as the tick on both panels' pieces is called */
	readonly tick: string
	readonly name: string
	readonly side: Side
	/** along the seam on each panel, by its own tape */
	readonly alongMm: readonly [number, number]
	/** from the seam's direction to the line, 0 to 180 */
	readonly angleDeg: number
	/**
	 * With a rule through the line on this panel, so far before the seam and at it: how far the line of the other lies off the rule at
	 * its own rim and so far farther on, positive towards the seam's last datum. The second is undefined where a line is too short.
	 */
	readonly offRuleMm: readonly [number | undefined, number | undefined]
	/** the line on each panel near the seam, for a picture */
	readonly lines: readonly [readonly SeamPlace[], readonly SeamPlace[]]
}

export interface SeamCheck {
	readonly rows: readonly SeamRow[]
	/** so far from the seam lines are looked at */
	readonly overMm: number
	/** 1 where the declaring panel lies to the left of the seam's direction, as one looks at it */
	readonly lies: 1 | -1
	/** datums of both panels along it, the other's on this panel's length */
	readonly datums: readonly { readonly alongMm: number; readonly names: readonly [string, string] }[]
}

/** A short rule (150 mm, 6 in) reaches so far on both sides of a shut line. */
export const OVER_MM: Readonly<Record<Unit, number>> = { mm: 60, in: 2.5 * MM_PER_INCH }
/** A tick and the end of its line are one place but for rounding, mm. */
const TICK_MM = 0.1
const LOOKS = 12

/** Undefined where the seam could not be laid out on both panels. */
export function seamCheck(job: Job, seam: Seam, panels: readonly PanelResult[]): SeamCheck | undefined {
	const { input, path } = seam
	const [own, theirs] = [seam.panel, seam.with].map((name) => panels.find(({ id }) => id === name))
	const cuts = [own, theirs].map((panel) => panel?.seamEnds?.find(({ cut }) => cut.label === seam.label)?.cut)
	const [cutA, cutB] = cuts
	if (!own || !theirs || !cutA || !cutB) return undefined
	const met = meetSeam(own, theirs, input, { job, path })
	if ('notOn' in met) return undefined
	const overMm = OVER_MM[job.unit]
	const at = ([0, 1] as const).map((half) => flatBeside(met, half)) as [Beside, Beside]
	const found = ([own, theirs] as const).map((panel, half) => {
		const cut = half === 0 ? cutA : cutB
		const lines = seenLines(panel)
		return cut.ticks.flatMap(({ label, goesOn, at: tick }) => {
			const line = goesOn ? lineAt(met.halves[half as 0 | 1].chart, lines, tick) : undefined
			return line
				? [{ label, tick, line, points: inward(met.halves[half as 0 | 1].chart, line.curve, tick, cut.beyond, overMm) }]
				: []
		})
	})
	const lies = liesAs(found[0]?.flatMap(({ points }) => points.slice(1)).map(at[0]) ?? [])
	const gap = seam.shutLineMm ?? 0
	// Both laid on one plane: the other panel's rim lies over the shut line.
	const other = (p: ChartPoint): SeamPlace => {
		const { x, y } = at[1](p)
		return { x: x * met.stretch, y: y - lies * gap }
	}
	const rows = (found[0] ?? []).flatMap(({ label, tick, line, points }): SeamRow[] => {
		const theirsHere = found[1]?.find((each) => each.label === label)
		if (!theirsHere) return []
		const lines = [points.map(at[0]), theirsHere.points.map(other)] as const
		const [first, second] = [lines[0][0], lines[0][1]]
		return [
			{
				...{ tick: label, name: line.name, side: line.side, lines },
				alongMm: [at[0](tick).x, at[1](theirsHere.tick).x],
				angleDeg: first && second ? lean(second, first) : 90,
				offRuleMm: offRule(lines),
			},
		]
	})
	const along = (p: ChartPoint | undefined) => (p ? at[0](p).x : 0)
	const datums = input.datums.map((names, i) => ({
		alongMm: along(met.halves[0].datums[i]),
		names: [...names] as [string, string],
	}))
	return { rows: rows.sort((a, b) => a.alongMm[0] - b.alongMm[0]), overMm, lies, datums }
}

type Beside = (p: ChartPoint) => SeamPlace

function flatBeside(met: MetSeam, half: 0 | 1): Beside {
	const { chart } = met.halves[half]
	const { curve, fromMm } = met.seams[half]
	const foot = nearestOn(chart, curve)
	const { lengthAt } = measure(chart, curve)
	return (p) => {
		const near = foot(p)
		return near ? { x: lengthAt(near.u) - fromMm, y: chart.orientation * near.offsetMm } : { x: 0, y: 0 }
	}
}

const liesAs = (places: readonly SeamPlace[]): 1 | -1 => (places.reduce((sum, { y }) => sum + Math.sign(y), 0) >= 0 ? 1 : -1)

/** The visible line that comes to a tick: one that ends there, else one that passes there. */
function lineAt(chart: Chart, lines: readonly SeenLine[], tick: ChartPoint): SeenLine | undefined {
	const far = (p: ChartPoint) => Math.hypot((p.s - tick.s) * chart.metric(tick.s, tick.g).j, p.g - tick.g)
	const ends = lines.find(({ curve }) => Math.min(far(startOf(curve)), far(endOf(curve))) < TICK_MM)
	if (ends) return ends
	return lines.find(({ curve }) => Math.abs(nearestOn(chart, curve)(tick)?.offsetMm ?? 1) < TICK_MM)
}

/** Places along a line from a seam into its panel, as far as a rule reaches or the line goes. */
function inward(chart: Chart, curve: Curve, tick: ChartPoint, beyond: Region, overMm: number): ChartPoint[] {
	const { length, lengthAt, at } = measure(chart, curve)
	const l = lengthAt(nearestOn(chart, curve)(tick)?.u ?? 0)
	const place = (mm: number) => evaluate(curve, at(mm)).at
	const ways = ([1, -1] as const).filter((way) => {
		const reach = Math.min(overMm, way === 1 ? length - l : l)
		const { s, g } = place(l + (way * reach) / 2)
		return reach > 1 && !pointInRegion({ x: s, y: g }, beyond)
	})
	const [way] = ways
	const reach = Math.min(overMm, way === 1 ? length - l : l)
	if (way === undefined) return [tick]
	return [tick, ...Array.from({ length: LOOKS }, (_, i) => place(l + (way * reach * (i + 1)) / LOOKS))]
}

const lean = (a: SeamPlace, b: SeamPlace) => ((Math.atan2(b.y - a.y, b.x - a.x) * 180) / Math.PI + 360) % 180

/** Off the straight line through the far and the near end of the first line, at the near and the far end of the second one. */
function offRule([own, theirs]: readonly [readonly SeamPlace[], readonly SeamPlace[]]): SeamRow['offRuleMm'] {
	const [near, far] = [own[0], own[LOOKS]]
	if (!near || !far) return [undefined, undefined]
	const length = Math.hypot(near.x - far.x, near.y - far.y)
	const [nx, ny] = [-(near.y - far.y) / length, (near.x - far.x) / length]
	const sign = nx >= 0 ? 1 : -1
	const off = (p: SeamPlace | undefined) => p && sign * ((p.x - near.x) * nx + (p.y - near.y) * ny)
	return [off(theirs[0]), off(theirs[LOOKS])]
}
