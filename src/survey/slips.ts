import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import { type Observation, observe } from './observe.ts'
import { mm, sayObservation, sideOf } from './words.ts'

/** What a person does with a tape and a pencil that makes a number wrong. */
export type SlipKind = 'side' | 'figures' | 'unit' | 'start' | 'count' | 'rows' | 'from' | 'pull' | 'hook'

export interface Slip {
	readonly kind: SlipKind
	/** what the reading should have been, as it would be written, mm */
	readonly value: number
	/** one sentence for the person */
	readonly say: string
}

/** A reading that may be wrong, and what the others say it should be. */
export interface Suspect {
	readonly observation: Observation
	/** by the other readings, with the sign of its model, mm */
	readonly likely: number
	/** how well that is known beside the reading's own error, 1 sd, mm */
	readonly sd: number
}

export interface SlipInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly unit: 'mm' | 'in'
	/** of all marks, datums among them */
	readonly places: ReadonlyMap<string, ChartPoint>
	readonly datums: ReadonlySet<string>
	/** all readings that do not fit */
	readonly suspects: readonly Suspect[]
}

/** A slip is named where it brings the reading this near to what the others say, in sds. */
const NEAR_SDS = 3
/** Between slips that explain a reading alike the commoner is named: in this order, a quarter of an sd each; common practice. */
const COMMONNESS: readonly SlipKind[] = ['side', 'figures', 'pull', 'start', 'count', 'hook', 'unit', 'rows', 'from']
const RARER_SDS = 0.25
const INCH = 25.4
/** What a tape reads wrong by when its hook is not seated, was pushed in, or has worn its play: 1 to 2 mm; common practice, no source. */
const HOOK_MM = 1.5
/** A miss smaller than this is no slip of the hook, mm. */
const LEAST_HOOK_MM = 1
/** A length between two places is known as well as it is read and they were: by as much again. */
const PLACED = Math.SQRT2

interface Try extends Slip {
	/** how far it leaves the reading from what it should be, in sds */
	readonly off: number
}

/** The one slip of the usual ones that would best explain the reading; undefined where none does. */
export function typicalSlip(input: SlipInput, suspect: Suspect): Slip | undefined {
	const tries = [
		...written(input, suspect),
		...otherRow(input, suspect),
		...otherMark(input, suspect),
		...otherPull(input, suspect),
		...hook(suspect),
	]
	const cost = ({ kind, off }: Try) => off + RARER_SDS * COMMONNESS.indexOf(kind)
	const fits = tries.filter(({ off }) => off <= NEAR_SDS).sort((a, b) => cost(a) - cost(b))
	const best = fits[0]
	return best && { kind: best.kind, value: best.value, say: best.say }
}

/** Slips of the eye and the pencil: the number alone tells of them. */
function written({ panel, unit }: SlipInput, { observation: o, likely, sd }: Suspect): readonly Try[] {
	const sign = o.what === 'girth' && o.value < 0 ? -1 : 1
	const read = sign * o.value
	const wanted = sign * likely
	const as = (kind: SlipKind, value: number, say: (it: string) => string): Try => ({
		kind,
		value: Math.abs(value),
		off: Math.abs(value - wanted) / sd,
		say: say(mm(Math.abs(value))),
	})
	const tries = swapped(read, unit).map((value) =>
		as('figures', value, (it) => `Two figures may have changed places: ${it} would fit.`),
	)
	if (o.what === 'girth' && read > 0) {
		const [one, other] = panel.hand === 'centre' ? ['left', 'right'] : ['below', 'above']
		const [is, may] = o.value < 0 ? [one, other] : [other, one]
		tries.push(as('side', -read, (it) => `It may have been ${it} ${may}, not ${is}.`))
	}
	for (const step of unit === 'mm' ? [10, 100] : [INCH, INCH / 2, INCH / 4, 10 * INCH]) {
		const line = mm(step)
		tries.push(as('count', read + step, (it) => `A line of ${line} may have been missed in counting: ${it} would fit.`))
		// Only whole tens and inches have a figure beside them to begin at.
		tries.push(
			step === INCH / 2 || step === INCH / 4
				? as('count', read - step, (it) => `A line of ${line} may have been counted twice: ${it} would fit.`)
				: as('start', read - step, (it) => `The tape may have begun at its ${line} mark instead of its end: ${it} would fit.`),
		)
	}
	tries.push(
		as('unit', read * INCH, (it) => `Inches may have been read for millimetres: ${it} would fit.`),
		as('unit', read / INCH, (it) => `Millimetres may have been read for inches: ${it} would fit.`),
		as('unit', read * 10, (it) => `It may have been read in centimetres: ${it} would fit.`),
		as('unit', read / 10, (it) => `The point may stand one place too far right: ${it} would fit.`),
	)
	return tries
}

