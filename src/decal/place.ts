/** Where a decal goes on one side, by what the job says of its place, and how well that is known. */
import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { frame as lineFrame, mirroredPoint } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { measure } from '../chart/measure.ts'
import { nearest } from '../chart/nearest.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { nearTurn } from '../chart/round.ts'
import { signedGirth } from '../job/place.ts'
import type { Outcome } from '../job/problem.ts'
import type { Decal, Panel } from '../job/schema.ts'
import { brent } from '../numeric/root.ts'
import type { PlanePoint } from '../plane/point.ts'
import { laySign, type Side } from '../scheme/side.ts'
import { SQUARE_SD, usualSd } from '../survey/instruments.ts'
import { CONTRADICTS, type FittedPlace, fitPlace, type MeasuredPoint } from './fit.ts'
import { angleOn, type DecalFrame, levelAt, pointOf, turnOn } from './frame.ts'
import type { Followed } from './lay.ts'
import { type DecalWords, decalProblem } from './words.ts'

export interface PlaceInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly side: Side
	readonly decal: Decal
	/** of all that is printed, mm */
	readonly size: { readonly width: number; readonly height: number }
	/** lines by name on this side, with how well each is known across itself, mm */
	readonly line: (edge: string) => { readonly curve: Curve; readonly sdMm: number } | undefined
	/** a mark by name as it lies on this side */
	readonly mark: (name: string) => Omit<MeasuredPoint, 'point'> | undefined
	/** how far a decal may lie off its place, mm */
	readonly toleranceMm: number
	readonly words: DecalWords
}

export interface DecalPlace {
	readonly frame: DecalFrame
	/** the place of the decal that was measured or set, in its frame, and where that lies */
	readonly anchor: { readonly point: PlanePoint; readonly at: ChartPoint }
	/** one standard deviation of that place along x and along y, mm, and of the angle, radians */
	readonly sd: FittedPlace['sd']
	readonly misses?: FittedPlace['misses']
	/** laid along a line, bend for bend */
	readonly follows?: Followed
	/** from the middle to each of the two lines that it lies between, mm */
	readonly halves?: readonly [number, number]
}

type PlaceOf<K extends Decal['place']['kind']> = Extract<Decal['place'], { kind: K }>
type Answer = Outcome<DecalPlace>

/** One standard deviation of an angle that is set by eye along a line or a rule (common practice, no source). */
const ANGLE_SD = (0.5 * Math.PI) / 180

export function placeDecal(input: PlaceInput): Answer {
	const { place } = input.decal
	switch (place.kind) {
		case 'marks':
			return byMarks(input, place)
		case 'spot':
			return atSpot(input, place)
		case 'between':
			return between(input, place)
		case 'off':
			return offLine(input, place)
		case 'follow':
			return following(input, place)
	}
}

function byMarks(input: PlaceInput, { marks }: PlaceOf<'marks'>): Answer {
	const { chart, panel, side, size, words, toleranceMm } = input
	const measured: MeasuredPoint[] = []
	for (const [i, { mark, point }] of marks.entries()) {
		const found = input.mark(mark)
		// Why a mark has no place is told where its readings are.
		if (!found) {
			return decalProblem(words, 'DECAL_MARK_OPEN', {
				path: `place/marks/${i}/mark`,
				found: `the mark ${mark}, which has no place ${side === 'both' ? 'yet' : `on the ${side} yet`}`,
				expected: 'marks that readings fix',
				fix: 'measure it as the messages about its readings say',
			})
		}
		measured.push({ ...found, at: nearTurn(chart, measured[0]?.at ?? found.at, found.at), point: pointOf(point, size) })
	}
	const fitted = fitPlace(chart, measured, turnOn(panel, side))
	if (!fitted) {
		return decalProblem(words, 'DECAL_MARKS_ONE_PLACE', {
			path: 'place/marks',
			found: `${measured.map(({ mark }) => mark).join(' and ')}, which do not tell how the decal is turned`,
			expected: 'two places of the decal well apart, or more',
			fix: 'measure both ends of its baseline',
		})
	}
	const { frame, sd, misses, agrees } = fitted
	const worst = misses.reduce((a, b) => (b.mm > a.mm ? b : a))
	const wrong = worst.mm > CONTRADICTS * toleranceMm && !agrees
	const told = agrees ? [] : decalProblem(words, 'DECAL_MARKS_DISAGREE', disagreement(measured, fitted, wrong)).problems
	if (wrong) return { problems: told }
	return { value: { frame, anchor: { point: { x: 0, y: 0 }, at: frame.at }, sd, misses }, problems: told }
}

