import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Panel, Reading } from '../job/schema.ts'
import { WITHIN_95 } from './ellipse.ts'
import { DETECTED_SDS, SQUARE_SD, usualSd } from './instruments.ts'
import { observe } from './observe.ts'
import type { Mark, Survey } from './survey.ts'

/** How far a mark can be trusted before anything is stripped. */
export interface MarkTrust {
	readonly key: string
	/** half-width within which it lies 95 times in 100, in its worst direction, mm on the panel */
	readonly knownMm: number
	/** how far one slip that nothing shows could move it, mm; absent where a slip of any size could */
	readonly unseenMm?: number
}

/** A reading not yet taken, and what it would do. */
export interface NextReading {
	readonly kind: 'tape' | 'square'
	/** the mark; for a tape its other end too */
	readonly marks: readonly string[]
	/** what a tape should read, mm */
	readonly lengthMm?: number
	/** the mark that it helps most: how far it can be trusted now, and then */
	readonly before: MarkTrust
	readonly after: MarkTrust
	/** by how much each of its numbers lessens what is in doubt over all marks together, mm */
	readonly gainMm: number
}

export interface Ahead {
	readonly marks: readonly MarkTrust[]
	/** the readings that would help most, best first: each counts on the ones before it */
	readonly next: readonly NextReading[]
}

export interface AheadInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly survey: Survey
	/** keys of the marks that matter */
	readonly used: ReadonlySet<string>
	/** what else would show a slip of a mark, by key: the other side, or the line through the other marks; mm */
	readonly shownMm: ReadonlyMap<string, number>
	/** how many readings to name */
	readonly most: number
}

/** A reading with less of a slip showing than this is checked by nothing. */
const LEAST_CHECKED = 0.01
/** A reading that moves a mark by less than this share of its own slip does not matter to it. */
const LEAST_SHARE = 0.02
/** A slip larger than an inch is seen by eye on the old paint: more than this is not in doubt. */
const WORST_MM = 25
/** Marks for which more readings are looked for: those least to be trusted. */
const MOST_MARKS = 24
/** What a tape can span on a panel without a second hand, mm. */
const TAPE_MM = { least: 40, most: 1500 }
/** Less than this is not worth a walk to the stand, mm. */
const LEAST_GAIN_MM = 1

/** One number read, or to be read: how it changes with the unknowns, and its sd. */
interface Row {
	readonly columns: readonly number[]
	readonly values: readonly number[]
	readonly sd: number
}

interface State {
	/** covariance of all unknowns, row by row */
	readonly q: Float64Array
	readonly rows: readonly Row[]
}

/**
 * What the readings so far say of each mark, and which one more would help most. The covariance with a reading more is
 * Q - Q a aT Q / (sd^2 + aT Q a), known before it is taken; a slip of 4.13 sd / sqrt r is found four times in five, and moves
 * the marks by Q a / sd^2 of itself (Baarda 1968, Publications on Geodesy 2-5: internal and external reliability).
 */
export function lookAhead(input: AheadInput): Ahead {
	const { chart, survey } = input
	const keys = survey.joint.keys
	const column = new Map(keys.map((key, i) => [key, 2 * i]))
	const metric = keys.map((key) => {
		const { s, g } = (survey.marks[key] as Mark).at
		return chart.metric(s, g).j
	})
	let state: State = { q: Float64Array.from(survey.joint.covariance), rows: designOf(chart, survey, column) }
	const matters = keys.map((key) => input.used.has(key))
	const shown = keys.map((key) => input.shownMm.get(key) ?? Number.POSITIVE_INFINITY)
	const first = trusts(state, keys.length, metric, shown)
	let now = first
	const ahead: NextReading[] = []
	const taken = new Set<string>()
	const candidates = new Map<string, readonly Candidate[]>()
	for (let round = 0; round < input.most; round++) {
		const worst = keys
			.map((key, i) => ({ key, i, doubt: matters[i] ? doubtOf(now[i] as Trust) : 0 }))
			.sort((a, b) => b.doubt - a.doubt || (a.key < b.key ? -1 : 1))
			.slice(0, MOST_MARKS)
		let best: { candidate: Candidate; state: State; trust: readonly Trust[]; gain: number } | undefined
		for (const { key } of worst) {
			const near = candidates.get(key) ?? candidatesFor(input, key, column)
			candidates.set(key, near)
			for (const candidate of near) {
				if (taken.has(candidate.name)) continue
				const after = candidate.rows.reduce(withRow, state)
				const trust = trusts(after, keys.length, metric, shown)
				let gain = 0
				for (let i = 0; i < keys.length; i++) if (matters[i]) gain += doubtOf(now[i] as Trust) - doubtOf(trust[i] as Trust)
				// Each number is a tape laid once more: two are worth less than one that does the same.
				gain /= candidate.rows.length
				if (!best || gain > best.gain + 1e-9) best = { candidate, state: after, trust, gain }
			}
		}
		if (!best || best.gain < LEAST_GAIN_MM) break
		const { candidate, trust, gain } = best
		const most = keys
			.map((_, i) => ({ i, by: matters[i] ? doubtOf(now[i] as Trust) - doubtOf(trust[i] as Trust) : Number.NEGATIVE_INFINITY }))
			.reduce((a, b) => (b.by > a.by ? b : a)).i
		ahead.push({
			kind: candidate.kind,
			marks: candidate.marks,
			...(candidate.lengthMm === undefined ? {} : { lengthMm: candidate.lengthMm }),
			before: said(keys[most] as string, now[most] as Trust),
			after: said(keys[most] as string, trust[most] as Trust),
			gainMm: gain,
		})
		taken.add(candidate.name)
		state = best.state
		now = trust
	}
	return { marks: keys.flatMap((key, i) => (matters[i] ? [said(key, first[i] as Trust)] : [])), next: ahead }
}

