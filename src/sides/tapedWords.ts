/** Taped edges against the plan, in the words of the bench. */
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort, plural } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import { formatLength, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { Kink } from './eye.ts'
import type { CheckedPlace, PanelTaped, TapedLine, TapedSides, TapedWidth } from './tapedPanel.ts'

const size = (mm: number, unit: Unit) => formatLength(Math.abs(mm), unit).text
const station = placeText
const sideOf = ({ side }: Pick<TapedLine, 'side'>) => (side === 'both' ? '' : `, ${side} side`)

/** One sentence for each line and side, and for each left against right and width that is not as it should be. */
export function tapedWords(taped: PanelTaped, panel: Panel, unit: Unit): readonly string[] {
	return [
		...taped.lines.flatMap((line) => lineWords(line, panel, unit)),
		...taped.sides.filter(({ verdict }) => verdict !== 'go').map((one) => saySides(one, panel, unit)),
		...taped.widths.filter(({ verdict }) => verdict !== 'go').map((one) => sayWidth(one, unit)),
	]
}

/** What is wrong with one taped edge, each with what to do; that it may be sprayed where nothing is. */
export function lineWords(line: TapedLine, panel: Panel, unit: Unit): readonly string[] {
	const what = `${line.name}${sideOf(line)}`
	if (line.verdict === 'go')
		return [`${what}: go (${plural(line.places.length, 'place')}, the worst ${size(line.worstMm, unit)} off).`]
	const out: string[] = []
	const { runs } = line
	const running = runs && runs.verdict !== 'go' ? runs : undefined
	for (const place of line.places) if (place.verdict !== 'go') out.push(sayPlace(line, place, panel, unit))
	if (running) {
		out.push(
			`${what}: not parallel to the plan, it runs ${size(running.mm, unit)} ${way(panel, running.mm)} from front to rear${doubt(running.verdict)}.`,
		)
	}
	// A place that has to move anyway will not keep its kink.
	for (const kink of line.kinks) if (line.places[kink.at]?.verdict === 'go') out.push(`${what}: ${sayKink(line, kink, unit)}.`)
	return out
}

const sayPlace = (line: TapedLine, place: CheckedPlace, panel: Panel, unit: Unit) =>
	`${line.name}${sideOf(line)}, ${sayWhere(line, place, unit)}: ${sayOff(place, panel, unit)}.`

/** "outward": panels of one side have an up and a down, others an in and an out. */
const way = (panel: Panel, mm: number) => (panel.hand === 'centre' ? (mm < 0 ? 'inward' : 'outward') : mm < 0 ? 'down' : 'up')

function sayWhere({ places }: TapedLine, place: CheckedPlace, unit: Unit): string {
	if (places.length > 1 && place === places[0]) return 'front end'
	if (places.length > 1 && place === places[places.length - 1]) return 'rear end'
	return `station ${station(place.station, unit)}`
}

/** Of one place: "go, 0.3 mm off", "look again: 1.4 mm low, which ...", "lay again: 1.4 mm low; move it up". */
export function placeWords(place: CheckedPlace, panel: Panel, unit: Unit): string {
	if (place.verdict === 'go') return `go, ${size(place.acrossMm, unit)} off`
	return `${place.verdict === 'look' ? 'look again' : 'lay again'}: ${sayOff(place, panel, unit)}`
}

/** "1.4 mm low; move it up" */
function sayOff({ acrossMm, verdict }: CheckedPlace, panel: Panel, unit: Unit): string {
	const off = size(acrossMm, unit)
	const [lies, move] =
		panel.hand === 'centre'
			? acrossMm < 0
				? ['too far in', 'out']
				: ['too far out', 'in']
			: acrossMm < 0
				? ['low', 'up']
				: ['high', 'down']
	return verdict === 'look' ? `${off} ${lies}${doubt(verdict)}` : `${off} ${lies}; move it ${move}`
}

const doubt = (verdict: 'look' | 're-lay' | 'go') =>
	verdict === 'look' ? ', which is less than the reading can tell: measure it again' : ''

function sayKink({ places }: TapedLine, { at, kind, turnDeg, proven }: Kink, unit: Unit): string {
	const where = `at station ${station(places[at]?.station ?? 0, unit)}`
	const turns = `over three stations the tape turns ${Math.abs(turnDeg).toFixed(1)} degrees off the plan`
	return `a ${kind} ${where}: ${turns}; ${proven ? 'lift it there and pull it once more' : 'the readings alone do not prove it: look along it'}`
}

function saySides({ name, station: at, differMm, seen, verdict }: TapedSides, panel: Panel, unit: Unit): string {
	const lies = panel.hand === 'centre' ? (differMm < 0 ? 'farther in' : 'farther out') : differMm < 0 ? 'lower' : 'higher'
	return `${name}, station ${station(at, unit)}: the right lies ${size(differMm, unit)} ${lies} than the left${seen ? ', and both are seen at once' : ''}${doubt(verdict)}.`
}

function sayWidth({ lines, side, station: at, plannedMm, tapedMm, verdict }: TapedWidth, unit: Unit): string {
	return `From ${lines[0]} to ${lines[1]}${sideOf({ side })}, station ${station(at, unit)}: ${size(tapedMm, unit)} for ${size(plannedMm, unit)}${doubt(verdict)}.`
}

/** A line that has to be laid again. */
export function tapedProblem(panel: Panel, path: string, line: TapedLine): Problem[] {
	if (line.verdict !== 're-lay') return []
	const worst = line.places.reduce((a, b) => (Math.abs(b.acrossMm) > Math.abs(a.acrossMm) ? b : a))
	const said = worst.verdict === 're-lay' ? sayPlace(line, worst, panel, 'mm') : (lineWords(line, panel, 'mm')[0] as string)
	return [
		{
			code: 'CHECK_MISSES',
			severity: 'warning',
			path: `${path}/checks/${worst.index}`,
			place: placeOn(panel, worst.at, line.side),
			found: said.replace(/\.$/, ''),
			expected: 'tape that lies on the plan, and in one sweep',
			fix: 'Lay it again there before anything is sprayed, then measure it once more.',
		},
	]
}

/** One line for a summary. */
export function tapedLine({ lines, verdict }: PanelTaped): string {
	if (verdict === 'go') return `as taped: ${plural(lines.length, 'edge')} checked, all go`
	const of = (which: TapedLine['verdict']) => lines.filter((line) => line.verdict === which)
	const names = (which: readonly TapedLine[]) =>
		listedShort(
			which.map((line) => `${line.name}${sideOf(line)}`),
			'and',
			4,
		)
	const [again, look] = [of('re-lay'), of('look')]
	const parts = [
		...(again.length > 0 ? [`lay again: ${names(again)}`] : []),
		...(look.length > 0 ? [`look at: ${names(look)}`] : []),
	]
	return `as taped: ${plural(lines.length, 'edge')} checked; ${parts.length > 0 ? parts.join('; ') : 'each goes by itself, left and right or widths do not agree'}`
}
