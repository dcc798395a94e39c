import type { Chart } from '../chart/chart.ts'
import { distance, type Path } from '../chart/distance.ts'
import { shoot } from '../chart/geodesic.ts'
import type { ChartPoint, SpacePoint } from '../chart/point.ts'
import { nearTurn } from '../chart/round.ts'
import { type Bridge, taut } from '../chart/taut.ts'
import type { What } from './named.ts'
import type { ResolvedReading } from './resolve.ts'

/** A number that the places of some marks predict, and how it changes with them: ds, dg of each mark in turn. */
export interface Prediction {
	readonly value: number
	readonly gradient: readonly number[]
	/** of a tape pulled tight: where it lies off the panel; absent where the panel's place in space is not known */
	readonly bridges?: readonly Bridge[]
}

/** One measured number and its model. `predict` is undefined where the panel does not reach. */
export interface Observation {
	readonly reading: ResolvedReading
	readonly what: What
	readonly value: number
	readonly sd: number
	readonly keys: readonly string[]
	predict(chart: Chart, places: readonly ChartPoint[]): Prediction | undefined
}

/** A station that was set: a pencil line, mm. */
const SET_SD = 0.1

/** The numbers of one reading, `sd` being that of the number read and `squareSd` the angle a squared tape may be off. */
export function observe(resolved: ResolvedReading, sd: number, squareSd: number): readonly Observation[] {
	const { reading, keys } = resolved
	switch (reading.kind) {
		case 'square':
		case 'crossing': {
			const g = resolved.g ?? 0
			// a tape out of square by a small angle misses the station by that angle times its length; of a crossing the station
			// was not read but set
			const stationSd = Math.hypot(reading.kind === 'square' ? sd : SET_SD, g * squareSd)
			return [
				{
					reading: resolved,
					what: 'station',
					value: reading.station,
					sd: stationSd,
					keys,
					predict: (_, [p]) => ({ value: p!.s, gradient: [1, 0] }),
				},
				{ reading: resolved, what: 'girth', value: g, sd, keys, predict: (_, [p]) => ({ value: p!.g, gradient: [0, 1] }) },
			]
		}
		case 'straight':
			return [{ reading: resolved, what: 'length', value: reading.length, sd, keys, predict: chord }]
		case 'toLine':
			return [{ reading: resolved, what: 'distance', value: reading.distance, sd, keys, predict: lineDistance }]
		case 'between':
			// made of the marks of both lines once they are placed
			return []
		default: {
			const predict = 'pull' in reading && reading.pull === 'tight' ? tautLength : tapeLength
			return [{ reading: resolved, what: 'length', value: reading.length, sd, keys, predict }]
		}
	}
}

/** Lengths are worked out this well: a tape is read to half a millimetre. */
const TAPE_MM = 1e-6

/**
 * A tape pressed down from mark to mark lies on the shortest path of the panel. Its gradient is the unit tangent at each end
 * (first variation of length, do Carmo 5-4).
 */
function tapeLength(chart: Chart, [p, q]: readonly ChartPoint[]): Prediction | undefined {
	const path = distance(chart, p!, nearTurn(chart, p!, q!), TAPE_MM)
	return path && pressed(chart, path, p!, q!)
}

function pressed(chart: Chart, path: Path, p: ChartPoint, q: ChartPoint): Prediction {
	return {
		value: path.length,
		gradient: [
			-Math.cos(path.startAngle) * chart.metric(p.s, p.g).j,
			-Math.sin(path.startAngle),
			Math.cos(path.endAngle) * chart.metric(q.s, q.g).j,
			Math.sin(path.endAngle),
		],
	}
}

/**
 * Pulled tight it lies so too, but lifts off over hollows. By the first variation its gradient is still its own direction at
 * either end: that of the path, or of the straight way across where it lies off the panel there.
 */
function tautLength(chart: Chart, [p, q]: readonly ChartPoint[]): Prediction | undefined {
	const near = nearTurn(chart, p!, q!)
	const path = distance(chart, p!, near, TAPE_MM)
	if (!path) return undefined
	const down = pressed(chart, path, p!, near)
	const tape = taut(chart, p!, path)
	if (!tape) return down
	const { leaves, arrives, bridges } = tape
	const start = leaves ? slopes(chart, p!, leaves).map((x) => -x) : down.gradient.slice(0, 2)
	const end = arrives ? slopes(chart, near, arrives) : down.gradient.slice(2)
	return { value: tape.length, gradient: [...start, ...end], bridges }
}

/** Step of the central differences of the embedding, mm: its error goes with the square, that of rounding with the inverse. */
const STEP_MM = 1e-2