/** The number with two neighbouring figures changed about, mm. Of inches only the whole ones are written in figures side by side. */
export function swapped(valueMm: number, unit: 'mm' | 'in'): readonly number[] {
	const scale = unit === 'mm' ? 1 : INCH
	const text = String(Number((valueMm / scale).toFixed(3)))
	const end = unit === 'mm' ? text.length : text.split('.')[0]!.length
	const places = [...text].flatMap((c, i) => (c >= '0' && c <= '9' && i < end ? [i] : []))
	return places.slice(1).flatMap((q, k) => {
		const p = places[k]!
		if (text[p] === text[q] || (k === 0 && text[q] === '0')) return []
		const figures = [...text]
		figures[p] = text[q]!
		figures[q] = text[p]!
		return [Number(figures.join('')) * scale]
	})
}

/** Two readings of one kind that each fit where the other stands. */
function otherRow({ suspects }: SlipInput, { observation: o, likely, sd }: Suspect): readonly Try[] {
	return suspects.flatMap((other) => {
		const their = other.observation
		if (their === o || their.what !== o.what || their.reading.reading.kind !== o.reading.reading.kind) return []
		const off = Math.max(Math.abs(their.value - likely) / sd, Math.abs(o.value - other.likely) / other.sd)
		const say = `It and ${sayObservation(their)} fit with each other's number: two rows may have been changed about.`
		return [{ kind: 'rows' as const, value: Math.abs(their.value), off, say }]
	})
}

/** A tape to another mark than the one that is named: a datum, the same mark of the other side, or its neighbour by number. */
function otherMark({ chart, places, datums }: SlipInput, { observation: o, likely, sd }: Suspect): readonly Try[] {
	const value = Math.abs(likely)
	if (o.what === 'station') {
		return [...datums].flatMap((key) => {
			const from = places.get(key)!.s
			if (from === 0) return []
			const off = Math.min(Math.abs(o.value + from - likely), Math.abs(from - o.value - likely)) / sd
			return [{ kind: 'from' as const, value, off, say: `It may have been measured from ${key}: ${mm(value)} would fit.` }]
		})
	}
	// A width is taken between lines as they lie there: no one mark was meant.
	if (o.what === 'girth' || o.what === 'width') return []
	return o.keys.flatMap((named, k) =>
		[...places.keys()]
			.filter((key) => !o.keys.includes(key) && mistakenFor(key, named, datums))
			.flatMap((key) => {
				const said = o.predict(
					chart,
					o.keys.map((own, i) => places.get(i === k ? key : own)!),
				)
				if (!said) return []
				const off = Math.abs(said.value - o.value) / (PLACED * o.sd)
				return [{ kind: 'from' as const, value, off, say: `It fits ${key} in place of ${named}: look which of them was meant.` }]
			}),
	)
}

/** A tape that was pulled tight over a hollow and not pressed down into it, or the other way about. */
function otherPull({ chart, places }: SlipInput, { observation: o, likely }: Suspect): readonly Try[] {
	const { reading } = o.reading
	if (!('pull' in reading)) return []
	const pull = reading.pull === 'tight' ? 'pressed' : 'tight'
	const at = o.keys.map((key) => places.get(key)!)
	const said = observe({ ...o.reading, reading: { ...reading, pull } }, o.sd, 0)[0]?.predict(chart, at)
	const own = o.predict(chart, at)
	if (!said || !own || Math.abs(said.value - own.value) < o.sd) return []
	const how = pull === 'tight' ? 'pulled tight over a hollow' : 'pressed down into the hollow'
	const say = `It may have been ${how}: write "pull": "${pull}" if so.`
	return [{ kind: 'pull', value: Math.abs(likely), off: Math.abs(said.value - o.value) / (PLACED * o.sd), say }]
}

/** Of a tape, which begins at its hook. */
function hook({ observation: o, likely, sd }: Suspect): readonly Try[] {
	const { kind } = o.reading.reading
	const by = likely - o.value
	if ((kind !== 'tape' && kind !== 'width') || Math.abs(by) < LEAST_HOOK_MM || Math.abs(by) > 2 * HOOK_MM) return []
	const value = o.value + Math.sign(by) * HOOK_MM
	const say = `The hook of the tape may not have been seated, which is 1 to 2 mm: ${mm(value)} would fit.`
	return [{ kind: 'hook', value, off: Math.abs(value - likely) / sd, say }]
}

function mistakenFor(key: string, named: string, datums: ReadonlySet<string>): boolean {
	if (datums.has(key)) return true
	const [id, own] = [idOf(key), idOf(named)]
	if (id === own) return true
	const [a, b] = [/^(.*?)(\d+)$/.exec(id), /^(.*?)(\d+)$/.exec(own)]
	return sideOf(key) === sideOf(named) && a !== null && b !== null && a[1] === b[1] && Math.abs(Number(a[2]) - Number(b[2])) === 1
}

const idOf = (key: string) => key.slice(key.indexOf('/') + 1)
