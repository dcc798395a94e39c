/** What every piece of a panel is told. */
import { keepOffOf } from './keepOff.ts'
import type { PiecesInput } from './pieces.ts'

export const datumsOf = ({ datums }: PiecesInput) => datums.map((d) => ({ id: d.id, s: d.at.s, g: d.at.g }))

export type Common = ReturnType<typeof commonOf>

/** What every kind of piece is told. */
export const commonOf = ({ chart, panel, seams, patches, unit, toleranceMm, stations, revision }: PiecesInput) => ({
	keepOff: keepOffOf(chart, patches),
	chart,
	seams,
	panel: panel.id,
	panelTitle: panel.title ?? panel.id,
	unit,
	toleranceMm,
	stations,
	...(revision === undefined ? {} : { revision }),
})