function disagreement(measured: readonly MeasuredPoint[], { misses }: FittedPlace, wrong: boolean) {
	const worst = misses.reduce((a, b) => (b.mm > a.mm ? b : a))
	const [a, b] = measured as [MeasuredPoint, MeasuredPoint]
	const apart = Math.hypot(b.point.x - a.point.x, b.point.y - a.point.y)
	const [ma, mb] = misses as [FittedPlace['misses'][number], FittedPlace['misses'][number]]
	// What the two miss by along the line between them is what their distance is off by.
	const along = apart > 0 ? ((mb.x - ma.x) * (b.point.x - a.point.x) + (mb.y - ma.y) * (b.point.y - a.point.y)) / apart : 0
	return {
		path: 'place/marks',
		severity: wrong ? ('error' as const) : ('warning' as const),
		found:
			measured.length === 2
				? `${a.mark} and ${b.mark}, which lie ${(apart + along).toFixed(1)} mm apart on the panel and ${apart.toFixed(1)} mm on the artwork`
				: `${worst.mark}, which lies ${worst.mm.toFixed(1)} mm from where the artwork and the other marks put it`,
		expected: 'marks that fit the artwork within what they are known to',
		fix: wrong
			? 'measure these marks and the size of the artwork again; no frame is made until they agree'
			: 'measure these marks and the size of the artwork again; until then the decal lies half-way',
		at: a.at,
	}
}

/** The frame whose point lies at a place, turned so there. */
function frameFrom(chart: Chart, at: ChartPoint, angle: number, point: PlanePoint, turn: 1 | -1): DecalFrame | undefined {
	const r = Math.hypot(point.x, point.y)
	if (r < 1e-9) return { at, angle, turn }
	const out = angle + turn * Math.atan2(-point.y, -point.x)
	const shot = shoot(chart, at, out, r)
	return shot.reached ? { at: shot.at, angle: angle + shot.angle - out, turn } : undefined
}

function anchored(
	{ chart, panel, side, size, words }: PlaceInput,
	at: ChartPoint,
	angle: number,
	point: Parameters<typeof pointOf>[0],
	sd: FittedPlace['sd'],
): Answer {
	const p = pointOf(point, size)
	const frame = frameFrom(chart, at, angle, p, turnOn(panel, side))
	if (!frame) return beyondChart(words, at)
	return { value: { frame, anchor: { point: p, at }, sd }, problems: [] }
}

export const beyondChart = (words: DecalWords, at: ChartPoint) =>
	decalProblem(words, 'DECAL_BEYOND', {
		path: 'place',
		found: 'a decal that reaches beyond where this panel was captured or can be measured',
		expected: words.limit,
		fix: 'look at its size and its place, or capture more of the panel',
		at,
	})

function atSpot(input: PlaceInput, place: PlaceOf<'spot'>): Answer {
	const { chart, panel, side, words } = input
	const girth = signedGirth(place.girth, place.side)
	const g = panel.hand !== 'centre' ? girth : side === 'both' ? girth : side === 'left' ? -place.girth : place.girth
	const at = { s: place.station, g }
	const square = (place.sd ?? usualSd('square')) as number
	const angle = angleAsked(input, at, place.angle, undefined)
	if (angle === undefined) return noLevel(words, at)
	const { j } = chart.metric(at.s, at.g)
	const [along, across] = [Math.hypot(square, g * SQUARE_SD['t-strip']) * j, square]
	return anchored(input, at, angle, place.point, {
		...turnedSd(along, across, angle),
		angle: place.sdDeg === undefined ? ANGLE_SD : (place.sdDeg * Math.PI) / 180,
	})
}

