import type { Chart } from '../chart/chart.ts'
import { areMirrored, frame } from '../chart/curve.ts'
import { beyond } from '../chart/limits.ts'
import { measure } from '../chart/measure.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { constantWidth, type Width } from '../chart/width.ts'
import { placeOn } from '../job/place.ts'
import type { Place, Problem } from '../job/problem.ts'
import type { Stripe, StripeEnd } from '../job/schema.ts'
import { intersect, subtract } from '../plane/region.ts'
import { type BandFlaw, type BandShape, layBand, mirroredBand } from './band.ts'
import type { Placed } from './clearance.ts'
import { isEmpty } from './field.ts'
import type { Band, SchemeInput, SidedEdge } from './parts.ts'
import { runOffZone } from './runOff.ts'
import { laySign } from './side.ts'
import { breaksOf, scaled, sum, widthOf } from './width.ts'

/** A band this far out, mm, is a slip of the pen: its edges are not worth following. */
const LOST_MM = 100
const FAR_LOOKS = 8
/** So exact a place tells how far out a band reaches, mm. */
const FAR_PATH_MM = 0.01
/** Where along its line a width is looked at for how far a band reaches. */
const ALONG = Array.from({ length: FAR_LOOKS + 1 }, (_, i) => i / FAR_LOOKS)

/** The outline of a part of a stripe as it was laid off one line. */
export interface LaidShape {
	readonly part: number
	readonly line: Curve
	readonly id: string
	readonly shape: BandShape
}

/** The same part's outline off the other side's line, where panel and lines are their own mirror images. */
function fromOtherSide(chart: Chart, others: readonly LaidShape[], part: number, line: Curve, id: string): LaidShape | undefined {
	if (!chart.symmetric) return undefined
	const other = others.find((o) => o.part === part && areMirrored(o.line, line))
	return other && { ...other, line, id, shape: mirroredBand(other.shape, other.id, id) }
}

/** The bands of one stripe on one side, each with the part of it that must lie on the panel; `others` is added to. */
export function layStripe(
	input: SchemeInput,
	stripe: Stripe,
	edge: SidedEdge,
	front: StripeEnd,
	rear: StripeEnd,
	path: string,
	problems: Problem[],
	others: LaidShape[],
): (Band & Pick<Placed, 'judged'>)[] {
	const { chart, panel } = input
	const sign = laySign(chart, edge.curve, stripe.lay)
	const widths = stripe.bands.map((b) => ('gap' in b ? widthOf(b.gap) : widthOf(b.width)))
	const total = widths.reduce((a, b) => sum(a, b), constantWidth(0))
	let at = stripe.lay === 'centred' ? sum(constantWidth(stripe.offset), scaled(total, -0.5)) : constantWidth(stripe.offset)
	const middle = sum(at, scaled(total, 0.5))
	const lineLength = measure(chart, edge.curve).length
	const out: (Band & Pick<Placed, 'judged'>)[] = []
	let number = 0
	stripe.bands.forEach((band, k) => {
		const near = at
		at = sum(at, widths[k] as ReturnType<typeof widthOf>)
		if ('gap' in band) return
		number++
		const id = `${stripe.id}/${edge.side}/${number}`
		const place = { panel: panel.id, side: edge.side }
		const other = fromOtherSide(chart, others, k, edge.curve, `${panel.id}/${id}`)
		const lost = other ? undefined : farthest(chart, edge.curve, [scaled(near, sign), scaled(at, sign)])
		if (lost && lost.by > LOST_MM) {
			problems.push({
				code: 'CHART_LIMIT',
				severity: 'error',
				path: `${path}/bands/${k}`,
				place: placeOn(panel, lost.from, edge.side),
				found: `${id} lies ${Number.isFinite(lost.by) ? `${lost.by.toFixed(0)} mm` : 'far'} beyond where this baseline can measure`,
				expected: `at most there: ${chart.limitReason}`,
				fix: 'look at the width and the offset of the stripe, or measure this part from a second baseline',
			})
			return
		}
		const asked = {
			id: `${panel.id}/${id}`,
			base: edge.curve,
			near: scaled(near, sign),
			far: scaled(at, sign),
			...(stripe.bands.length > 1 ? { point: scaled(middle, sign) } : {}),
			breaks: stripe.bands.flatMap((b) => ('gap' in b ? [] : breaksOf(b.width))),
			front,
			rear,
			corners: stripe.corners,
			toleranceMm: input.toleranceMm,
		}
		const laid = other ?? { part: k, line: edge.curve, id: asked.id, shape: layBand(chart, asked) }
		const { shape } = laid
		others.push(laid)
		problems.push(...shape.flaws.map((flaw) => flawProblem(flaw, id, `${path}/bands/${k}`, path, place)))
		if (shape.flaws.some((f) => f.kind !== 'point-shortened')) return
		const trimmed = shape.trims[0]
		if (trimmed) {
			const all = shape.near.length === 0 || shape.far.length === 0
			problems.push({
				code: all ? 'BAND_VANISHES' : 'BAND_TRIMMED',
				severity: all ? 'error' : 'warning',
				path: `${path}/bands/${k}`,
				place: placeOn(panel, trimmed.at, edge.side),
				found: {
					bend: `the line bends tighter there than the distance of ${id} off it, so an edge of the band ${all ? 'vanishes' : 'was cut short'}`,
					crossing: `an edge of ${id} meets itself there and was cut`,
					limit: `${id} cannot be followed there: ${chart.limitReason}`,
				}[trimmed.why],
				expected: 'a line that bends more gently than the band is far off it',
				fix: 'make the band narrower, lay it off the other side of the line, or give the line a corner there',
			})
			if (all) return
		}
		const reach = 1 + Math.max(...[near, at].flatMap((w) => ALONG.map((f) => Math.abs(w.at(f * lineLength)))))
		const zones = (['front', 'rear'] as const).flatMap((end) =>
			(end === 'front' ? front : rear).shape === 'runs-off' ? runOffZone(chart, edge.curve, end, edge.led[end], reach) : [],
		)
		const judged = zones.length > 0 ? toChart(subtract(toPlane(shape.region), zones)) : shape.region
		// The end of a band that runs off is the panel's; along its sides a rim cuts nothing off unsaid.
		const panelArea = zones.length > 0 && input.area && input.area.from !== 'marks' ? toPlane(input.area.region) : undefined
		const past = panelArea ? subtract(zones, panelArea) : []
		const region = past.length > 0 ? toChart(subtract(toPlane(shape.region), past)) : shape.region
		if (isEmpty(panelArea ? toChart(intersect(toPlane(region), panelArea)) : region)) {
			problems.push({
				code: 'BAND_EMPTY',
				severity: 'error',
				path: `${path}/bands/${k}`,
				place,
				found: `nothing of ${id} lies on the panel`,
				expected: 'a band on the panel',
				fix: 'look at its line, its offset and the outline',
			})
			return
		}
		out.push({
			...shape,
			region,
			judged,
			id,
			stripe: stripe.id,
			side: edge.side,
			paint: band.paint,
			sign,
		})
	})
	return out
}

