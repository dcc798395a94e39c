/** Before a panel is stripped: what its numbers are good for, in the words of the bench. */
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import { type Ready, type ReadyLine, readyOf, SD_95 } from '../engine/ready.ts'
import { listed, listedShort, plural } from '../job/say.ts'
import type { ProvenLine } from '../sides/proof.ts'
import type { NextReading } from '../survey/ahead.ts'
import { crossingsIn, formatLength, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { sayTogether, togetherOf } from './together.ts'
import { sayCarried } from './words.ts'

/** The block "Before you strip" of every panel that has lines, empty where none has. */
export function readyText(result: Result): string {
	const parts = result.panels.flatMap((panel) => {
		if (panel.panel.prepared) return []
		const ready = readyOf(panel)
		return ready && ready.lines.length > 0 ? [sayPanel(panel, ready, result.job.unit)] : []
	})
	return parts.length === 0 ? '' : crossingsIn(`Before you strip\n\n${parts.join('\n\n')}\n`, result.job.unit)
}

function sayPanel(panel: PanelResult, ready: Ready, unit: Unit): string {
	const lines = ready.lines.flatMap((line) => sayLine(panel, line, unit))
	const all = panel.survey && togetherOf(panel.survey.survey)
	return [
		panel.title,
		...lines,
		...(all ? [sayTogether(all, unit)] : []),
		...(panel.proof ?? []).map((line) => sayProven(line, unit)),
		...(ready.next.length > 0 ? ['measure these next, the one that helps most first:'] : []),
		...ready.next.map((next, i) => `  ${i + 1}. ${sayNext(panel, next, unit)}`),
	]
		.map((line, i) => (i === 0 ? line : `  ${line}`))
		.join('\n')
}

/** What one panel's lines are good for, and the readings that would help most, line by line; empty where it has no lines. */
export function readyWords(
	panel: PanelResult,
	unit: Unit,
): { readonly lines: readonly string[]; readonly next: readonly string[] } {
	const ready = readyOf(panel)
	const said = (text: string) => crossingsIn(text, unit)
	return {
		lines: ready?.lines.flatMap((line) => sayLine(panel, line, unit)).map(said) ?? [],
		next: ready?.next.map((next) => said(sayNext(panel, next, unit))) ?? [],
	}
}

const fine = (mm: number, unit: Unit) => formatLength(Math.max(mm, 0.1), unit, { decimals: unit === 'mm' ? 1 : 2 }).text
/** Where, to what one sees from a step away. */
const rough = placeText

function sayLine(panel: PanelResult, { id, least, missing, unchecked }: ReadyLine, unit: Unit): string[] {
	const name = panel.panel.edges.find((edge) => edge.id === id)?.what ?? id
	if (missing.length > 0) {
		const they = missing.length === 1 ? 'has' : 'have'
		return [`${name}: not ready. ${listed(missing, 'and')} ${they} no place yet: measure station and girth`]
	}
	if (!least) return [`${name}: not ready; a problem says why`]
	const known = `known to ±${fine(least.knownMm, unit)} or better, least well at station ${rough(least.at.s, unit)}`
	if (unchecked.length === 0) return [`${name}: ${known}; every mark of it is checked`]
	return [
		`${name}: ${known}; nothing checks ${listedShort(unchecked, 'and')}: a slip in reading ${them(unchecked)} would not show`,
	]
}

const them = (marks: readonly string[]) => (marks.length === 1 ? 'it' : 'them')

function sayNext(panel: PanelResult, { kind, marks, lengthMm, before, after }: NextReading, unit: Unit): string {
	const what =
		kind === 'square'
			? `station and girth of ${marks[0]} once more, squared off afresh`
			: `tape from ${marks[0]} to ${marks[1]}${lengthMm === undefined ? '' : `, about ${rough(lengthMm, unit)}${overCrown(panel, marks)}`}`
	const shows =
		after.unseenMm === undefined
			? ''
			: `, and a slip of ${fine(after.unseenMm, unit)} would show (now ${before.unseenMm === undefined ? 'none would' : fine(before.unseenMm, unit)})`
	return `${what}: ${after.key} is then known to ±${fine(after.knownMm, unit)} (now ±${fine(before.knownMm, unit)})${shows}`
}

/** What the proof strips said of a line. */
export function sayProven({ name, side, misses, worstMm, verdict, mark, shiftMm }: ProvenLine, unit: Unit): string {
	const line = `${name}${side === 'both' ? '' : `, ${side}`}`
	const ticks = `${plural(misses.length, 'tick')}, the worst ${worstMm === 0 ? 'true to the paint' : `misses by ${fine(worstMm, unit)}`}`
	const off = (mm: number) => `${fine(Math.abs(mm), unit)} ${mm < 0 ? 'inboard' : 'outboard'}`
	switch (verdict) {
		case 'safe':
			return `${line}: safe to strip (${ticks})`
		case 'more':
			return `${line}: so far it agrees (${ticks}); three ticks or more on each side say that it is safe`
		case 'mark':
			return `${line}: do NOT strip yet (${ticks}): take ${mark?.key} again, the paint lies about ${off(mark?.offMm ?? 0)} of it`
		case 'shifted':
			return `${line}: do NOT strip yet (${ticks}): all of it lies ${off(shiftMm ?? 0)}; check the baseline and its datums`
		case 'line':
			return `${line}: do NOT strip yet (${ticks}): no one reading accounts for it; lay the strips once more, then measure again`
	}
}

/** A tape from side to side goes over the top. */
function overCrown({ survey }: PanelResult, marks: readonly string[]): string {
	const [p, q] = marks.map((key) => survey?.survey.marks[key]?.at.g ?? 0)
	return (p as number) * (q as number) < 0 ? ', over the crown' : ''
}

/** The block "Since it was prepared" of every panel that was measured again, empty where none was. */
export function preparedText(result: Result): string {
	const { unit } = result.job
	const parts = result.panels.flatMap(({ title, panel, lines }) => {
		if (!lines?.since) return []
		const { datums, lines: off, limitMm } = lines.since
		const name = (id: string) => panel.edges.find((edge) => edge.id === id)?.what ?? id
		const moved = datums.map(({ id, movedMm, sdMm, proven }) =>
			proven
				? `${id} has moved by ${fine(movedMm, unit)} (known to ±${fine(SD_95 * sdMm, unit)})`
				: `${id} has not moved by more than the readings can tell (±${fine(SD_95 * sdMm, unit)})`,
		)
		const held = off.map(({ id, offMm, holds }) =>
			holds
				? `${name(id)}: templates made before would still lie within ${fine(offMm, unit)}`
				: `${name(id)}: templates made before would lie ${fine(offMm, unit)} off (${fine(limitMm, unit)} is allowed): use the new ones`,
		)
		return [[title, ...moved, sayCarried(lines.since), ...held].map((line, i) => (i === 0 ? line : `  ${line}`)).join('\n')]
	})
	return parts.length === 0 ? '' : `Since it was prepared\n\n${parts.join('\n\n')}\n`
}
