import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel, Reading } from '../job/schema.ts'
import { type LineMark, lineMarks } from './crossings.ts'
import { footOn, lineDistance, type Observation } from './observe.ts'
import type { ResolvedReading } from './resolve.ts'
import type { MarkSide } from './survey.ts'
import { mm, sayReading } from './words.ts'

/** A mark this far past the last mark of the other line is still beside it, mm. */
const PAST_MM = 5
/** A mark whose opposite is read already says nothing new, mm along the line. */
const OPPOSITE_MM = 10
/** The bend of a line is not told from marks whose way from its chord is shorter than this part of the chord. */
const LEAST_REACH = 0.25
const MAX_STEPS = 20
const STEP_MM = 1e-9

/** The way from one mark to the other line, by its two nearest marks and how far the line bends off their chord there. */
interface Span {
	readonly p: LineMark
	readonly a: LineMark
	readonly b: LineMark
	readonly bendMm: number
	/** along the chord, and its length, mm */
	readonly along: number
	readonly length: number
}

export interface WidthsInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly panelPath: string
	readonly places: ReadonlyMap<string, ChartPoint>
	readonly sdOf: (reading: ResolvedReading) => number
}

/**
 * Widths between two lines as numbers of their marks. From a mark the way goes to the chord between the two nearest marks of
 * the other line, less what that line bends off it: a parabola through a third mark to either side (their mean), worked out
 * once for the places given, so that its derivative is that of the chord alone. On arcs of radius R with marks d apart what is
 * left out is 9 d^4 / (128 R^3) half-way between marks, to leading order (the remainder of interpolation by the two parabolas);
 * tests/survey/between.test.ts holds it below d^4 / (10 R^3). Without a station each mark of either line is read so, opposite
 * marks once; at a station it is the two marks beside it, by their nearness.
 */
export function widthsBetween(
	input: WidthsInput,
	widths: readonly ResolvedReading[],
	problems: Problem[],
): readonly Observation[] {
	return widths.flatMap((resolved) => {
		const reading = resolved.reading as Extract<Reading, { kind: 'between' }>
		const made = sidesOf(input, reading).flatMap((side) => {
			const [one, other] = reading.lines.map((id) => {
				const edge = input.panel.edges.find((e) => e.id === id)
				return edge
					? { marks: lineMarks(input.panel, edge, side, input.places), closed: edge.closed }
					: { marks: [], closed: false }
			}) as [Line, Line]
			const spans =
				reading.station === undefined
					? throughout(input.chart, one, other).map((span) => [{ span, share: 1 }])
					: atStation(input.chart, one, other, reading.station)
			return spans.map((shares) => observation(resolved, reading.width, input.sdOf(resolved), shares))
		})
		// Where the sides are not told apart both find the same marks.
		const own = [...new Map(made.map((o) => [o.keys.join(' '), o])).values()]
		if (own.length === 0) problems.push(nowhere(input, reading, resolved.index))
		return own
	})
}

interface Line {
	readonly marks: readonly LineMark[]
	readonly closed: boolean
}

function sidesOf({ panel }: WidthsInput, reading: Extract<Reading, { kind: 'between' }>): readonly (MarkSide | undefined)[] {
	if (panel.hand === 'left' || panel.hand === 'right') return [undefined]
	const said = panel.hand === 'pair' ? reading.panel : reading.side
	return said ? [said] : ['left', 'right']
}

function throughout(chart: Chart, one: Line, other: Line): readonly Span[] {
	const spans = one.marks.flatMap((p) => spanTo(chart, p, other) ?? [])
	const read = new Set(
		spans.flatMap(({ a, b, along, length }) => [
			...(Math.abs(along) < OPPOSITE_MM ? [a.key] : []),
			...(Math.abs(length - along) < OPPOSITE_MM ? [b.key] : []),
		]),
	)
	return [...spans, ...other.marks.flatMap((p) => (read.has(p.key) ? [] : (spanTo(chart, p, one) ?? [])))]
}

/** By the marks of the first line beside the station, or of the second where the first has none there. */
function atStation(chart: Chart, one: Line, other: Line, station: number): readonly (readonly Share[])[] {
	for (const [from, to] of [
		[one, other],
		[other, one],
	] as const) {
		for (const [p, q] of pairs(from)) {
			const t = (station - p.at.s) / (q.at.s - p.at.s)
			if (!(t >= 0 && t <= 1)) continue
			const shares = [
				{ mark: p, share: 1 - t },
				{ mark: q, share: t },
			].filter(({ share }) => share > 1e-9)
			const spans = shares.flatMap(({ mark, share }) => {
				const span = spanTo(chart, mark, to)
				return span ? [{ span, share }] : []
			})
			if (spans.length === shares.length) return [spans]
		}
	}
	return []
}

