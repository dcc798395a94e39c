import type { ChartPoint } from '../chart/point.ts'
import { refOf } from '../job/marks.ts'
import { lookAhead, type MarkTrust, type NextReading } from '../survey/ahead.ts'
import { DETECTED_SDS, FLAGGED } from '../survey/instruments.ts'
import { findMark } from '../survey/survey.ts'
import type { PanelResult } from './panelResult.ts'

/** What would show a slip in a mark's readings. */
export type ShownBy = 'readings' | 'other-side' | 'line' | 'nothing'

export interface ReadyMark extends MarkTrust {
	readonly shownBy: ShownBy
}

export interface ReadyLine {
	readonly id: string
	/** where it is known least well, on the panel as found, and the half-width within which it lies there 95 times in 100, mm */
	readonly least?: { readonly at: ChartPoint; readonly knownMm: number }
	/** marks of it that have no place yet */
	readonly missing: readonly string[]
	/** marks of it that nothing checks */
	readonly unchecked: readonly string[]
}

/** Whether a panel may be stripped as far as its numbers go. */
export interface Ready {
	readonly marks: readonly ReadyMark[]
	readonly lines: readonly ReadyLine[]
	/** the readings that would help most, best first */
	readonly next: readonly NextReading[]
}

export const SD_95 = 1.96
/** Readings named at once: as many as one takes in one walk round the stand. */
const MOST_NEXT = 5

/**
 * Before a panel is stripped: whether what was measured determines each mark and line, whether anything checks it, and which
 * readings would help most. Undefined where nothing was measured.
 */
export function readyOf(panel: PanelResult): Ready | undefined {
	if (!answers.has(panel)) answers.set(panel, workOut(panel))
	return answers.get(panel)
}

/** Asked for by the summary and by result.json alike. */
const answers = new WeakMap<PanelResult, Ready | undefined>()

function workOut(panel: PanelResult): Ready | undefined {
	const survey = panel.survey?.survey
	const chart = panel.shape?.found[0]?.chart
	if (!survey || !chart) return undefined
	const folded = panel.survey?.folded.marks ?? {}
	// The outline of a painted emblem goes through no marks.
	const edges = panel.panel.edges.filter(({ through }) => through.length > 0)
	const markOf = (ref: string) =>
		findMark(survey, ref)
			? [findMark(survey, ref)?.key as string]
			: [`left/${ref}`, `right/${ref}`].filter((key) => survey.marks[key])
	const ofDecals = (panel.panel.decals ?? []).flatMap(({ place }) =>
		place.kind === 'marks' ? place.marks.map(({ mark }) => mark) : [],
	)
	const through = [...edges.flatMap((edge) => edge.through.map(refOf)), ...ofDecals].flatMap(markOf)
	// Before any line is laid, every mark may be wanted.
	const used = new Set(edges.length > 0 ? through : survey.joint.keys)

	const shown = new Map<string, { readonly mm: number; readonly by: ShownBy }>()
	const show = (key: string, mm: number, by: ShownBy) => {
		if (mm < (shown.get(key)?.mm ?? Number.POSITIVE_INFINITY)) shown.set(key, { mm, by })
	}
	for (const mark of Object.values(folded)) {
		const { difference } = mark
		if (!difference) continue
		const mm = DETECTED_SDS * Math.max(difference.sd.s, difference.sd.g)
		for (const side of ['left', 'right']) show(`${side}/${mark.id}`, mm, 'other-side')
	}
	for (const edge of panel.lines?.edges ?? []) {
		for (const { key, fromMm } of edge.fitted.named) {
			const own = markOf(key)
			// The line goes through the mean of both sides: a slip on one of them moves it by half.
			for (const one of own) show(one, own.length * (DETECTED_SDS / FLAGGED) * fromMm, 'line')
		}
	}
	const shownMm = new Map([...shown].map(([key, { mm }]) => [key, mm]))
	const { marks, next } = lookAhead({ chart, panel: panel.panel, survey, used, shownMm, most: MOST_NEXT })
	const ready = marks.map((mark): ReadyMark => {
		if (mark.unseenMm === undefined) return { ...mark, shownBy: 'nothing' }
		const other = shown.get(mark.key)
		return { ...mark, shownBy: other && other.mm <= mark.unseenMm ? other.by : 'readings' }
	})
	const unchecked = new Set(ready.flatMap(({ key, shownBy }) => (shownBy === 'nothing' ? [key] : [])))
	const lines = edges.map((edge): ReadyLine => {
		const refs = edge.through.map(refOf)
		const known = (panel.lines?.edges ?? []).flatMap(({ id, fitted }) => (id === edge.id ? fitted.known : []))
		const least = known.reduce<(typeof known)[number] | undefined>((a, b) => (a && a.sdMm >= b.sdMm ? a : b), undefined)
		return {
			id: edge.id,
			...(least ? { least: { at: least.at, knownMm: SD_95 * least.sdMm } } : {}),
			missing: refs.filter((ref) => markOf(ref).length === 0),
			unchecked: refs.flatMap(markOf).filter((key) => unchecked.has(key)),
		}
	})
	return { marks: ready, lines, next }
}