function flawProblem(flaw: BandFlaw, id: string, path: string, stripePath: string, place: Place): Problem {
	switch (flaw.kind) {
		case 'ends-meet':
			return {
				code: 'BAND_ENDS_MEET',
				severity: 'error',
				path,
				place,
				found: `the ends of ${id} need ${flaw.neededMm.toFixed(1)} mm of a line ${flaw.lengthMm.toFixed(1)} mm long`,
				expected: 'a line longer than its ends: a rounded end takes half the width of the band',
				fix: 'make the band narrower or the line longer, or give it another end',
			}
		case 'point-shortened':
			return {
				code: 'POINT_SHORTENED',
				severity: 'warning',
				path: `${stripePath}/${flaw.end}`,
				place,
				found: `a ${flaw.end} point ${flaw.askedMm.toFixed(1)} mm long, of which ${id} has ${flaw.madeMm.toFixed(1)} mm`,
				expected: 'at most half the length of the line',
				fix: 'write the length that was measured, or look at the marks of the line',
			}
		case 'rake-missed':
			return {
				code: 'RAKE_MISSES_EDGE',
				severity: 'error',
				path: `${stripePath}/${flaw.end}`,
				place,
				found: `a raked ${flaw.end} end whose cut does not meet both edges of ${id}`,
				expected: 'a cut across the whole band, within the length of the line',
				fix: 'write an angle nearer to 90, make the band narrower, or look at the direction of the line there',
			}
	}
}

/** The place farthest beyond the chart of some along parallels of a line, and the place of the line that it is off. */
function farthest(chart: Chart, base: Curve, widths: readonly Width[]): { by: number; from: ChartPoint } {
	const { lengthAt } = measure(chart, base)
	let worst = { by: Number.NEGATIVE_INFINITY, from: { s: 0, g: 0 } }
	for (let i = 0; i <= FAR_LOOKS; i++) {
		const u = (base.cubics.length * i) / FAR_LOOKS
		const f = frame(chart, base, u)
		for (const width of widths) {
			const p = parallelPoint(chart, f, width.at(lengthAt(u)), 0, FAR_PATH_MM)
			const by = p.reached ? beyond(chart, p.at) : Number.POSITIVE_INFINITY
			if (by > worst.by) worst = { by, from: f.at }
		}
	}
	return worst
}
