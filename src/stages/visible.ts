/** What is seen of a scheme where its parts lie over each other. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Paint, Panel } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import { areaOf, intersect, subtract, union } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import { onceRound } from '../scheme/outline.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { coatsOf } from './coats.ts'
import type { Part } from './parts.ts'

export interface VisibleInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly scheme: Scheme
	readonly paints: ReadonlyMap<string, Paint>
	/** all that can be painted, with no more points than it needs */
	readonly area: ChartRegion
}

/** So far off their true outlines parts may be, mm: a twentieth of what shows at a painted edge. */
const CHORD_MM = 0.005
/** Two fields that share less than this only touch, mm^2. */
const TOUCH_MM2 = 0.5
/** Less than this of a part is rounding of outlines, mm^2. */
const LEAST_MM2 = 0.02

interface Laid {
	readonly id: string
	readonly what: string
	readonly side: Part['side']
	readonly paint: string
	readonly region: Region
	readonly band?: Part['band']
	/** names of what it lies over, and its own */
	readonly over: readonly string[]
	readonly of: string
	readonly field?: number
}

/** The parts of a panel, none over another; the last is what the scheme leaves as it is, where it leaves anything. */
export function visibleParts(input: VisibleInput): { readonly parts: readonly Part[]; readonly problems: readonly Problem[] } {
	const { panel, paints } = input
	const laid = overOrder(laidOf(input))
	const problems = [...fieldsThatOverlap(input, laid)]
	const area = toPlane(input.area)
	const parts: Part[] = []
	let above: Region = []
	for (const each of [...laid].reverse()) {
		const onPanel = intersect(each.region, area)
		const seen = above.length > 0 ? subtract(onPanel, above) : onPanel
		above = above.length > 0 ? union([above, onPanel]) : onPanel
		if (areaOf(seen) < LEAST_MM2) {
			// Where it is not said which lies over which, that is the slip.
			const open = problems.some(({ code }) => code === 'FIELDS_OVERLAP')
			if (each.field !== undefined && !open && areaOf(onPanel) > TOUCH_MM2) problems.push(hidden(input, each, onPanel))
			continue
		}
		parts.unshift({
			id: each.id,
			what: each.what,
			side: each.side,
			coats: coatsOf(each.paint, paints),
			region: toChart(seen),
			...(each.band ? { band: each.band } : {}),
		})
	}
	const rest = subtract(area, above)
	if (areaOf(rest) > TOUCH_MM2) {
		const side = panel.hand === 'left' || panel.hand === 'right' ? panel.hand : 'both'
		parts.push({ id: 'rest', what: 'what is left as it is', side, coats: [], region: toChart(rest) })
	}
	return { parts, problems }
}

function laidOf({ chart, panel, scheme }: VisibleInput): Laid[] {
	const plane = (region: ChartRegion) => fewer(toPlane(onceRound(chart, region)))
	const fields = scheme.fields.map((f): Laid => {
		const index = panel.fields.findIndex(({ id }) => id === f.field)
		const field = panel.fields[index]
		return {
			...{ id: f.id, of: f.field, what: field?.what ?? f.field, side: f.side, paint: f.paint, region: plane(f.region) },
			...{ over: field?.over ?? [], field: index },
		}
	})
	const bands = scheme.bands.map((b): Laid => {
		const stripe = panel.stripes.find(({ id }) => id === b.stripe)
		const several = stripe && stripe.bands.filter((part) => !('gap' in part)).length > 1
		const number = b.id.slice(b.id.lastIndexOf('/') + 1)
		const what = `${stripe?.what ?? b.stripe}${several ? ` ${number}` : ''}`
		return {
			...{ id: b.id, of: b.stripe, what, side: b.side, paint: b.paint, region: plane(b.region), over: stripe?.over ?? [] },
			band: { near: b.near, far: b.far, ...evenWidth(panel, b.stripe, Number(number)) },
		}
	})
	return [...fields, ...bands]
}

/** Width of a band where it is one number; tapering bands and pointed ends are not one width throughout. */
function evenWidth(panel: Panel, id: string, number: number): { widthMm: number; even: boolean } {
	const stripe = panel.stripes.find((s) => s.id === id)
	const band = stripe?.bands.filter((part) => !('gap' in part))[number - 1]
	if (!stripe || !band || 'gap' in band) return { widthMm: 0, even: false }
	if (typeof band.width !== 'number') return { widthMm: Math.max(...band.width.map(({ width }) => width)), even: false }
	return { widthMm: band.width, even: true }
}

/** Outlines with as many points as masking needs. */
export const fewer = (region: Region): Region => region.map((loop) => simplify(loop, CHORD_MM, true))

/** From below: each after all that it is said to lie over, else as listed, fields before bands. */
function overOrder(laid: readonly Laid[]): readonly Laid[] {
	const out: Laid[] = []
	const taken = new Set<Laid>()
	const take = (one: Laid, below: ReadonlySet<Laid>) => {
		if (taken.has(one) || below.has(one)) return
		for (const other of laid) if (one.over.includes(other.of)) take(other, new Set([...below, one]))
		if (taken.has(one)) return
		taken.add(one)
		out.push(one)
	}
	for (const one of laid) take(one, new Set())
	return out
}

/** Two fields on one place, and nothing that says which is seen. */
function fieldsThatOverlap({ chart, panel, path }: VisibleInput, laid: readonly Laid[]): Problem[] {
	const fields = laid.filter(({ field }) => field !== undefined)
	return fields.flatMap((a, i) =>
		fields.slice(i + 1).flatMap((b): Problem[] => {
			if (a.of === b.of || a.paint === b.paint || b.over.includes(a.of) || a.over.includes(b.of)) return []
			const both = intersect(a.region, b.region)
			if (areaOf(both) < TOUCH_MM2) return []
			const at = middle(both)
			// The smaller one on top leaves both to be seen.
			const [over, under] = areaOf(b.region) > areaOf(a.region) ? [a, b] : [b, a]
			return [
				{
					code: 'FIELDS_OVERLAP',
					severity: 'error',
					path: `${path}/fields/${b.field}`,
					place: placeOn(panel, at, b.side),
					found: `${b.of} and ${a.of} both claim ${Math.round(areaOf(both) * chart.metric(at.s, at.g).j)} mm2`,
					expected: 'one field at each place, or a word on which lies over the other',
					fix: `give one of them another line, or add "over": ["${under.of}"] to ${over.of}`,
				},
			]
		}),
	)
}

/** A field that lies below others all over. */
function hidden({ panel, path }: VisibleInput, { of, field, side }: Laid, region: Region): Problem {
	return {
		code: 'FIELD_HIDDEN',
		severity: 'warning',
		path: `${path}/fields/${field}`,
		place: placeOn(panel, middle(region), side),
		found: `${of}, of which nothing is seen: other fields and stripes lie over all of it`,
		expected: 'a field that is seen somewhere',
		fix: 'take it away, or look at its lines and at what is said to lie over what',
	}
}

const middle = (region: Region): ChartPoint => {
	const loop = region[0] ?? []
	const n = Math.max(1, loop.length)
	return { s: loop.reduce((sum, p) => sum + p.x, 0) / n, g: loop.reduce((sum, p) => sum + p.y, 0) / n }
}
