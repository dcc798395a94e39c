/** A run of tape in words: where it starts and ends, which side its body lies on, what it lies over, until when it stays. */

import type { ChartPoint } from '../chart/point.ts'
import { polyline, toPlane } from '../chart/region.ts'
import { areaOf } from '../plane/region.ts'
import type { KnifeMask, RunEnd, StageTape, TapeRun } from '../tape/run.ts'
import { girthFigure } from '../template/measured.ts'
import type { Unit } from '../units/length.ts'
import type { PaintworkPrint, StageWork } from './paintworkPrint.ts'

/** A girth nearer the baseline than this is on it, mm. */
const ON_MM = 0.05
/** Good enough to tell which way a line runs. */
const CHORD_MM = 0.2

const bare = (mm: number, unit: Unit) => girthFigure(mm, unit).replace(/ in$/, '')

/** "left", "above": the side of the baseline that a girth is on. */
export function girthSide({ work }: Pick<StageWork, 'work'>, g: number): string {
	if (Math.abs(g) < ON_MM) return ''
	if (work.hand === 'centre') return g > 0 ? 'right' : 'left'
	return g > 0 ? 'above' : 'below'
}

/** "120.5 | 46 left": station and girth as they stand at a strip's tick, with the side. */
export function placeWords(of: Pick<StageWork, 'work'>, { s, g }: ChartPoint, unit: Unit): string {
	const side = girthSide(of, g)
	return `${bare(s, unit)} | ${bare(Math.abs(g), unit)}${side === '' ? '' : ` ${side}`}`
}

/** As a sentence says it: "station 120.5, girth 46 on the left". */
export function placeSaid(of: Pick<StageWork, 'work'>, { s, g }: ChartPoint, unit: Unit): string {
	const side = girthSide(of, g)
	const where = side === '' ? '' : of.work.hand === 'centre' ? ` on the ${side}` : ` ${side} the baseline`
	return `station ${girthFigure(s, unit)}, girth ${girthFigure(Math.abs(g), unit)}${where}`
}

/** Its two ends, the one nearer the front first. */
export const endsOf = ({ front, rear }: Pick<TapeRun, 'front' | 'rear'>): readonly [RunEnd, RunEnd] =>
	front.at.s <= rear.at.s ? [front, rear] : [rear, front]

/** What the words for ends mean, once for a page. */
export const ENDS_NOTE =
	'Places are station | girth, on the line; +: the tape is laid so far off it. Ends: rim, goes on over the rim; on, goes on past the end of its line over what is covered; cut, cut to the line that ends it; lap, laps its own start or a knife mask.'

const END: Readonly<Record<RunEnd['kind'], string>> = {
	rim: 'rim',
	lap: 'on',
	cut: 'cut',
	joint: 'lap',
}
export const endWords = ({ kind }: RunEnd): string => END[kind]

/** Both ends as a row has them, each with how it ends; the side by itself where both are on it. */
export function endsSaid(of: Pick<StageWork, 'work'>, run: TapeRun, unit: Unit): { side: string; from: string; to: string } {
	const [a, b] = endsOf(run)
	const [sideA, sideB] = [girthSide(of, a.at.g), girthSide(of, b.at.g)]
	const side = sideA === sideB ? sideA : ''
	const say = (end: RunEnd) => {
		const place = side === '' ? placeWords(of, end.at, unit) : `${bare(end.at.s, unit)} | ${bare(Math.abs(end.at.g), unit)}`
		return `${place} ${endWords(end)}`
	}
	return { side, from: say(a), to: say(b) }
}

/** Which side of the painted line the body of the tape lies on, as one stands at the panel. */
export function bodySide({ work }: Pick<StageWork, 'work'>, run: TapeRun): string {
	if (run.kind === 'stripe') return 'on stripe'
	const points = polyline(work.seen.chart, run.line, CHORD_MM)
	// Round a closed line there is no other side than in and out.
	if (run.line.closed) return areaOf(toPlane([points])) > 0 ? 'inside' : 'outside'
	const k = Math.max(1, Math.floor(points.length / 2))
	const [a, b] = [points[k - 1], points[k]]
	if (!a || !b) return ''
	// the body is on the plus side: to the left as the line runs
	const [towardsS, towardsG] = [-(b.g - a.g), b.s - a.s]
	if (Math.abs(towardsS) > Math.abs(towardsG)) return towardsS < 0 ? 'front' : 'rear'
	const up = towardsG > 0
	if (work.hand !== 'centre') return up ? 'above' : 'below'
	const g = (a.g + b.g) / 2
	if (Math.abs(g) < 1) return up ? 'right' : 'left'
	return up === g > 0 ? 'outboard' : 'inboard'
}

