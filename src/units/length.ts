/** A length as people write it, read into mm. */

export type Unit = 'mm' | 'in'

/** `found`, `expected` and `fix` are phrases for the person who wrote it; `note` says what was understood where that is not plain. */
export type LengthAnswer =
	| { readonly ok: true; readonly mm: number; readonly note?: string }
	| { readonly ok: false; readonly found: string; readonly expected: string; readonly fix: string }

export interface LengthOptions {
	/** Read "1,5" as 1.5 and say so in `note` (for spreadsheets). Otherwise a decimal comma is refused. */
	readonly decimalComma?: boolean
}

/** 1 in = 25.4 mm exactly (international inch, 1959; NIST SP 811, B.6). */
export const MM_PER_INCH = 25.4

/** No vehicle is 100 m long: beyond this a unit or a decimal point is missing. */
export const LONGEST_MM = 100_000

/** Longer texts are not lengths; the limit keeps the reading of one short. */
const LONGEST_TEXT = 60

/** mm per unit as a ratio of whole numbers, so that 1 13/16 in is 46.0375 and not 46.03749999... */
const MM_PER: Readonly<Record<string, readonly [number, number]>> = {
	mm: [1, 1],
	cm: [10, 1],
	m: [1000, 1],
	in: [254, 10],
	ft: [3048, 10],
}

const UNIT_NAMES: Readonly<Record<string, string>> = {
	...{ mm: 'mm', millimetre: 'mm', millimetres: 'mm', millimeter: 'mm', millimeters: 'mm' },
	...{ cm: 'cm', centimetre: 'cm', centimetres: 'cm', centimeter: 'cm', centimeters: 'cm' },
	...{ m: 'm', metre: 'm', metres: 'm', meter: 'm', meters: 'm' },
	...{ in: 'in', 'in.': 'in', inch: 'in', inches: 'in', '"': 'in' },
	...{ ft: 'ft', 'ft.': 'ft', foot: 'ft', feet: 'ft', "'": 'ft' },
}

/** What a rule or tape is divided in. Any other lower figure (13/61) is a slip of the pen for one of these. */
const RULED = new Set([2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16, 20, 32, 50, 64, 100, 128])

