/** What the readings behind a panel's shape are good for, in words and figures. */
import type { PanelResult } from '../engine/panelResult.ts'
import { formatLength, lengthsIn, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

export interface ShapeView {
	/** where this baseline measures no further: once for each hand that differs */
	readonly limit: readonly string[]
	/** of gauge sections */
	readonly gauge?: {
		/** how well the readings fit the shape, what one more would tell and what fewer cost */
		readonly said: readonly string[]
		/** which shape it is of */
		readonly of: 'found' | 'prepared'
		/** the reading that sticks out most, counted from 0 as in the file, and by how much */
		readonly worst: { readonly section: number; readonly reading: number; readonly mm: number }
		/** how far the shape through the others misses each section, mm; absent of the first and the last */
		readonly without: readonly (number | undefined)[]
	}
}

export function shapeViewOf({ shape, panel }: PanelResult, unit: Unit): ShapeView {
	const limit = [...new Set((shape?.now ?? []).map(({ chart }) => lengthsIn(chart.limitReason, unit)))]
	const gauge = shape?.gauge
	if (!gauge) return { limit }
	const { rmsMm, worst, without, oneMore, everyOther } = gauge
	const fine = (mm: number) => formatLength(mm, unit, { decimals: unit === 'mm' ? 2 : 3 }).text
	const at = placeText(oneMore.along, unit)
	const sticksOut = `reading ${worst.reading + 1} of section ${worst.section + 1}`
	return {
		limit,
		gauge: {
			said: [
				`Readings lie ${fine(rmsMm)} off the shape on the whole. The one that sticks out most is ${sticksOut}, by ${fine(Math.abs(worst.mm))}.`,
				`One more section would tell most near ${at}, where the shape may be out by ${fine(oneMore.mm)}.`,
				...(everyOther ? [`With every other section only, the shape would be out by up to ${fine(everyOther.worstMm)}.`] : []),
			],
			of: panel.prepared?.shape ? 'prepared' : 'found',
			worst,
			without,
		},
	}
}
