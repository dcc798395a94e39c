import { LEAST_J, MOST_J } from '../../chart/limits.ts'
import type { ChartPoint } from '../../chart/point.ts'
import type { Outcome, Problem, Severity } from '../../job/problem.ts'
import type { TapedCapture } from '../../job/tapedSchema.ts'
import { type Laid, round, SAME_MM, type Sides, type Taped, type TapeReading } from './reading.ts'

/** A longer tape leaves the line of constant girth. */
export const LONGEST_LAID_MM = 100

type Report = (path: string, code: string, found: string, expected: string, fix: string, severity?: Severity) => void

/** The readings of a capture as they stand on the panel, or what is wrong with them, all of it. */
export function tapedReadings(capture: TapedCapture, path: string, sides: Sides): Outcome<readonly TapeReading[]> {
	const problems: Problem[] = []
	const report: Report = (at, code, found, expected, fix, severity = 'error') =>
		problems.push({ code, severity, path: `${path}${at}`, found, expected, fix })
	stationOrder(capture.stations, report)
	const laid = capture.laid.flatMap((row, i) => laidRow(capture.stations, row, i, path, sides, report))
	const tapes = capture.tapes.flatMap((tape, i) => tapeOf(tape, i, path, sides, report))
	const value = [...withoutCopies(laid, path, report), ...tapes]
	return problems.some(({ severity }) => severity === 'error') ? { problems } : { value, problems }
}

function stationOrder(stations: readonly number[], report: Report): void {
	stations.forEach((s, i) => {
		const before = stations[i - 1]
		if (before === undefined || s > before + SAME_MM) return
		report(
			`/stations/${i}`,
			'TAPED_STATIONS_OUT_OF_ORDER',
			`station ${round(s)} after station ${round(before)}`,
			'stations in order from front to rear, each one once',
			'put them in order; the lengths of each list follow the same order',
		)
	})
}

type Row = TapedCapture['laid'][number]

function laidRow(stations: readonly number[], row: Row, i: number, path: string, sides: Sides, report: Report): readonly Laid[] {
	const at = `/laid/${i}`
	if (row.girth === 0) {
		report(
			`${at}/girth`,
			'TAPED_GIRTH_ZERO',
			'lengths laid at girth 0',
			'a girth off the baseline: along the baseline itself a length only repeats the stations',
			'lay the lengths further out, or take this row out',
		)
		return []
	}
	const sign = signOf(row.side, at, sides, report)
	if (sign === undefined) return []
	const both = row.side === undefined && sides.centred
	const one = (from: number, to: number, length: number, where: string): readonly Laid[] =>
		lengthHolds(to - from, length, where, report)
			? [{ kind: 'laid', from, to, girth: sign * row.girth, both, length, path: `${path}${where}` }]
			: []
	if ('length' in row) {
		if (row.to > row.from + SAME_MM) return one(row.from, row.to, row.length, `${at}/length`)
		report(
			`${at}/to`,
			'TAPED_STATIONS_OUT_OF_ORDER',
			`a length from station ${round(row.from)} to station ${round(row.to)}`,
			'"to" further to the rear than "from"',
			'give the two stations the other way round',
		)
		return []
	}
	const first = row.from === undefined ? 0 : stations.findIndex((s) => Math.abs(s - (row.from as number)) <= SAME_MM)
	if (first < 0) {
		report(
			`${at}/from`,
			'TAPED_LINE_UNKNOWN',
			`lengths that start at station ${round(row.from as number)}, where no line is said to be struck`,
			`one of the stations ${stations.map(round).join(', ')}`,
			'correct it, or add the station to "stations"',
		)
		return []
	}
	const gaps = stations.length - 1 - first
	if (row.lengths.length > gaps) {
		report(
			`${at}/lengths`,
			'TAPED_TOO_MANY_LENGTHS',
			`${row.lengths.length} lengths`,
			`at most ${gaps}, one between each station and the next`,
			'take out what is too many, or add the station that is missing to "stations"',
		)
		return []
	}
	return row.lengths.flatMap((length, k) =>
		one(stations[first + k] as number, stations[first + k + 1] as number, length, `${at}/lengths/${k}`),
	)
}

