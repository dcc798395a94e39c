/** Where parts of different paint meet: the lines that tape follows. */
import type { Chart } from '../chart/chart.ts'
import { evaluate, frame, part, startOf } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearest } from '../chart/nearest.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { partFinder } from './finder.ts'
import type { Border, Part } from './parts.ts'

/** So far beside a line its two neighbours are looked for, mm: nearer than any gap that can be taped. */
const BESIDE_MM = 0.03
/** Looks along a line, mm apart; a change between two is then found to END_MM. */
const LOOK_MM = 2
const END_MM = 1e-4
/** A stretch shorter than this is rounding where lines meet, mm. */
const SHORT_MM = 0.05
/** Tape goes over a hole that is no wider, mm. */
const HOLE_MM = 45
/** Two lines this near are one, mm. */
const SAME_MM = 0.02

interface Candidate {
	readonly line: string
	readonly curve: Curve
}

/** Every stretch of the scheme's lines with two different paints beside it, each once. */
export function bordersOf(chart: Chart, panel: Panel, scheme: Scheme, parts: readonly Part[]): readonly Border[] {
	const find = partFinder(
		chart,
		parts.map(({ region }) => region),
	)
	const out: Border[] = []
	for (const { line, curve } of candidates(chart, panel, scheme)) {
		if (curve.cubics.length === 0) continue
		for (const { from, to, plus, minus } of stretches(chart, curve, find)) {
			if (plus < 0 || minus < 0 || same(parts[plus] as Part, parts[minus] as Part)) continue
			const piece = from === 0 && to === curve.cubics.length ? curve : part(curve, from, to)
			const lengthMm = measure(chart, piece).length
			if (lengthMm < SHORT_MM) continue
			if (out.some((b) => coincides(chart, b, piece, plus, minus))) continue
			const id = `${line}#${out.filter((b) => b.line === line).length + 1}`
			out.push({ id, line, curve: { ...piece, id }, plus, minus, lengthMm })
		}
	}
	return out
}

/** Painted alike, nothing is taped between them. */
const same = (a: Part, b: Part) => a.coats.length === b.coats.length && a.coats.every((coat, i) => coat === b.coats[i])

/** The edges of bands first: where a colour break lies on one, the band's own edge is the line. */
function candidates(chart: Chart, panel: Panel, scheme: Scheme): Candidate[] {
	const bands = scheme.bands.flatMap(({ id, near, far, caps }) => [
		...near.map((curve) => ({ line: `${id}/near`, curve })),
		...far.map((curve) => ({ line: `${id}/far`, curve })),
		...caps.map((curve) => ({ line: `${id}/end`, curve })),
	])
	const breaks = new Map<string, Candidate>()
	for (const { boundaries } of scheme.fields) {
		for (const { edge, side, curve } of boundaries) {
			const line = `${edge}/${side}`
			// A line that a seam cuts asunder is several.
			const { s, g } = startOf(curve)
			breaks.set(`${line} ${s.toFixed(3)} ${g.toFixed(3)}`, { line, curve })
		}
	}
	const centreline = panel.fields.some(({ between }) => between.includes('centreline'))
	return [...bands, ...breaks.values(), ...(centreline ? [{ line: 'centreline', curve: baseline(chart) }] : [])]
}

function baseline({ sMin, sMax }: Chart): Curve {
	const at = (t: number): ChartPoint => ({ s: sMin + (sMax - sMin) * t, g: 0 })
	return { id: 'centreline', cubics: [[at(0), at(1 / 3), at(2 / 3), at(1)]], closed: false, maxErrorMm: 0 }
}

interface Stretch {
	readonly from: number
	readonly to: number
	readonly plus: number
	readonly minus: number
}

