import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { gaussNewton } from '../numeric/gaussNewton.ts'
import type { Observation } from './observe.ts'
import type { NamedMark } from './resolve.ts'

/** Why a mark has no place. */
export type Unplaced =
	/** fewer than two numbers tie it to places that are known */
	| { readonly reason: 'too-few'; readonly count: number }
	/** what there is all runs the same way */
	| { readonly reason: 'same-way'; readonly observations: readonly Observation[] }
	/** lengths that do not meet, by so much */
	| { readonly reason: 'apart'; readonly observations: readonly Observation[]; readonly byMm: number }
	| { readonly reason: 'ambiguous'; readonly places: readonly ChartPoint[]; readonly observations: readonly Observation[] }

export interface Start {
	readonly places: ReadonlyMap<string, ChartPoint>
	readonly unplaced: ReadonlyMap<string, Unplaced>
}

/** Places nearer than this are one place: no tape tells them apart. */
const SAME_PLACE_MM = 1
/** Two standard normal errors beyond 3.29 are one in a thousand: a place that fits worse by this in sum of squares is refused. */
const WORSE = 3.29 ** 2
/** Sine of the angle at which two readings meet; below it (3 degrees) 1 mm of tape is 20 mm of place. */
const LEAST_SINE = 0.05
/** Directions tried around each known place. Two circles meet in two places: eight rays find both from any side. */
const RAYS = 8
const MAX_STEPS = 60
/** In standard deviations: far finer than the adjustment that follows needs. */
const TOLERANCE = 1e-4

/** The plane on which first guesses are made. */
const PLANE: Chart = {
	id: 'plane',
	sMin: Number.NEGATIVE_INFINITY,
	sMax: Number.POSITIVE_INFINITY,
	gMin: () => Number.NEGATIVE_INFINITY,
	gMax: () => Number.POSITIVE_INFINITY,
	limitReason: '',
	orientation: 1,
	euclidean: true,
	developable: true,
	metric: () => ({ j: 1, jg: 0, js: 0, k: 0 }),
	girthIntegral: (_, g) => g,
	baselineCurvature: () => 0,
	embed: ({ s, g }) => ({ x: s, y: g, z: 0 }),
	errorMm: 0,
	curvatureSd: 0,
}

/**
 * A first place for every mark that has one: where station and girth were read, there; else where two or more lengths to
 * known places meet, with every meeting place tried. Works outward from the datums until no more can be placed.
 */
export function startPlaces(
	chart: Chart,
	marks: ReadonlyMap<string, NamedMark>,
	datums: ReadonlyMap<string, ChartPoint>,
	observations: readonly Observation[],
	signed: boolean,
): Start {
	const places = new Map(datums)
	for (const [key, at] of squared(observations)) if (!places.has(key)) places.set(key, at)

	const unplaced = new Map<string, Unplaced>()
	const waiting = [...marks.keys()].filter((key) => !places.has(key)).sort()
	// every round but the last places at least one mark
	for (let round = 0; round <= marks.size; round++) {
		let placed = 0
		unplaced.clear()
		for (const key of waiting) {
			if (places.has(key)) continue
			const known = observations.filter((o) => o.keys.includes(key) && o.keys.every((k) => k === key || places.has(k)))
			const answer =
				known.length < 2 ? { reason: 'too-few' as const, count: known.length } : meet(chart, key, known, places, marks, signed)
			if ('at' in answer) {
				places.set(key, answer.at)
				placed++
			} else unplaced.set(key, answer)
		}
		if (placed === 0) break
	}
	reconsider(chart, datums, observations, places)
	return { places, unplaced }
}

/** Marks looked at again, and readings of each left out in turn: more is no slip but a panel measured to something else. */
const MOST_RECONSIDERED = 100
const MOST_LEFT_OUT = 12
const LEAST_READINGS = 3
/** Only what misses its mark by so many sds (10 mm of a tape) is a slip that the adjustment would not come back from. */
const GROSS_SDS = 20

/**
 * Where readings of a mark do not fit, the place that most of them agree on: each left out in turn, every meeting of the others
 * tried, and the one kept at which the sum of squares, each counted no further than to a sure misfit, is least (a redescending
 * estimate, Huber 1981, 4.8). A slip of 100 mm or a wrong side would else leave the mark where the adjustment cannot come back from.
 */