interface Share {
	readonly span: Span
	readonly share: number
}

const pairs = ({ marks, closed }: Line): readonly (readonly [LineMark, LineMark])[] =>
	marks.flatMap((p, i) => {
		const q = marks[i + 1] ?? (closed && marks.length > 2 ? marks[0] : undefined)
		return q ? [[p, q] as const] : []
	})

/** To the nearest chord beside which the mark stands; undefined where the other line does not come by. */
function spanTo(chart: Chart, p: LineMark, line: Line): Span | undefined {
	let best: { i: number; along: number; length: number; off: number } | undefined
	const chords = pairs(line)
	for (const [i, [a, b]] of chords.entries()) {
		if (a.key === p.key || b.key === p.key) continue
		const foot = footOn(chart, a.at, b.at, p.at)
		if (!foot || foot.along < -PAST_MM || foot.along > foot.length + PAST_MM) continue
		if (!best || Math.abs(foot.off) < Math.abs(best.off)) best = { i, along: foot.along, length: foot.length, off: foot.off }
	}
	if (!best) return undefined
	const [a, b] = chords[best.i]!
	const { along, length } = best
	return { p, a, b, along, length, bendMm: b.pulled ? 0 : bendAt(chart, line, a, b, best) }
}

/** How much further the bent line is than its chord, mm. */
function bendAt(
	chart: Chart,
	{ marks, closed }: Line,
	a: LineMark,
	b: LineMark,
	{ along, length, off }: { along: number; length: number; off: number },
): number {
	const n = marks.length
	const i = marks.indexOf(a)
	const k = marks.indexOf(b)
	const before = a.corner || a.pulled ? undefined : (marks[i - 1] ?? (closed ? marks[n - 1] : undefined))
	const next = marks[k + 1] ?? (closed ? marks[0] : undefined)
	const after = b.corner || next?.pulled ? undefined : next
	const bends = [before, after].flatMap((c) => {
		const foot = c && c !== a && c !== b ? footOn(chart, a.at, b.at, c.at) : undefined
		if (!foot) return []
		const reach = foot.along * (foot.along - length)
		return reach > LEAST_REACH * length * length ? [foot.off / reach] : []
	})
	if (bends.length === 0) return 0
	const bend = bends.reduce((sum, q) => sum + q, 0) / bends.length
	// The foot on the parabola y = bend u (u - length), by Newton's method from the foot on the chord.
	let u = along
	for (let step = 0; step < MAX_STEPS; step++) {
		const y = bend * u * (u - length)
		const dy = bend * (2 * u - length)
		const slope = u - along + (y - off) * dy
		const by = slope / (1 + dy * dy + (y - off) * 2 * bend)
		if (!Number.isFinite(by)) return 0
		u -= by
		if (Math.abs(by) < STEP_MM) break
	}
	const bent = Math.hypot(u - along, bend * u * (u - length) - off) - Math.abs(off)
	// A line that bends by more than its chord is long between two marks is not known between them.
	return Math.abs(bent) < length ? bent : 0
}

function observation(reading: ResolvedReading, value: number, sd: number, shares: readonly Share[]): Observation {
	const keys = [...new Set(shares.flatMap(({ span: { p, a, b } }) => [p.key, a.key, b.key]))]
	return {
		...{ reading: { ...reading, keys }, what: 'width', value, sd, keys },
		predict(chart, places) {
			let sum = 0
			const gradient = new Array<number>(2 * keys.length).fill(0)
			for (const { span, share } of shares) {
				const own = [span.p, span.a, span.b].map(({ key }) => keys.indexOf(key))
				const said = lineDistance(
					chart,
					own.map((k) => places[k]!),
				)
				if (!said) return undefined
				sum += share * (said.value + span.bendMm)
				own.forEach((k, i) => {
					gradient[2 * k]! += share * said.gradient[2 * i]!
					gradient[2 * k + 1]! += share * said.gradient[2 * i + 1]!
				})
			}
			return { value: sum, gradient }
		},
	}
}

function nowhere(
	{ panel, panelPath, places }: WidthsInput,
	reading: Extract<Reading, { kind: 'between' }>,
	index: number,
): Problem {
	const edge = panel.edges.find((e) => e.id === reading.lines[0])
	const first = edge && lineMarks(panel, edge, sidesOf({ panel } as WidthsInput, reading)[0], places)[0]
	return {
		code: 'WIDTH_NOWHERE',
		severity: 'warning',
		path: `${panelPath}/readings/${index}`,
		place: first ? placeOn(panel, first.at) : { panel: panel.id },
		found: `${sayReading(reading, 'width')}, ${mm(reading.width)}, where the two have no marks beside each other`,
		expected: 'two marks of one line beside one of the other',
		fix: 'Measure both lines there, or take the width from mark to mark with a "gap".',
	}
}
