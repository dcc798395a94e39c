/** One sentence for an order of paints: why it was chosen, or what it costs more. */

import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type Amounts, estimate, MINUTES } from './estimate.ts'
import type { PanelGraph } from './graph.ts'
import { stripeTape, type Weighing } from './stageShare.ts'
import type { Weighed } from './weigh.ts'

export interface OrderWords {
	readonly graphs: readonly PanelGraph[]
	readonly by: Weighing
	readonly chosen: Weighed
	/** whether every order was weighed */
	readonly all: boolean
	/** whether an order was given */
	readonly asked: boolean
	readonly unit: Unit
}

/** Why this one: of any two paints that could be the other way round, those where that would cost most. `others`: cheapest first. */
export function whyChosen(words: OrderWords, others: readonly Weighed[]): string {
	const { chosen, all, asked } = words
	const [only] = chosen.order
	const weighed = all ? '' : ' Not every order was weighed: light before dark, then one paint moved at a time.'
	if (only === undefined) return 'No panel has any paint.'
	if (chosen.order.length === 1) return `${name(words, only, true)} alone.`
	const cheaper = others[0]
	if (asked && cheaper && cheaper.minutes < chosen.minutes) {
		return `As asked; ${whyNot({ ...words, chosen: cheaper }, chosen, false)}${weighed}`
	}
	const turns = pairsOf(chosen.order).flatMap(([first, next]) => {
		const other = others.find(({ order }) => order.indexOf(next) < order.indexOf(first))
		return other ? [{ first, next, other }] : []
	})
	const most = turns.reduce((a, b) => (b.other.minutes > a.other.minutes ? b : a), turns[0] as (typeof turns)[number])
	if (!most) return `No other order is allowed.${weighed}`
	const start = `${name(words, most.first, true)} before ${name(words, most.next)}`
	const { more } = differences(most.other.amounts, chosen.amounts, words.unit)
	if (more.length === 0) return `${start}: the other way round costs the same.${weighed}`
	const tape = singleRuns(words, most.first, most.other)
	const reason = tape ? `: its lines are then single runs of ${tapeWidth(tape, words.unit)} tape; ` : ': '
	return `${start}${reason}${name(words, most.next)} first would take ${list(more)}.${weighed}`
}

/** What another takes more than the one chosen. */
export function whyNot(words: OrderWords, other: Weighed, capital = true): string {
	const at = words.chosen.order.findIndex((paint, i) => paint !== other.order[i])
	const [first, next] = [words.chosen.order[at] as string, other.order[at] as string]
	const start = `${name(words, next, capital)} before ${name(words, first)}`
	const { more, less } = differences(other.amounts, words.chosen.amounts, words.unit)
	if (more.length === 0) return `${start} costs the same.`
	return `${start} takes ${list(more)}${less.length > 0 ? `, but ${list(less)}` : ''}.`
}

const pairsOf = (order: readonly string[]): readonly (readonly [string, string])[] =>
	order.flatMap((first, i) => order.slice(i + 1).map((next) => [first, next] as const))

function name({ by }: OrderWords, paint: string, capital = false): string {
	const own = by.paints.get(paint)?.name ?? paint
	return capital ? own.charAt(0).toUpperCase() + own.slice(1) : own.charAt(0).toLowerCase() + own.slice(1)
}

interface Difference {
	/** of work; below nothing where it is less */
	readonly minutes: number
	readonly text: string
}

/** What one takes more than the other and what less, the dearest first; what no one would notice is left out. */
function differences(
	one: Amounts,
	other: Amounts,
	unit: Unit,
): { readonly more: readonly string[]; readonly less: readonly string[] } {
	const of = (key: keyof Amounts, per: number, minutes: number, text: (value: number, more: boolean) => string): Difference => {
		const value = (one[key] - other[key]) / per
		return { minutes: value * minutes, text: text(Math.abs(value), value > 0) }
	}
	const counted = (what: string, rest: string) => (n: number, more: boolean) =>
		`${n} ${more ? 'more' : 'fewer'} ${what}${n === 1 ? '' : 's'}${rest}`
	const measured = (digits: number, unit: string, what: string) => (value: number, more: boolean) =>
		`${value.toFixed(digits)} ${unit} ${more ? 'more' : 'less'} ${what}`
	const long = (what: string) => (m: number, more: boolean) =>
		unit === 'mm' ? measured(1, 'm', what)(m, more) : measured(0, 'ft', what)(m / M_PER_FOOT, more)
	const wide = (what: string) => (m2: number, more: boolean) =>
		unit === 'mm' ? measured(2, 'm²', what)(m2, more) : measured(1, 'sq ft', what)(m2 / M_PER_FOOT ** 2, more)
	const unmeasured = (what: string) => (_: number, more: boolean) => `${more ? 'more' : 'less'} ${what}`
	const all = [
		of('tapeMm', 1e3, MINUTES.tapeM, long('tape')),
		of('maskings', 1, MINUTES.masking, counted('masking', '')),
		of('freshMm2', 1e6, MINUTES.freshM2, wide('fresh paint to cover')),
		of('ridges', 1, MINUTES.ridge, counted('ridge', ' to flat')),
		of('ml', 1, MINUTES.litre / 1e3, measured(0, 'ml', 'paint')),
		of('lightByDarkMm', 1e3, MINUTES.lightByDarkM, unmeasured('light paint beside dark')),
		of('lightOverDarkMm2', 1e6, MINUTES.lightOverDarkM2, unmeasured('light paint over dark')),
	]
	const named = (list: readonly Difference[]) =>
		list
			.filter(({ minutes }) => minutes >= NOTICED_MIN)
			.sort((a, b) => b.minutes - a.minutes)
			.slice(0, MOST_NAMED)
			.map(({ text }) => text)
	return { more: named(all), less: named(all.map(({ minutes, text }) => ({ minutes: -minutes, text }))) }
}
/** As tape is sold. */
const tapeWidth = (mm: number, unit: Unit): string => (unit === 'mm' ? `${mm} mm` : formatLength(mm, unit, { fraction: 64 }).text)

const M_PER_FOOT = 0.3048
/** Minutes; a tenth of a metre of tape. */
const NOTICED_MIN = 0.3
const MOST_NAMED = 3

const list = (parts: readonly string[]): string =>
	parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts[parts.length - 1]}`

/** Width of the tape that makes the stripes of a paint by itself here and not there. */
function singleRuns({ chosen, graphs, by }: OrderWords, paint: string, other: Weighed): number | undefined {
	for (const graph of graphs) {
		const part = graph.parts.find((each) => each.coats.includes(paint) && stripeTape(each, by))
		const count = ({ order, modes }: Weighed) => estimate(graph, order, modes.get(graph.prefix) ?? 'local', by).stripes
		if (part && count(chosen) > count(other)) return stripeTape(part, by)?.width
	}
	return undefined
}