const UNICODE_FRACTIONS: Readonly<Record<string, string>> = {
	...{ '½': '1/2', '⅓': '1/3', '⅔': '2/3', '¼': '1/4', '¾': '3/4', '⅕': '1/5', '⅖': '2/5', '⅗': '3/5', '⅘': '4/5' },
	...{ '⅙': '1/6', '⅚': '5/6', '⅐': '1/7', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8', '⅑': '1/9', '⅒': '1/10' },
}

type Amount = { readonly value: number } | { readonly slip: Slip }
interface Slip {
	readonly found: string
	readonly expected: string
	readonly fix: string
}

const FORMS = 'a number, or a text such as "46.5 mm", "4.65 cm", "1 13/16 in" or "3\' 2 1/2 in"'

/**
 * A length in mm, from a number in `unit` or from a text that carries a unit of its own or none (then `unit`).
 * Decimal or fractional, feet and inches, unicode fractions and primes. Negative lengths are read; whether one makes
 * sense is for the caller. Refused: decimal commas (see options), fractions over 0, fractions of one or more beside or
 * instead of a whole number (a rule reads 1 1/4, never 5/4 nor 1 5/4: one figure is wrong, and no one can know which),
 * fractions that no rule is divided in, what is not finite, and anything beyond 100 m.
 */
export function readLength(value: number | string, unit: Unit, options: LengthOptions = {}): LengthAnswer {
	if (typeof value === 'number') return within(scaled(value, unit), String(value))
	if (value.length > LONGEST_TEXT) return refuse(`${quote(`${value.slice(0, 30)}...`)}, which is too long to be a length`)
	const plain = normalise(value)
	if (plain === '') return refuse('an empty text')

	let text = plain
	let note: string | undefined
	if (/[,;]/.test(plain)) {
		// one comma between figures and no point: anything else may be thousands or a list
		const decimal = /^[^,;.]*\d,\d[^,;.]*$/.test(plain)
		if (!decimal || !options.decimalComma) return refusePointless(value, plain, unit)
		text = plain.replace(',', '.')
		note = `${quote(value)} was read as ${text}`
	}

	const mm = amountOf(text, unit)
	if ('slip' in mm) return { ok: false, ...mm.slip, found: `${quote(value)}, ${mm.slip.found}` }
	const answer = within(mm.value, quote(value))
	return answer.ok && note ? { ...answer, note } : answer
}

/** One spelling for everything that looks alike: primes, quotes, dashes, spaces, unicode fractions. */
function normalise(value: string): string {
	return value
		.replace(/\s+/g, ' ')
		.replace(/(\d)? ?([½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒])/g, (_, whole, sign) => `${whole ? `${whole} ` : ''}${UNICODE_FRACTIONS[sign]}`)
		.replace(/[\u2044\u2215]/g, '/')
		.replace(/[\u2032\u2019\u2018\u00b4`]/g, "'")
		.replace(/[\u2033\u201c\u201d]|''/g, '"')
		.replace(/[\u2010-\u2015\u2212]/g, '-')
		.trim()
		.toLowerCase()
}

/** Feet and inches, or one number with its unit, in mm. */
function amountOf(text: string, unit: Unit): Amount {
	const negative = text.startsWith('-')
	const body = negative ? text.slice(1).trimStart() : text
	const feet = /^([^a-z'"]+?) ?(?:'|ft\.?|foot|feet)[ -]?([^a-z'"]+?) ?("|in\.?|inch|inches)?$/.exec(body)
	const mm = feet ? feetAndInches(feet[1]!, feet[2]!) : oneNumber(body, unit)
	return 'slip' in mm || !negative ? mm : { value: -mm.value }
}

function oneNumber(body: string, unit: Unit): Amount {
	const parts = /^([^a-z'"]*)(.*)$/.exec(body)!
	const figures = parts[1]!.trim()
	const name = parts[2]!.trim()
	const own = name === '' ? unit : UNIT_NAMES[name]
	if (own === undefined) {
		if (figures === '') return slip('which is not a length', FORMS, 'Write the length in figures with its unit.')
		const known = 'a length in mm, cm, m, in or ft'
		return slip(`where ${quote(name)} is no unit that is known here`, known, `Write the unit as mm, cm, m, in or ft.`)
	}
	const amount = number(figures)
	return 'slip' in amount ? amount : { value: scaled(amount.value, own) }
}

function feetAndInches(feetText: string, inchText: string): Amount {
	const feet = number(feetText)
	if ('slip' in feet) return feet
	const inches = number(inchText)
	if ('slip' in inches) return inches
	if (!Number.isInteger(feet.value)) {
		return slip(
			'where the feet are not whole though inches follow',
			'whole feet, then inches',
			'Put the part of a foot into the inches.',
		)
	}
	if (inches.value >= 12) {
		return slip(
			'where the inches make a foot or more',
			'inches below 12 after feet',
			'Write it in inches alone, or correct the figure.',
		)
	}
	return { value: scaled(feet.value * 12 + inches.value, 'in') }
}

/** "12", "12.5", ".5", "13/16", "1 13/16" or "1-13/16", unsigned. */
function number(text: string): Amount {
	if (/^(\d+\.?\d*|\.\d+)$/.test(text)) return { value: Number(text) }
	const mixed = /^(?:(\d+)(?: |-))?(\d+) ?\/ ?(\d+)$/.exec(text)
	if (mixed) return fraction(mixed[1], Number(mixed[2]), Number(mixed[3]))
	if (/^\d/.test(text) && /\d ?- ?\d/.test(text)) {
		return slip('which looks like two figures with a dash between', 'one length', 'Write one length; a fraction as 1 13/16.')
	}
	return slip('which is not a length', FORMS, 'Write the figures and the unit only, such as "46.5 mm".')
}

function fraction(wholeText: string | undefined, upper: number, lower: number): Amount {
	const whole = Number(wholeText ?? 0)
	const form = 'a fraction such as 13/16, its upper figure smaller than its lower'
	if (lower === 0)
		return slip('where a fraction has 0 below the line', form, 'Write the figure that the rule is divided in below the line.')
	if (!RULED.has(lower)) {
		return slip(
			`where no rule is divided in parts of 1/${lower}`,
			'halves, quarters, ... 64ths, tenths or such',
			'Correct the lower figure.',
		)
	}
	if (upper >= lower) {
		const sum = `${whole + Math.floor(upper / lower)}${upper % lower ? ` ${upper % lower}/${lower}` : ''}`
		return slip(
			`where ${upper}/${lower} makes one or more`,
			form,
			`Look at the reading again; write ${sum} if that is what was meant.`,
		)
	}
	return { value: (whole * lower + upper) / lower }
}

function scaled(value: number, unit: string): number {
	const [times, by] = MM_PER[unit]!
	return (value * times) / by
}

/** A comma or a semicolon stands where a point belongs. */
function refusePointless(value: string, plain: string, unit: Unit): LengthAnswer {
	const found = `${quote(value)}, with a ${plain.includes(';') ? 'semicolon' : 'comma'} in it`
	const expected = 'a number with a decimal point'
	const point = plain.replace(/[,;]/, '.')
	if ('slip' in amountOf(point, unit)) {
		return {
			ok: false,
			found,
			expected,
			fix: 'Write one number, with a point before its decimals and nothing between thousands.',
		}
	}
	const thousands = /^-?\d{1,3},\d{3}(?!\d)/.test(plain)
		? `, or ${quote(plain.replace(',', ''))} if the comma parted thousands`
		: ''
	return { ok: false, found, expected, fix: `Write ${quote(point)}${thousands}.` }
}

function within(mm: number, shown: string): LengthAnswer {
	if (!Number.isFinite(mm)) return refuse(`${shown}, which is not a number`)
	if (Math.abs(mm) > LONGEST_MM) {
		const expected = 'a length on a vehicle, at most 100 m'
		return {
			ok: false,
			found: `${shown}, which is ${Math.round(mm / 1000)} m`,
			expected,
			fix: 'Look at the unit and the decimal point.',
		}
	}
	// no minus zero: it would print as -0
	return { ok: true, mm: mm === 0 ? 0 : mm }
}

function refuse(found: string): LengthAnswer {
	return { ok: false, found, expected: FORMS, fix: 'Write the length in figures, with its unit.' }
}

function slip(found: string, expected: string, fix: string): Amount {
	return { slip: { found, expected, fix } }
}

function quote(text: string): string {
	return JSON.stringify(text)
}
