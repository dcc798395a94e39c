import type { z } from 'zod'
import type { ChartPoint } from '../chart/point.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Deviation } from '../sides/judge.ts'
import type { PanelSides } from '../sides/panelSides.ts'
import type { PanelTaped } from '../sides/tapedPanel.ts'
import { tapedWords } from '../sides/tapedWords.ts'
import { sidesWords } from '../sides/words.ts'
import type { Unit } from '../units/length.ts'
import type { sidesSchema, tapedSchema } from './sidesSchema.ts'

const at = (p: ChartPoint): [number, number] => [p.s, p.g]
const deviation = ({ mm, sdMm, w, proven }: Deviation) => ({ mm, sdMm, inSd: w, proven })

/** Left against right as result.json has it. */
export function sidesData(sides: PanelSides, panel: PanelResult, unit: Unit): z.infer<typeof sidesSchema> {
	const { kind, pairs, alone, centreline, frame, open, settled, lines, swapped, choices, exaggeration } = sides
	return {
		kind,
		words: [...sidesWords(sides, panel.panel, unit)],
		pairs: pairs.map(({ id, lines: through, left, right, across, along, setAside }) => ({
			id,
			lines: [...through],
			left: at(left),
			right: at(right),
			across: deviation(across),
			...(along ? { along: deviation(along) } : {}),
			setAside,
		})),
		alone: [...alone],
		...(centreline
			? {
					centreline: {
						...centreline,
						front: { ...centreline.front },
						rear: { ...centreline.rear },
						line: centreline.line.map(at),
					},
				}
			: {}),
		...(frame ? { frame: { ...frame, datums: [...frame.datums] } } : {}),
		...(open ? { open: openData(open) } : {}),
		settled,
		lines: lines.map(({ edge, pairs: count, across }) => ({ edge, pairs: count, across: deviation(across) })),
		swapped: swapped.map(({ kind: what, marks }) => ({ kind: what, marks: [...marks] })),
		choices: choices.map((choice) => ({ ...choice })),
		exaggeration,
	}
}

function openData(open: NonNullable<PanelSides['open']>) {
	if (!('shiftMm' in open)) return { kind: open.kind }
	const { kind, station, shiftMm, shiftSdMm } = open
	return { kind, station, shiftMm, shiftSdMm }
}

/** Edges as taped as result.json has them. */
export function tapedData(taped: PanelTaped, panel: PanelResult, unit: Unit): z.infer<typeof tapedSchema> {
	const { lines, sides, widths, exaggeration, verdict } = taped
	return {
		verdict,
		words: [...tapedWords(taped, panel.panel, unit)],
		lines: lines.map((line) => ({
			line: line.short,
			name: line.name,
			side: line.side,
			verdict: line.verdict,
			worstMm: line.worstMm,
			places: line.places.map(({ index, station, girth, planned, acrossMm, sdMm, verdict: own }) => ({
				...{ check: index, station, girth, plannedMm: planned, acrossMm, sdMm, verdict: own },
			})),
			...(line.runs ? { runs: { ...line.runs } } : {}),
			kinks: line.kinks.map(({ at: i, ...kink }) => ({ station: line.places[i]?.station ?? 0, ...kink })),
			plan: line.plan.map(at),
			taped: line.taped.map(at),
		})),
		sides: sides.map(({ short, ...one }) => ({ line: short, ...one })),
		widths: widths.map(({ lines: between, ...one }) => ({ lines: [...between] as [string, string], ...one })),
		exaggeration,
	}
}