/** From sds along s and along g to those along x and y of a frame. */
function turnedSd(s: number, g: number, angle: number) {
	const [c, n] = [Math.cos(angle), Math.sin(angle)]
	return { along: Math.hypot(s * c, g * n), across: Math.hypot(s * n, g * c) }
}

/** The direction of x that is asked for; `line` is the direction of the line there, where it follows one. */
function angleAsked(
	{ chart, panel, side }: PlaceInput,
	at: ChartPoint,
	asked: number | 'level' | 'along',
	line: number | undefined,
): number | undefined {
	if (asked === 'level') return levelAt(chart, at, angleOn(panel, side, 0))
	return asked === 'along' ? line : angleOn(panel, side, asked)
}

const noLevel = (words: DecalWords, at: ChartPoint) =>
	decalProblem(words, 'DECAL_NO_LEVEL', {
		path: 'place/angle',
		found: 'a baseline that is to be level where the panel itself lies level, or where its shape in space is not known',
		expected: 'a flank, on a panel captured by sections, a profile or a scan',
		fix: 'give the angle in degrees',
		at,
	})

interface Met {
	readonly curve: Curve
	readonly sdMm: number
	readonly at: ChartPoint
	readonly u: number
	readonly angle: number
}

/** Where a line crosses a station on this side. */
function meet({ chart, line, words, side }: PlaceInput, edge: string, station: number, path: string): Outcome<Met> {
	const known = line(edge)
	const crossings = known ? crossStation(chart, known.curve, station) : []
	const [first] = crossings
	if (known && first && crossings.length === 1) return { value: { ...known, ...first }, problems: [] }
	const where = side === 'both' ? '' : ` on the ${side}`
	return decalProblem(words, 'DECAL_LINE_NOT_MET', {
		path,
		found: known
			? `the line ${edge}, which crosses station ${station.toFixed(1)} mm ${crossings.length === 0 ? 'nowhere' : `${crossings.length} times`}${where}`
			: `the line ${edge}, which has no place${where}`,
		expected: 'a line that crosses the station of the decal once',
		fix: known ? 'look at the station, or place the decal by marks' : 'look at the messages about that line, or at its hand',
	})
}

/** Directions of lines as a decal's baseline takes them: rearward, or to the right across the centreline. */
function ahead({ panel, side }: PlaceInput, angle: number): number {
	return Math.cos(angle - angleOn(panel, side, 0)) >= 0 ? angle : angle + Math.PI
}

function between(input: PlaceInput, place: PlaceOf<'between'>): Answer {
	const { chart, words } = input
	const a = meet(input, place.edges[0], place.station, 'place/edges/0')
	const b = meet(input, place.edges[1], place.station, 'place/edges/1')
	if (!a.value || !b.value) return { problems: [...a.problems, ...b.problems] }
	const [p, q] = [a.value, b.value]
	const offs = (g: number) => {
		const at = { s: place.station, g }
		return [nearest(chart, p.curve, at), nearest(chart, q.curve, at)] as const
	}
	const from = Math.min(p.at.g, q.at.g)
	const to = Math.max(p.at.g, q.at.g)
	const found = brent(
		(g) => {
			const [np, nq] = offs(g)
			return np && nq ? Math.abs(np.offsetMm) - Math.abs(nq.offsetMm) : Number.NaN
		},
		from,
		to,
		{ tolerance: 1e-6 },
	)
	const [np, nq] = found.ok ? offs(found.x) : []
	if (!found.ok || !np || !nq || to - from < 1e-6) {
		return decalProblem(words, 'DECAL_NOT_BETWEEN', {
			path: 'place/edges',
			found: `no place half-way between ${place.edges.join(' and ')} at station ${place.station.toFixed(1)} mm`,
			expected: 'two lines that run beside each other there',
			fix: 'look at the station and at the lines, or place the decal by marks',
			at: p.at,
		})
	}
	const at = { s: place.station, g: found.x }
	const angleAt = (n: { readonly u: number }, curve: Curve) => ahead(input, lineFrame(chart, curve, n.u).angle)
	const [one, two] = [angleAt(np, p.curve), angleAt(nq, q.curve)]
	const mean = one + Math.atan2(Math.sin(two - one), Math.cos(two - one)) / 2
	const angle = angleAsked(input, at, place.angle, mean)
	if (angle === undefined) return noLevel(words, at)
	const across = Math.hypot(p.sdMm, q.sdMm) / 2
	const placed = anchored(input, at, angle, 'middle', { along: usualSd('square'), across, angle: ANGLE_SD })
	const halves = [Math.abs(np.offsetMm), Math.abs(nq.offsetMm)] as const
	return placed.value ? { ...placed, value: { ...placed.value, halves } } : placed
}