function reconsider(
	chart: Chart,
	datums: ReadonlyMap<string, ChartPoint>,
	observations: readonly Observation[],
	places: Map<string, ChartPoint>,
): void {
	const about = new Map<string, Observation[]>()
	for (const o of observations) {
		if (!o.keys.every((key) => places.has(key))) continue
		for (const key of o.keys) if (!datums.has(key)) about.set(key, [...(about.get(key) ?? []), o])
	}
	const gross = (known: readonly Observation[]) =>
		known.some((o) => {
			const said = o.predict(
				chart,
				o.keys.map((k) => places.get(k)!),
			)
			return !said || Math.abs(said.value - o.value) > GROSS_SDS * o.sd
		})
	const misfit = (key: string, known: readonly Observation[], at: ChartPoint) => {
		let sum = 0
		for (const o of known) {
			const said = o.predict(
				chart,
				o.keys.map((k) => (k === key ? at : places.get(k)!)),
			)
			sum += Math.min(WORSE, said ? ((said.value - o.value) / o.sd) ** 2 : WORSE)
		}
		return sum
	}
	const looked = [...about.entries()]
		.filter(([, known]) => known.length >= LEAST_READINGS && gross(known))
		.map(([key, known]) => ({ key, known, sum: misfit(key, known, places.get(key)!) }))
		.sort((a, b) => b.sum - a.sum || (a.key < b.key ? -1 : 1))
	for (const { key, known } of looked.slice(0, MOST_RECONSIDERED)) {
		let best = { at: places.get(key)!, sum: misfit(key, known, places.get(key)!) }
		// Those before it may have come to lie where they should.
		if (!gross(known)) continue
		for (let out = 0; out < Math.min(known.length, MOST_LEFT_OUT); out++) {
			const rest = known.filter((_, i) => i !== out)
			for (const guess of [best.at, ...guesses(chart, key, rest, places)]) {
				const fit = settle(chart, key, rest, places, guess)
				if (!fit) continue
				const sum = misfit(key, known, fit.at)
				if (sum < best.sum - TOLERANCE) best = { at: fit.at, sum }
			}
		}
		places.set(key, best.at)
	}
}

/** Mean station and girth of the marks that were squared off the baseline. */
function squared(observations: readonly Observation[]): Map<string, ChartPoint> {
	const sums = new Map<string, { s: number; sn: number; g: number; gn: number }>()
	for (const o of observations) {
		if (o.what !== 'station' && o.what !== 'girth') continue
		const key = o.keys[0]!
		const sum = sums.get(key) ?? { s: 0, sn: 0, g: 0, gn: 0 }
		if (o.what === 'station') {
			sum.s += o.value
			sum.sn++
		} else {
			sum.g += o.value
			sum.gn++
		}
		sums.set(key, sum)
	}
	const places = new Map<string, ChartPoint>()
	for (const [key, { s, sn, g, gn }] of sums) if (sn > 0 && gn > 0) places.set(key, { s: s / sn, g: g / gn })
	return places
}

interface Candidate {
	readonly at: ChartPoint
	readonly cost: number
	readonly firm: boolean
}

function meet(
	chart: Chart,
	key: string,
	known: readonly Observation[],
	places: ReadonlyMap<string, ChartPoint>,
	marks: ReadonlyMap<string, NamedMark>,
	signed: boolean,
): { readonly at: ChartPoint } | Unplaced {
	const found: Candidate[] = []
	for (const guess of guesses(chart, key, known, places)) {
		const fit = settle(chart, key, known, places, guess)
		if (fit && !found.some((other) => apart(chart, fit.at, other.at) < SAME_PLACE_MM)) found.push(fit)
	}
	if (found.length === 0) return { reason: 'same-way', observations: known }
	const least = Math.min(...found.map((c) => c.cost))
	const likely = found.filter((c) => c.cost <= least + WORSE)
	const loose = likely.find((c) => !c.firm)
	if (loose) {
		if (least <= WORSE) return { reason: 'same-way', observations: known }
		return { reason: 'apart', observations: known, byMm: shortfall(chart, key, known, places, loose.at) }
	}
	const inside = prefer(
		likely,
		({ at }) => at.s >= chart.sMin && at.s <= chart.sMax && at.g >= chart.gMin(at.s) && at.g <= chart.gMax(at.s),
	)
	const side = signed ? marks.get(key)?.side : undefined
	const sided = side ? prefer(inside, ({ at }) => (side === 'left' ? at.g <= 0 : at.g >= 0)) : inside
	if (sided.length > 1) return { reason: 'ambiguous', places: sided.map((c) => c.at), observations: known }
	return { at: sided[0]!.at }
}