/** A line in stretches with one neighbour on each side. */
function stretches(chart: Chart, curve: Curve, find: (p: ChartPoint) => number): Stretch[] {
	const lengths = measure(chart, curve)
	const list = stretchesBy(
		chart,
		curve,
		(u): Pick<Stretch, 'plus' | 'minus'> => ({
			plus: find(besideAt(chart, curve, u, BESIDE_MM)),
			minus: find(besideAt(chart, curve, u, -BESIDE_MM)),
		}),
		(a, b) => a.plus === b.plus && a.minus === b.minus,
	).map(({ from, to, what }) => ({ from, to, ...what }))
	return overHoles(list, (from, to) => lengths.lengthAt(to) - lengths.lengthAt(from))
}

/** A place so far off a line, mm, to its plus side: near enough for the metric at its foot. */
export function besideAt(chart: Chart, curve: Curve, u: number, offMm: number): ChartPoint {
	const { at, angle } = frame(chart, curve, u)
	const { j } = chart.metric(at.s, at.g)
	return { s: at.s - (offMm * Math.sin(angle)) / j, g: at.g + offMm * Math.cos(angle) }
}

/** A line in stretches on each of which something is the same, by its parameters. */
export function stretchesBy<T>(
	chart: Chart,
	curve: Curve,
	lookAt: (u: number) => T,
	same: (a: T, b: T) => boolean,
): { readonly from: number; readonly to: number; readonly what: T }[] {
	const lengths = measure(chart, curve)
	const n = curve.cubics.length
	const count = Math.max(2, Math.ceil(lengths.length / LOOK_MM))
	const near = Math.min(SHORT_MM, lengths.length / 4)
	const looks = [near, ...Array.from({ length: count }, (_, i) => (lengths.length * (i + 0.5)) / count), lengths.length - near]
		.sort((a, b) => a - b)
		.map((l) => ({ l, what: lookAt(lengths.at(l)) }))
	const out: { from: number; to: number; what: T }[] = []
	let from = 0
	for (const [i, look] of looks.entries()) {
		const next = looks[i + 1]
		if (next && same(next.what, look.what)) continue
		let to = n
		if (next) {
			let [a, b] = [look.l, next.l]
			while (b - a > END_MM) {
				const m = (a + b) / 2
				if (same(lookAt(lengths.at(m)), look.what)) a = m
				else b = m
			}
			to = lengths.at((a + b) / 2)
		}
		if (to > from) out.push({ from, to, what: look.what })
		from = to
	}
	return out
}

/** A line goes on over a hole: two stretches with the same neighbours and a little that is off the panel between them are one. */
function overHoles(list: readonly Stretch[], lengthOf: (from: number, to: number) => number): Stretch[] {
	const out: Stretch[] = []
	for (const [i, each] of list.entries()) {
		const last = out.at(-1)
		const off = each.plus < 0 || each.minus < 0
		const next = list.slice(i).find(({ plus, minus }) => plus >= 0 && minus >= 0)
		const over = last && next && off && next.plus === last.plus && next.minus === last.minus
		if (over && lengthOf(last.to, next.from) < HOLE_MM) out[out.length - 1] = { ...last, to: each.to }
		else if (last && last.plus === each.plus && last.minus === each.minus && last.to === each.from) {
			out[out.length - 1] = { ...last, to: each.to }
		} else out.push(each)
	}
	return out
}

/** Whether a stretch is one that is known already, by its middle. */
function coincides(chart: Chart, known: Border, piece: Curve, plus: number, minus: number): boolean {
	if (!(known.plus === plus && known.minus === minus) && !(known.plus === minus && known.minus === plus)) return false
	const { at } = evaluate(piece, piece.cubics.length / 2)
	const points = known.curve.cubics.flat()
	const reach = (values: readonly number[], x: number) =>
		x >= values.reduce((a, b) => Math.min(a, b)) - 1 && x <= values.reduce((a, b) => Math.max(a, b)) + 1
	if (
		!reach(
			points.map(({ s }) => s),
			at.s,
		) ||
		!reach(
			points.map(({ g }) => g),
			at.g,
		)
	)
		return false
	const foot = nearest(chart, known.curve, at)
	return foot !== undefined && Math.abs(foot.offsetMm) < SAME_MM
}