/** What it lies along, as the parts and lines of the panel are called. */
export function alongWords({ work }: Pick<StageWork, 'work'>, follows: readonly string[], lineWhat: LineWhat): string {
	const names = follows.map((line) => {
		const cut = line.lastIndexOf('/')
		const part = work.seen.parts.find(({ id }) => id === line.slice(0, cut))
		return part?.what ?? lineWhat(cut < 0 ? line : line.slice(0, cut)) ?? line
	})
	return [...new Set(names)].join(' and ')
}
/** What an edge of the job is called; undefined where there is none of that name. */
export type LineWhat = (edge: string) => string | undefined

/** What an edge of a panel is called. */
export const lineWhatOf =
	({ result }: Pick<PaintworkPrint, 'result'>, { work }: StageWork) =>
	(edge: string): string | undefined =>
		result.job.panels.find(({ id }) => id === work.id)?.edges.find(({ id }) => id === edge)?.what

const EDGE: Readonly<Record<string, readonly [beside: string, covered: string]>> = {
	outside: ['outer', 'inner'],
	inside: ['inner', 'outer'],
	outboard: ['outer', 'inner'],
	inboard: ['inner', 'outer'],
	above: ['upper', 'lower'],
	below: ['lower', 'upper'],
	front: ['front', 'rear'],
	rear: ['rear', 'front'],
	left: ['left', 'right'],
	right: ['right', 'left'],
}

/** Which edge of the stripe or field it is that a run lies along; undefined where that has no side. */
export function edgeWord(of: StageWork, run: TapeRun): string | undefined {
	const part = of.work.seen.parts.findIndex(({ id }) => run.follows.every((line) => line.startsWith(`${id}/`)))
	if (run.kind === 'stripe' || part < 0) return undefined
	return EDGE[bodySide(of, run)]?.[run.covers.includes(part) ? 1 : 0]
}

/** As a row has it: "coach line, outer", and "coach line, outer, +2" where the tape stands so far off that. */
export function alongRow(of: StageWork, run: TapeRun, lineWhat: LineWhat, unit: Unit): string {
	const off = run.offMm > ON_MM ? `+${bare(run.offMm, unit)}` : undefined
	return [alongWords(of, run.follows, lineWhat), edgeWord(of, run), off].filter((each) => each !== undefined).join(', ')
}

/** By number, from the laps of the stage. */
export function overUnder({ laps, runs, knives }: StageTape, id: string): { over: readonly number[]; under: readonly number[] } {
	const numbers = new Map([...runs, ...knives].map((each) => [each.id, each.number]))
	const list = (ids: readonly string[]) => [...new Set(ids.flatMap((each) => numbers.get(each) ?? []))].sort((a, b) => a - b)
	return {
		over: list(laps.flatMap((lap) => (lap.over === id ? [lap.under] : []))),
		under: list(laps.flatMap((lap) => (lap.under === id ? [lap.over] : []))),
	}
}

/** "over 1-3, under 7" */
export function overUnderWords(tape: StageTape, id: string): string {
	const { over, under } = overUnder(tape, id)
	return [...(over.length > 0 ? [`over ${spans(over)}`] : []), ...(under.length > 0 ? [`under ${spans(under)}`] : [])].join(', ')
}

/** Where a run is cut against another that it would also have to lie under: all of a stage, or those of one run. */
export function trimWords({ trims, runs, knives }: StageTape, id?: string): readonly string[] {
	const numbers = new Map([...runs, ...knives].map((each) => [each.id, each.number]))
	const pairs = trims.flatMap(({ run, over }) => {
		const [own, other] = [numbers.get(run), numbers.get(over)]
		return own !== undefined && other !== undefined && (id === undefined || id === run) ? [`${own} along ${other}`] : []
	})
	return pairs.length > 0 ? [`Cut ${[...new Set(pairs)].join(', ')}, with the blade on the tape below.`] : []
}

/** Whole numbers, rows of three and more said by their ends: "1-4, 7". */
export function spans(numbers: readonly number[]): string {
	const out: string[] = []
	for (let i = 0; i < numbers.length; ) {
		let j = i
		while (numbers[j + 1] === (numbers[j] as number) + 1) j++
		if (j - i >= 2) out.push(`${numbers[i]}-${numbers[j]}`)
		else for (let k = i; k <= j; k++) out.push(String(numbers[k]))
		i = j + 1
	}
	return out.join(', ')
}

/** Until when it stays: "this paint", or the session after which it is lifted. */
export const untilWords = ({ until }: Pick<TapeRun, 'until'>, stage: number): string =>
	until === stage ? 'this session' : `session ${until}`

const WHY: Readonly<Record<KnifeMask['why'], string>> = {
	bends: 'bends too tightly for tape',
	narrow: 'is too narrow for tape',
	tapers: 'tapers to a point',
}
export const knifeWhy = ({ why }: Pick<KnifeMask, 'why'>): string => WHY[why]
