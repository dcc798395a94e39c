import type { z } from 'zod'
import type { ChartPoint } from '../chart/point.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Deviation } from '../sides/judge.ts'
import type { PanelSides } from '../sides/panelSides.ts'
import { sidesWords } from '../sides/words.ts'
import type { Unit } from '../units/length.ts'
import type { sidesSchema } from './sidesSchema.ts'

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
