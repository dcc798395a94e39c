/** A length in mm as it is printed. */
import { MM_PER_INCH, type Unit } from './length.ts'

/** What inch rules are divided in. */
export type RuleDivision = 16 | 32 | 64

export interface FormatOptions {
	/** inches to the nearest 1/16, 1/32 or 1/64; without it they are decimal */
	readonly fraction?: RuleDivision
	/** figures after the point, 0 to 6; 1 for mm and 3 for decimal inches (either within what a tape can show) unless given */
	readonly decimals?: number
}

export interface FormattedLength {
	/** "46.5 mm", "1.813 in" or "1 13/16 in" */
	readonly text: string
	/** the length that the text says, in mm */
	readonly mm: number
	/** what rounding added, in mm: said minus true */
	readonly roundingMm: number
}

/**
 * A length in mm for print, with what the rounding added. Halves are rounded away from zero.
 * Throws a RangeError when `mm` is not finite or `decimals` is not a whole number 0 to 6: nothing of that kind may reach a print.
 */
export function formatLength(mm: number, unit: Unit, options: FormatOptions = {}): FormattedLength {
	const decimals = options.decimals ?? (unit === 'mm' ? 1 : 3)
	if (!Number.isFinite(mm)) throw new RangeError(`formatLength: ${mm} is not a length`)
	if (!Number.isInteger(decimals) || decimals < 0 || decimals > 6) throw new RangeError(`formatLength: ${decimals} decimals`)

	const parts = unit === 'in' && options.fraction ? options.fraction : 10 ** decimals
	const perUnit = unit === 'in' ? MM_PER_INCH : 1
	const count = roundHalfAway((mm / perUnit) * parts)
	const said = (count * perUnit) / parts
	const figures = unit === 'in' && options.fraction ? fractionText(count, options.fraction) : (count / parts).toFixed(decimals)
	return { text: `${figures} ${unit}`, mm: said, roundingMm: said - mm }
}

/** The nearest whole number, halves away from zero; a millionth of a part is rounding noise of the division before. */
function roundHalfAway(parts: number): number {
	const count = Math.floor(Math.abs(parts) + 0.5 + 1e-6)
	return count === 0 ? 0 : Math.sign(parts) * count
}

function fractionText(count: number, division: RuleDivision): string {
	const whole = Math.floor(Math.abs(count) / division)
	let upper = Math.abs(count) % division
	let lower: number = division
	while (upper > 0 && upper % 2 === 0) {
		upper /= 2
		lower /= 2
	}
	const sign = count < 0 ? '-' : ''
	if (upper === 0) return `${sign}${whole}`
	return whole === 0 ? `${sign}${upper}/${lower}` : `${sign}${whole} ${upper}/${lower}`
}

const NUMBER = /-?\d+(?:\.\d+)?/g
/** "1.5 mm", and figures that share their unit: "76.2 x 101.6 mm", "0.3 to 0.7 mm", "10 or 100 mm", "1.2/1.4 mm". */
const MILLIMETRES = /-?\d+(?:\.\d+)?(?:(?: x | to | or |\/)-?\d+(?:\.\d+)?)* mm\b(?!2)/g

const AREAS = /(\d+(?:\.\d+)?) mm(?:2\b|²)/g

/** A length that is measured is said as a rule or a tape reads. */
const PLACE = 32
/** in; shorter ones are what something is off by */
const LEAST_PLACE = 0.5

/** The name of a place where a line crosses a station, "upper@304.8": its station is in mm. */
const CROSSING = /([a-z][a-z0-9-]*)@(-?\d+(?:\.\d+)?)/g

/** Words in which such places are named, with each as a person says it: "upper at 12" in inches, "upper at 304.8" in mm. */
export const crossingsIn = (text: string, unit: Unit): string =>
	text.includes('@')
		? text.replace(CROSSING, (_, line, mm) => {
				const station = unit === 'mm' ? mm : formatLength(Number(mm), unit, { fraction: PLACE }).text.replace(/ in$/, '')
				return `${line} at ${station}`
			})
		: text

/** Where something lies, to what is seen from a step away: "625 mm", "24 5/8 in". */
export const placeText = (mm: number, unit: Unit): string =>
	formatLength(mm, unit, unit === 'mm' ? { decimals: 0 } : { fraction: 16 }).text

/**
 * A sentence whose lengths stand in mm, with each in the unit that the person works in: "46.5 mm" becomes "1 27/32 in", as a rule
 * reads; what is less than half an inch, or stands there to a hundredth of a mm, is how far something is off and keeps its thousandths:
 * "1.5 mm" becomes "0.059 in". Areas become square inches.
 */
export function lengthsIn(text: string, unit: Unit): string {
	const said = crossingsIn(text, unit)
	if (unit === 'mm') return said
	return said
		.replace(AREAS, (_, mm2) => `${squareInches(Number(mm2))} sq in`)
		.replace(MILLIMETRES, (lengths) => `${lengths.slice(0, -3).replace(NUMBER, inches)} in`)
}

/** Two figures that count: nothing is said to be nothing. */
const squareInches = (mm2: number) => {
	const value = mm2 / MM_PER_INCH ** 2
	return value === 0 ? '0' : value >= 1 ? value.toFixed(1) : String(Number(value.toPrecision(2)))
}

function inches(mm: string): string {
	const value = Number(mm) / MM_PER_INCH
	if (Math.abs(value) >= LEAST_PLACE && !/\.\d{2}/.test(mm))
		return formatLength(Number(mm), 'in', { fraction: PLACE }).text.replace(/ in$/, '')
	// What is not nothing is not said to be nothing.
	return value !== 0 && Math.abs(value) < 0.0005 ? value.toPrecision(1) : value.toFixed(3)
}