/** Straight through the air, where the panel's shape in space is known. */
function chord(chart: Chart, [p, q]: readonly ChartPoint[]): Prediction | undefined {
	const embed = chart.embed
	if (!embed) return undefined
	const from = embed.call(chart, p!)
	const to = embed.call(chart, q!)
	const value = Math.hypot(to.x - from.x, to.y - from.y, to.z - from.z)
	if (!(value > 0)) return { value: 0, gradient: [0, 0, 0, 0] }
	const way = { x: (to.x - from.x) / value, y: (to.y - from.y) / value, z: (to.z - from.z) / value }
	const [ps, pg] = slopes(chart, p!, way)
	const [qs, qg] = slopes(chart, q!, way)
	return { value, gradient: [-ps!, -pg!, qs!, qg!] }
}

/** How far a place moves along a direction in space per mm of station, and per mm of girth. */
function slopes(chart: Chart, { s, g }: ChartPoint, way: SpacePoint): readonly number[] {
	const embed = (at: ChartPoint) => chart.embed?.(at) as SpacePoint
	const along = (ahead: SpacePoint, behind: SpacePoint) =>
		(way.x * (ahead.x - behind.x) + way.y * (ahead.y - behind.y) + way.z * (ahead.z - behind.z)) / (2 * STEP_MM)
	return [
		along(embed({ s: s + STEP_MM, g }), embed({ s: s - STEP_MM, g })),
		along(embed({ s, g: g + STEP_MM }), embed({ s, g: g - STEP_MM })),
	]
}

/** The foot on the line is found by stepping along it; flat panels need one step, curved ones three or four. */
const MAX_FOOT_STEPS = 40
const FOOT_TOLERANCE_MM = 1e-7

/** The foot of a mark on the line a taut tape takes between two others, run on past them where need be. */
export interface Foot {
	/** along the line from its first place, and the length of the line, mm */
	readonly along: number
	readonly length: number
	/** from the line to the mark, positive to its plus side, mm */
	readonly off: number
	/** how the foot, the mark's way and the line lie, for the derivatives */
	readonly end: number
	readonly startAngle: number
	readonly endAngle: number
	readonly footSpread: number
}

/** Undefined where the panel does not reach. */
export function footOn(chart: Chart, a: ChartPoint, b: ChartPoint, p: ChartPoint): Foot | undefined {
	const line = distance(chart, a, b)
	if (!line || !(line.length > 0)) return undefined
	let t = line.length / 2
	for (let step = 0; step < MAX_FOOT_STEPS; step++) {
		const foot = shoot(chart, a, line.startAngle, t, { spread: 1, spreadRate: 0 })
		if (!foot.reached) return undefined
		const way = distance(chart, foot.at, p)
		if (!way) return undefined
		const along = way.length * Math.cos(way.startAngle - foot.angle)
		if (Math.abs(along) > FOOT_TOLERANCE_MM) {
			// beyond a centre of bend the nearest foot would run away: short steps keep to the near one
			t += Math.max(-line.length, Math.min(line.length, along))
			continue
		}
		// on the line itself either normal will do: the reading is 0 and so is the residual's sign
		const apart = way.length > FOOT_TOLERANCE_MM
		const side = apart && Math.sin(way.startAngle - foot.angle) < 0 ? -1 : 1
		return {
			along: t,
			length: line.length,
			off: side * way.length,
			end: apart ? way.endAngle : foot.angle + Math.PI / 2,
			startAngle: line.startAngle,
			endAngle: line.endAngle,
			footSpread: foot.spread,
		}
	}
	return undefined
}

/**
 * Shortest way from a mark to the line a taut tape takes between two others (run on past them where need be).
 * Where an end of that line moves, the foot moves by the Jacobi field that is 0 at the other end (do Carmo 5-5).
 */
export function lineDistance(chart: Chart, [p, a, b]: readonly ChartPoint[]): Prediction | undefined {
	const foot = footOn(chart, a!, b!, p!)
	if (!foot) return undefined
	const unit = (spread: number, spreadRate: number, length: number) =>
		shoot(chart, a!, foot.startAngle, length, { spread, spreadRate }).spread
	const across = unit(0, 1, foot.length)
	if (Math.abs(across) <= FOOT_TOLERANCE_MM) return undefined
	const byB = unit(0, 1, foot.along) / across
	const byA = foot.footSpread - unit(1, 0, foot.length) * byB
	const side = foot.off < 0 ? -1 : 1
	const jp = chart.metric(p!.s, p!.g).j
	const ja = chart.metric(a!.s, a!.g).j
	const jb = chart.metric(b!.s, b!.g).j
	return {
		value: Math.abs(foot.off),
		gradient: [
			Math.cos(foot.end) * jp,
			Math.sin(foot.end),
			-side * byA * -Math.sin(foot.startAngle) * ja,
			-side * byA * Math.cos(foot.startAngle),
			-side * byB * -Math.sin(foot.endAngle) * jb,
			-side * byB * Math.cos(foot.endAngle),
		],
	}
}