/** What was read so far, each number with its own gradient where the marks are. */
function designOf(chart: Chart, survey: Survey, column: ReadonlyMap<string, number>): readonly Row[] {
	return survey.observations.flatMap((o) => {
		const marks = o.keys.map((key) => survey.marks[key] as Mark)
		const predicted = o.predict(
			chart,
			marks.map(({ at }) => at),
		)
		return rowOf(predicted?.gradient, marks, o.sd, column)
	})
}

interface Trust {
	readonly known: number
	/** infinite where nothing shows a slip */
	readonly unseen: number
}

const doubtOf = ({ known, unseen }: Trust) => Math.hypot(Math.min(known, WORST_MM), Math.min(unseen, WORST_MM))
const said = (key: string, { known, unseen }: Trust): MarkTrust => ({
	key,
	knownMm: known,
	...(Number.isFinite(unseen) ? { unseenMm: unseen } : {}),
})

/** Of each mark, how well it is known and how far an unseen slip of any one reading moves it. */
function trusts({ q, rows }: State, marks: number, metric: readonly number[], shown: readonly number[]): readonly Trust[] {
	const n = 2 * marks
	const unseen = new Float64Array(marks)
	const moved = new Float64Array(n)
	for (const row of rows) {
		times(q, n, row, moved)
		const checked = 1 - dot(row, moved) / row.sd ** 2
		const slip = checked > LEAST_CHECKED ? (DETECTED_SDS * row.sd) / Math.sqrt(checked) : Number.POSITIVE_INFINITY
		for (let i = 0; i < marks; i++) {
			const share = Math.hypot((moved[2 * i] as number) * (metric[i] as number), moved[2 * i + 1] as number) / row.sd ** 2
			if (share > LEAST_SHARE) unseen[i] = Math.max(unseen[i] as number, share * slip)
		}
	}
	return metric.map((j, i) => {
		const ss = (q[2 * i * n + 2 * i] as number) * j * j
		const sg = (q[2 * i * n + 2 * i + 1] as number) * j
		const gg = q[(2 * i + 1) * n + 2 * i + 1] as number
		const largest = (ss + gg) / 2 + Math.hypot((ss - gg) / 2, sg)
		return { known: WITHIN_95 * Math.sqrt(Math.max(0, largest)), unseen: Math.min(unseen[i] as number, shown[i] as number) }
	})
}

/** Q a, into `out`. */
function times(q: Float64Array, n: number, { columns, values }: Row, out: Float64Array): void {
	out.fill(0)
	columns.forEach((c, k) => {
		const value = values[k] as number
		for (let j = 0; j < n; j++) out[j] = (out[j] as number) + value * (q[c * n + j] as number)
	})
}

const dot = ({ columns, values }: Row, x: Float64Array) =>
	columns.reduce((sum, c, k) => sum + (values[k] as number) * (x[c] as number), 0)

