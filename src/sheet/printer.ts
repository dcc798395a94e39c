/** What a printer does to lengths, and how that is made good. */
import type { PageScale } from '../drawing/pdf.ts'
import type { Outcome, Problem } from '../job/problem.ts'

export interface Margins {
	readonly left: number
	readonly right: number
	readonly top: number
	readonly bottom: number
}

export interface Printer {
	readonly id: string
	readonly name?: string
	/** what 200 mm measured on a printed test sheet held upright: across it and along it */
	readonly measured?: { readonly across: number; readonly along: number }
}

/** Factors on lengths across and along the upright sheet. */
export interface Correction {
	readonly across: number
	readonly along: number
}

export const NO_CORRECTION: Correction = { across: 1, along: 1 }
/** The length on the test sheet, mm. */
export const TEST_LENGTH_MM = 200
/** An office printer is out by up to 1 % (from memory); a tenth is a slip of the ruler or the unit. */
const REFUSE_ABOVE = 0.1
/** Worth a second look at the ruler and at the print dialogue's scale. */
const WARN_ABOVE = 0.02
const WARN_DIFFERENCE = 0.005

/** A length in another unit than mm is known by its size. */
const SLIPS = [
	{ perMm: 10, unit: 'centimetres' },
	{ perMm: 25.4, unit: 'inches' },
	{ perMm: 0.1, unit: 'tenths of a millimetre' },
] as const

function slipOf({ across, along }: { readonly across: number; readonly along: number }): string | undefined {
	const slip = SLIPS.find(({ perMm }) =>
		[across, along].some((length) => Math.abs((length * perMm) / TEST_LENGTH_MM - 1) <= REFUSE_ABOVE),
	)
	return slip && `That looks like ${slip.unit}: write both lengths in millimetres, about ${TEST_LENGTH_MM}.`
}

/** The factors that make good what was measured; problem PRINTER_MEASURE where a length cannot be right. */
export function correctionOf(printer: Printer | undefined, path = '/printers'): Outcome<Correction> {
	const measured = printer?.measured
	if (!measured) return { value: NO_CORRECTION, problems: [] }
	const stated = `${measured.across} mm across and ${measured.along} mm along for ${TEST_LENGTH_MM} mm`
	const problem = (severity: Problem['severity'], expected: string, fix: string): Problem => ({
		code: 'PRINTER_MEASURE',
		severity,
		path,
		found: `the printer ${printer.id} measured ${stated}`,
		expected,
		fix,
	})
	const off = [measured.across, measured.along].map((length) => Math.abs(length / TEST_LENGTH_MM - 1))
	if (!off.every((part) => part <= REFUSE_ABOVE)) {
		return {
			problems: [
				problem(
					'error',
					`lengths between ${TEST_LENGTH_MM * (1 - REFUSE_ABOVE)} and ${TEST_LENGTH_MM * (1 + REFUSE_ABOVE)} mm`,
					slipOf(measured) ?? 'Print the test sheet at 100 % and measure its two lines again.',
				),
			],
		}
	}
	const value = { across: TEST_LENGTH_MM / measured.across, along: TEST_LENGTH_MM / measured.along }
	const large = off.some((part) => part > WARN_ABOVE)
	const apart = Math.abs(measured.across - measured.along) / TEST_LENGTH_MM > WARN_DIFFERENCE
	if (!large && !apart) return { value, problems: [] }
	const expected = large ? 'within 2 % of true' : 'within 0.5 % of each other'
	return { value, problems: [problem('warning', expected, 'Check that the test sheet was printed at 100 %, and measure again.')] }
}

export type Orientation = 'portrait' | 'landscape'

/** The factors for a page as it stands; a sheet on its side runs through the printer upright. */
export const pageScale = ({ across, along }: Correction, orientation: Orientation): PageScale =>
	orientation === 'portrait' ? { x: across, y: along } : { x: along, y: across }

/** As stated on each sheet. */
export function correctionText(printer: Printer | undefined, { across, along }: Correction): string {
	if (across === 1 && along === 1) return 'printer correction: none'
	const percent = (factor: number) => `${(factor * 100).toFixed(2)} %`
	return `printer ${printer?.name ?? printer?.id ?? ''}: corrected ${percent(across)} across, ${percent(along)} along`
}