/** Those that fit, or all where none does. */
function prefer(candidates: readonly Candidate[], fits: (c: Candidate) => boolean): readonly Candidate[] {
	const kept = candidates.filter(fits)
	return kept.length > 0 ? kept : candidates
}

function apart(chart: Chart, p: ChartPoint, q: ChartPoint): number {
	return Math.hypot((p.s - q.s) * chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j, p.g - q.g)
}

/** Places to start from, found in the plane (stations as long as they are at the middle of what is known). */
function guesses(
	chart: Chart,
	key: string,
	known: readonly Observation[],
	places: ReadonlyMap<string, ChartPoint>,
): ChartPoint[] {
	let s = 0
	let g = 0
	let count = 0
	for (const o of known) {
		for (const k of o.keys) {
			const at = places.get(k)
			if (k === key || !at) continue
			s += at.s
			g += at.g
			count++
		}
	}
	const j = chart.metric(s / count, g / count).j
	const flat = new Map([...places].map(([k, at]) => [k, { s: at.s * j, g: at.g }]))
	// the place lies on the circle of every length: rays to the shortest one find all meetings
	const lengths = known.filter((o) => o.what === 'length').sort((a, b) => a.value - b.value)
	const found: Candidate[] = []
	for (const o of lengths.length > 0 ? lengths.slice(0, 1) : known) {
		for (const k of o.keys) {
			const at = flat.get(k)
			if (k === key || !at) continue
			for (let ray = 0; ray < RAYS; ray++) {
				// half a step off the axes: on them symmetry would hold a start where it is
				const angle = ((ray + 0.5) * 2 * Math.PI) / RAYS
				const from = { s: at.s + o.value * Math.cos(angle), g: at.g + o.value * Math.sin(angle) }
				const fit = settle(PLANE, key, known, flat, from)
				if (fit && !found.some((other) => apart(PLANE, fit.at, other.at) < SAME_PLACE_MM)) found.push(fit)
			}
		}
	}
	return found.map(({ at }) => ({ s: at.s / j, g: at.g }))
}

/** Least squares for one mark alone. */
function settle(
	chart: Chart,
	key: string,
	known: readonly Observation[],
	places: ReadonlyMap<string, ChartPoint>,
	guess: ChartPoint,
): Candidate | undefined {
	const model = (x: Float64Array) => {
		const residuals = new Float64Array(known.length)
		const jacobian = new Float64Array(2 * known.length)
		for (let i = 0; i < known.length; i++) {
			const o = known[i]!
			const at = o.keys.map((k) => (k === key ? { s: x[0]!, g: x[1]! } : places.get(k)!))
			const prediction = o.predict(chart, at)
			if (!prediction) return undefined
			residuals[i] = prediction.value - o.value
			const own = 2 * o.keys.indexOf(key)
			jacobian[2 * i] = prediction.gradient[own]!
			jacobian[2 * i + 1] = prediction.gradient[own + 1]!
		}
		return { residuals, jacobian }
	}
	const sds = known.map((o) => o.sd)
	const fit = gaussNewton(model, [guess.s, guess.g], sds, { tolerance: TOLERANCE, maxSteps: MAX_STEPS })
	if (!fit) return undefined
	const at = { s: fit.x[0]!, g: fit.x[1]! }
	const directions = model(fit.x)!.jacobian
	const j = chart.metric(at.s, at.g).j
	let sine = 0
	for (let i = 0; i < known.length; i++) {
		for (let k = 0; k < i; k++) {
			const cross = directions[2 * i]! * directions[2 * k + 1]! - directions[2 * i + 1]! * directions[2 * k]!
			sine = Math.max(sine, Math.abs(cross / j))
		}
	}
	return { at, cost: fit.sumSquares, firm: sine > LEAST_SINE }
}

/** By how much in all the lengths miss each other at the best place. */
function shortfall(
	chart: Chart,
	key: string,
	known: readonly Observation[],
	places: ReadonlyMap<string, ChartPoint>,
	at: ChartPoint,
): number {
	let sum = 0
	for (const o of known) {
		const prediction = o.predict(
			chart,
			o.keys.map((k) => (k === key ? at : places.get(k)!)),
		)
		if (prediction) sum += Math.abs(prediction.value - o.value)
	}
	return sum
}