function lengthHolds(along: number, length: number, at: string, report: Report): boolean {
	if (length > LONGEST_LAID_MM) {
		report(
			at,
			'TAPED_LENGTH_TOO_LONG',
			`a laid length of ${round(length)} mm`,
			`at most ${LONGEST_LAID_MM} mm: a longer tape does not follow a line of constant girth but cuts across towards the straight way`,
			'strike a line half-way and lay two lengths, or give it under "tapes" if it was pressed down the shortest way',
		)
		return false
	}
	const j = length / along
	if (j >= LEAST_J && j <= MOST_J) return true
	report(
		at,
		'TAPED_LENGTH_IMPOSSIBLE',
		`${round(length)} mm between lines struck ${round(along)} mm apart on the baseline`,
		`from ${round(LEAST_J * along)} to ${round(MOST_J * along)} mm: beyond, stations and girths no longer fix a place`,
		'look at the number and at its two stations; where the panel really closes up so, stay nearer to the baseline',
	)
	return false
}

/** +1 right or above, -1 left or below; undefined where the panel has no such side. */
function signOf(side: string | undefined, at: string, { centred }: Sides, report: Report): 1 | -1 | undefined {
	if (side === undefined) return 1
	const own = centred ? ['right', 'left'] : ['above', 'below']
	if (own.includes(side)) return side === own[0] ? 1 : -1
	report(
		`${at}/side`,
		'SIDE_WRONG',
		`the side "${side}"`,
		`"${own[1]}" or "${own[0]}", since this panel ${centred ? 'lies on the centreline' : 'has no centreline'}`,
		`write "${own[1]}" or "${own[0]}"`,
	)
	return undefined
}

function tapeOf(tape: TapedCapture['tapes'][number], i: number, path: string, sides: Sides, report: Report): readonly Taped[] {
	const place = (which: 'from' | 'to'): ChartPoint | undefined => {
		const { station, girth, side } = tape[which]
		const at = `/tapes/${i}/${which}`
		if (girth > 0 && side === undefined && sides.centred) {
			report(
				at,
				'SIDE_MISSING',
				`a girth of ${round(girth)} mm with no side`,
				'"side": "left" or "side": "right", since this panel lies on the centreline',
				'add the side',
			)
			return undefined
		}
		const sign = signOf(side, at, sides, report)
		return sign === undefined ? undefined : { s: station, g: sign * girth }
	}
	const [from, to] = [place('from'), place('to')]
	if (!from || !to) return []
	const across = Math.abs(from.g - to.g)
	const apart = Math.hypot(from.s - to.s, across)
	if (apart > SAME_MM && tape.length >= across - 1) {
		return [{ kind: 'tape', from, to, length: tape.length, path: `${path}/tapes/${i}/length` }]
	}
	report(
		`/tapes/${i}`,
		apart > SAME_MM ? 'TAPED_LENGTH_IMPOSSIBLE' : 'TAPED_SAME_PLACE',
		apart > SAME_MM
			? `a tape of ${round(tape.length)} mm between places whose girths alone differ by ${round(across)} mm`
			: 'a tape from a place to itself',
		apart > SAME_MM ? `${round(across)} mm or more` : 'two different places',
		'look at the two places and at the number',
	)
	return []
}

/** The same number at the same place twice is one reading copied; different numbers are two readings. */
function withoutCopies(laid: readonly Laid[], path: string, report: Report): readonly Laid[] {
	const seen = new Set<string>()
	return laid.filter((r) => {
		const key = [r.girth, r.both, r.from, r.to, r.length].join(' ')
		const copy = seen.has(key)
		seen.add(key)
		if (copy) {
			report(
				r.path.slice(path.length),
				'TAPED_LENGTH_REPEATS',
				`${round(r.length)} mm at girth ${round(Math.abs(r.girth))} from station ${round(r.from)} to ${round(r.to)}, given twice`,
				'each reading once',
				'take one of the two out; it counts once',
				'warning',
			)
		}
		return !copy
	})
}
