import { formatLength } from '../units/format.ts'
import { MM_PER_INCH, type Unit } from '../units/length.ts'

/** A length that is printed to be measured. */
export interface Span {
	readonly mm: number
	readonly words: string
}

/** Round lengths of the job's own unit, so that its own rule proves them; the longest first. */
export const SPANS: Readonly<Record<Unit, readonly [Span, Span, Span]>> = {
	mm: [span(100, 'mm'), span(50, 'mm'), span(20, 'mm')],
	in: [span(4, 'in'), span(2, 'in'), span(1, 'in')],
}

function span(count: number, unit: Unit): Span {
	return { mm: count * (unit === 'in' ? MM_PER_INCH : 1), words: `${count} ${unit}` }
}

/** What is left of a line beside the ticks of a span at its ends, mm. */
const BESIDE_MM = 6

/** The longer of the two spans that a line of this length has room for; none on a short line. */
export function spanOn(lengthMm: number, unit: Unit): Span | undefined {
	return SPANS[unit].slice(0, 2).find(({ mm }, i) => lengthMm > mm + (i === 0 ? BESIDE_MM : 4))
}

/** A girth or station as it is written beside its tick: mm to a tenth; inches to the nearest 1/32, as a rule is read. */
export const girthFigure = (mm: number, unit: Unit) =>
	unit === 'mm' ? (Math.round(mm * 10) / 10).toFixed(1).replace(/\.0$/, '') : formatLength(mm, unit, { fraction: 32 }).text

/** Half an inch: what is shorter is read off a steel rule, to 1/64. */
const SHORT_MM = MM_PER_INCH / 2

/** A length as a tape shows it, with its unit. */
export const lengthFigure = (mm: number, unit: Unit) =>
	unit === 'mm'
		? `${mm.toFixed(1)} mm`
		: Math.abs(mm) < SHORT_MM
			? formatLength(mm, unit, { fraction: 64 }).text
			: girthFigure(mm, unit)

/** Station and girth beside a tick on a narrow body, where there is no room for units. */
export const tickFigures = (station: number, girth: number, unit: Unit) =>
	[station, Math.abs(girth)].map((mm) => girthFigure(mm, unit).replace(/ in$/, '')).join(' | ')