/** With one number more. */
function withRow({ q, rows }: State, row: Row): State {
	const n = Math.sqrt(q.length)
	const moved = new Float64Array(n)
	times(q, n, row, moved)
	const spread = row.sd ** 2 + dot(row, moved)
	const next = Float64Array.from(q)
	for (let i = 0; i < n; i++) {
		const share = (moved[i] as number) / spread
		if (share === 0) continue
		for (let j = 0; j < n; j++) next[i * n + j] = (next[i * n + j] as number) - share * (moved[j] as number)
	}
	return { q: next, rows: [...rows, row] }
}

interface Candidate {
	readonly name: string
	readonly kind: NextReading['kind']
	readonly marks: readonly string[]
	readonly lengthMm?: number
	readonly rows: readonly Row[]
}

/** Station and girth once more; tapes to datums, to the same mark of the other side, and to the marks beside it. */
function candidatesFor(input: AheadInput, key: string, column: ReadonlyMap<string, number>): readonly Candidate[] {
	const { chart, panel, survey } = input
	const mark = survey.marks[key] as Mark
	const others = Object.values(survey.marks)
		.filter((other) => other.key !== key && (panel.hand !== 'pair' || other.side === mark.side || other.side === undefined))
		.map((other) => ({ other, apart: apart(chart, mark.at, other.at) }))
		.filter(({ apart: mm }) => mm >= TAPE_MM.least && mm <= TAPE_MM.most)
		.sort((a, b) => a.apart - b.apart || (a.other.key < b.other.key ? -1 : 1))
	const datums = others.filter(({ other }) => other.fixed)
	const ends = [
		...datums.slice(0, 2),
		...datums.slice(-1),
		...others.filter(({ other }) => other.id === mark.id),
		...others.filter(({ other }) => !other.fixed && other.id !== mark.id).slice(0, 2),
	]
	const tapes = [...new Set(ends.map(({ other }) => other))].flatMap((other) => {
		const made = taped(chart, panel, mark, other, column)
		return made ? [made] : []
	})
	return [squaredAgain(chart, mark, column), ...tapes]
}

function squaredAgain(chart: Chart, mark: Mark, column: ReadonlyMap<string, number>): Candidate {
	const reading = { kind: 'square', mark: mark.id, station: mark.at.s, girth: Math.abs(mark.at.g), squared: 't-strip' } as Reading
	const observations = observe({ index: -1, reading, keys: [mark.key], g: mark.at.g }, usualSd('square'), SQUARE_SD['t-strip'])
	const rows = observations.flatMap((o) => rowOf(o.predict(chart, [mark.at])?.gradient, [mark], o.sd, column))
	return { name: `square ${mark.key}`, kind: 'square', marks: [mark.key], rows }
}

function taped(chart: Chart, panel: Panel, mark: Mark, other: Mark, column: ReadonlyMap<string, number>): Candidate | undefined {
	if (overInterruption(panel, mark.at, other.at)) return undefined
	const reading = { kind: 'tape', from: other.key, to: mark.key, length: 0, pull: 'pressed' } as Reading
	const [o] = observe({ index: -1, reading, keys: [other.key, mark.key] }, usualSd('tape'), 0)
	const predicted = o?.predict(chart, [other.at, mark.at])
	if (!o || !predicted) return undefined
	const [a, b] = [other.key, mark.key].sort()
	return {
		name: `tape ${a} ${b}`,
		kind: 'tape',
		marks: [other.key, mark.key],
		lengthMm: predicted.value,
		rows: rowOf(predicted.gradient, [other, mark], o.sd, column),
	}
}

function rowOf(
	gradient: readonly number[] | undefined,
	marks: readonly Mark[],
	sd: number,
	column: ReadonlyMap<string, number>,
): readonly Row[] {
	if (!gradient) return []
	const columns: number[] = []
	const values: number[] = []
	marks.forEach((mark, k) => {
		const c = column.get(mark.key)
		if (c === undefined) return
		columns.push(c, c + 1)
		values.push(gradient[2 * k] as number, gradient[2 * k + 1] as number)
	})
	return [{ columns, values, sd }]
}

/** By the metric half-way: which marks are near, not how near. */
const apart = (chart: Chart, p: ChartPoint, q: ChartPoint) =>
	Math.hypot((p.s - q.s) * chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j, p.g - q.g)

/** A tape across the centreline where a filler or a badge stands does not lie down. */
function overInterruption(panel: Panel, p: ChartPoint, q: ChartPoint): boolean {
	if (p.g * q.g >= 0) return false
	const s = p.s + ((q.s - p.s) * p.g) / (p.g - q.g)
	return panel.baseline.interruptions.some(({ from, to }) => s >= from && s <= to)
}