function offLine(input: PlaceInput, place: PlaceOf<'off'>): Answer {
	const { chart, words } = input
	const met = meet(input, place.edge, place.station, 'place/edge')
	if (!met.value) return { problems: met.problems }
	const { curve, u, sdMm } = met.value
	const off = laySign(chart, curve, place.lay) * place.distance
	const p = parallelPoint(chart, lineFrame(chart, curve, u), off)
	if (!p.reached) return beyondChart(words, met.value.at)
	const angle = angleAsked(input, p.at, place.angle, ahead(input, p.ahead))
	if (angle === undefined) return noLevel(words, p.at)
	const across = Math.hypot(sdMm, usualSd('toLine'))
	return anchored(input, p.at, angle, place.point, { along: usualSd('square'), across, angle: ANGLE_SD })
}

function following(input: PlaceInput, place: PlaceOf<'follow'>): Answer {
	const { chart, panel, side, size, words } = input
	const met = meet(input, place.edge, place.station, 'place/edge')
	if (!met.value) return { problems: met.problems }
	const { curve, u, sdMm, angle } = met.value
	const plus = laySign(chart, curve, place.lay)
	const x = ahead(input, angle)
	const sense = Math.cos(x - angle) >= 0 ? 1 : -1
	const turn = (sense * turnOn(panel, side)) as 1 | -1
	const offMm = plus * (place.distance + size.height / 2)
	const middleMm = measure(chart, curve).lengthAt(u)
	const { length } = measure(chart, curve)
	if (middleMm - size.width / 2 < 0 || middleMm + size.width / 2 > length) {
		return decalProblem(words, 'DECAL_LINE_TOO_SHORT', {
			path: 'place/edge',
			found: `${size.width.toFixed(1)} mm of decal along the line ${place.edge}, of which ${Math.max(0, Math.min(middleMm, length - middleMm)).toFixed(1)} mm lie to one side of station ${place.station.toFixed(1)} mm`,
			expected: 'a line that is as long as the decal, to both sides of its middle',
			fix: 'move it along the line, make it smaller, or let the line go on',
			at: met.value.at,
		})
	}
	const p = parallelPoint(chart, lineFrame(chart, curve, u), offMm)
	if (!p.reached) return beyondChart(words, met.value.at)
	const frame: DecalFrame = { at: p.at, angle: ahead(input, p.ahead), turn: turnOn(panel, side) }
	const near = { x: 0, y: turn === plus ? -size.height / 2 : size.height / 2 }
	const sd = { along: usualSd('square'), across: Math.hypot(sdMm, usualSd('toLine')), angle: ANGLE_SD }
	return {
		value: { frame, anchor: { point: near, at: met.value.at }, sd, follows: { line: curve, middleMm, offMm, turn, sense } },
		problems: [],
	}
}

/** As it lies on the other side of a centreline. */
export const mirroredMark = <T extends Omit<MeasuredPoint, 'point'>>(mark: T): T => ({
	...mark,
	at: mirroredPoint(mark.at),
	covariance: { ...mark.covariance, sg: -mark.covariance.sg },
})
