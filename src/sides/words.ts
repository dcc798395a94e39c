/** Left against right, in the words of the bench. */
import { listed, listedShort, plural } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import { crossingsIn, formatLength, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { FLAGGED } from './judge.ts'
import type { CentrelineOff, ComparedPair, LineUnlike, PanelSides, TwinFrame } from './panelSides.ts'
import type { Swapped } from './swapped.ts'

/** Within so many standard deviations a figure lies 95 times in 100. */
export const SD_95 = 1.96
/** Nothing on paper is known better than this: never "±0.0". */
const LEAST_SAID_MM = 0.1
/** A turn that is said to two places is not said to be nothing. */
const LEAST_SAID_DEG = 0.005

const size = (mm: number, unit: Unit) => formatLength(Math.abs(mm), unit).text
const known = (sdMm: number, unit: Unit) => `±${size(Math.max(LEAST_SAID_MM, SD_95 * sdMm), unit)}`
/** A station, to a whole one: "625 mm". */
const station = placeText
const side = (mm: number) => (mm < 0 ? 'left' : 'right')
const turn = (deg: number) => `${Math.abs(deg).toFixed(2)} degrees`

/** One sentence for each thing there is to say of the two sides of a panel. */
export const sidesWords = (sides: PanelSides, panel: Panel, unit: Unit): readonly string[] =>
	sentences(sides, panel, unit).map((sentence) => crossingsIn(sentence, unit))

function sentences(sides: PanelSides, panel: Panel, unit: Unit): readonly string[] {
	const { pairs, alone, centreline, frame, settled } = sides
	if (pairs.length === 0) return [sayAlone(alone, true)]
	const exchanged = new Set(sides.swapped.flatMap(({ marks }) => marks))
	const off = pairs.filter((pair) => isOff(pair) && !exchanged.has(pair.id))
	return [
		...(sides.kind === 'twins' ? [sayFrame(frame, panel, unit)] : []),
		...(centreline && settled ? [sayCentreline(centreline, unit)] : []),
		...(settled ? [] : [sayUnsettled(off)]),
		...sayOpen(sides, unit),
		...sides.swapped.map(saySwapped),
		...(settled ? off.flatMap((pair) => sayPair(sides.kind, pair, unit)) : []),
		...sides.lines.filter(({ across }) => across.proven).map((line) => sayLine(sides.kind, panel, line, unit)),
		...(settled && !sides.open
			? sayRest(
					sides.kind,
					pairs.filter((pair) => !isOff(pair) && !exchanged.has(pair.id)),
					off.length > 0,
					unit,
				)
			: []),
		...(alone.length > 0 ? [sayAlone(alone, false)] : []),
		...sides.choices
			.filter((choice) => choice.sides !== 'mean')
			.map(({ edge, sides: which }) => `${nameOf(panel, edge)}: ${CHOICES[which]}.`),
	]
}

export const isOff = ({ across, along }: ComparedPair): boolean => across.proven || (along?.proven ?? false)

const nameOf = (panel: Panel, edge: string) => panel.edges.find(({ id }) => id === edge)?.what ?? edge

const CHOICES = {
	mean: 'both sides are the mean of the two',
	left: 'both sides follow what was measured on the left',
	right: 'both sides follow what was measured on the right',
	each: 'each side follows what was measured on it',
} as const

/** "lies 1.3 mm to the left at station 625 mm and turns ..." and "move the tape 2.9 mm right at the front end and ...". */
export function centrelineWords({ station: at, shiftMm, angleDeg, front, rear }: CentrelineOff, unit: Unit) {
	// What lies to the right of the tape has the tape to its left.
	const lies = `lies ${size(shiftMm, unit)} to the ${side(-shiftMm)} at station ${station(at, unit)}`
	const turns = `turns by ${turn(angleDeg)} to the ${side(-angleDeg)} going rearward`
	const moved = (mm: number) => `${size(mm, unit)} ${side(mm)}`
	const within = `known to ${known(front.sdMm, unit)} and ${known(rear.sdMm, unit)}`
	return {
		lies: Math.abs(angleDeg) < LEAST_SAID_DEG ? lies : `${lies} and ${turns}`,
		move: `move the tape ${moved(front.mm)} at the front end and ${moved(rear.mm)} at the rear (${within})`,
	}
}

function sayCentreline(off: CentrelineOff, unit: Unit): string {
	if (!off.proven) {
		const { front, rear } = off
		return `The centreline as taped is right as far as these readings can tell: to ${known(front.sdMm, unit)} at the front end and ${known(rear.sdMm, unit)} at the rear.`
	}
	const { lies, move } = centrelineWords(off, unit)
	return `The centreline as taped ${lies}: ${move}.`
}

function sayOpen({ open, pairs }: PanelSides, unit: Unit): string[] {
	if (!open) return []
	if (!('shiftMm' in open)) return ['Nothing is known of how well the marks were measured: the sides cannot be compared.']
	const what =
		open.kind === 'one-pair' ? `Only ${pairs[0]?.id} was measured on both sides` : 'All marks on both sides are at one station'
	const lies = `the middle lies ${size(open.shiftMm, unit)} to the ${side(open.shiftMm)} of the tape there (known to ${known(open.shiftSdMm, unit)})`
	return [
		`${what}: ${lies}; whether the centreline or the line is off, and which way the centreline runs, cannot be told. Measure a pair further along.`,
	]
}

const sayUnsettled = (off: readonly ComparedPair[]) =>
	`${listed(
		off.map(({ id }) => id),
		'and',
	)} do not fit one middle, and which of them is wrong cannot be told: measure them again, or more pairs.`

const saySwapped = ({ kind, marks }: Swapped) =>
	kind === 'sides'
		? `${marks[0]} fits with left and right exchanged: look at which side was written.`
		: `${listed(marks, 'and')} fit once their ${kind} are exchanged on one side: look at which was which.`

const farther = (kind: PanelSides['kind'], mm: number) => {
	if (kind === 'twins') return mm < 0 ? 'lower' : 'higher'
	return mm < 0 ? 'farther in' : 'farther out'
}

function sayPair(kind: PanelSides['kind'], { id, across, along }: ComparedPair, unit: Unit): string[] {
	const parts: string[] = []
	if (across.proven) parts.push(`${size(across.mm, unit)} ${farther(kind, across.mm)} (${known(across.sdMm, unit)})`)
	if (along?.proven)
		parts.push(`${size(along.mm, unit)} farther to the ${along.mm < 0 ? 'front' : 'rear'} (${known(along.sdMm, unit)})`)
	return [`${id}: the right lies ${listed(parts, 'and')} than the left. The two differ there, or one of its readings is wrong.`]
}

function sayLine(kind: PanelSides['kind'], panel: Panel, { edge, pairs, across }: LineUnlike, unit: Unit): string {
	return `${nameOf(panel, edge)}: the right lies ${size(across.mm, unit)} ${farther(kind, across.mm)} than the left in the mean of ${plural(pairs, 'mark')} (${known(across.sdMm, unit)}).`
}

/** What cannot be proven, and how much could be. */
function sayRest(kind: PanelSides['kind'], rest: readonly ComparedPair[], others: boolean, unit: Unit): string[] {
	const most = rest.reduce<ComparedPair | undefined>(
		(a, b) => (a && Math.abs(a.across.mm) >= Math.abs(b.across.mm) ? a : b),
		undefined,
	)
	if (!most) return []
	const least = FLAGGED * Math.max(...rest.map(({ across }) => across.sdMm))
	const { mm } = most.across
	if (Math.abs(mm) < LEAST_SAID_MM / 2) return [`Left and right agree at ${others ? 'every other' : 'every'} mark.`]
	return [
		`${others ? 'Nothing else' : 'Nothing'} differs by more than the readings can tell: the most is ${most.id}, ${size(mm, unit)} ${farther(kind, mm)} on the right; from ${size(least, unit)} on it would be proven at every mark.`,
	]
}

function sayAlone(alone: readonly string[], all: boolean): string {
	const sides = [
		...new Set(alone.map((key) => (key.startsWith('left/') ? 'left' : key.startsWith('right/') ? 'right' : 'one side'))),
	]
	if (all && sides.length === 1)
		return `Only ${sides[0] === 'one side' ? sides[0] : `the ${sides[0]}`} was measured: nothing compares the sides.`
	return `Measured on one side only, so that nothing compares them: ${listedShort(alone, 'and')}.`
}

function sayFrame(frame: TwinFrame | undefined, panel: Panel, unit: Unit): string {
	if (!frame) {
		return panel.datums.some((datum) => datum.panel === undefined)
			? 'The two are compared by the datums that they share.'
			: 'No datum has the same name on both: the two are compared by stations and girths as they were read.'
	}
	const { datums, alongMm, acrossMm, turnDeg } = frame
	const moved = `${size(alongMm, unit)} to the ${alongMm < 0 ? 'front' : 'rear'} and ${size(acrossMm, unit)} ${acrossMm < 0 ? 'down' : 'up'}`
	const turned = datums.length > 1 ? `, turned by ${turn(turnDeg)}` : ''
	return `The right one's ${datums.length === 1 ? 'datum lies' : 'datums lie'} ${moved}${turned} from the left one's; that is taken out of what follows.`
}

/** One line for a summary. */
export function sidesLine({ kind, pairs, alone, centreline, open, settled, swapped }: PanelSides, unit: Unit): string {
	const what = kind === 'twins' ? 'left and right panel' : 'left and right'
	if (pairs.length === 0) return `${what}: only one side was measured, nothing compares the two`
	const odd = [...new Set([...pairs.filter(isOff).map(({ id }) => id), ...swapped.flatMap(({ marks }) => marks)])]
	const compared = `${plural(pairs.length, 'mark')} on both`
	const differ =
		odd.length > 0
			? `${listedShort(odd, 'and', 4)} ${odd.length === 1 ? 'differs' : 'differ'}`
			: 'none differs by more than the readings can tell'
	const off = centreline?.proven ? `the centreline as taped is off: ${centrelineWords(centreline, unit).move}` : undefined
	return [
		`${what}: ${compared}`,
		settled ? differ : `${listedShort(odd, 'and', 4)} do not fit one middle`,
		...(off ? [off] : []),
		...(open ? ['too few to tell where the middle runs'] : []),
		...(alone.length > 0 ? [`${alone.length} on one side only`] : []),
	].join('; ')
}
