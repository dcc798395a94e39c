/** Data as JSON that is read by people too: objects opened out, lists of numbers and points on one line. */

/** Numbers are written to a ten-thousandth of a mm or degree, below anything that can be measured. */
const PART = 1e4
const LARGE = 1e11

/**
 * The text, keys in the order in which the data holds them, numbers rounded to 1e-4, absent values left out. A number that is not
 * finite becomes null. The same data gives the same bytes.
 */
export const writeJson = (data: unknown): string => `${write(data, '')}\n`

function write(value: unknown, indent: string): string {
	if (typeof value === 'number') return number(value)
	if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
	const inner = `${indent}\t`
	if (Array.isArray(value)) {
		if (value.length === 0) return '[]'
		if (value.every(isPlain)) return `[${value.map((each) => write(each, '')).join(', ')}]`
		return `[\n${value.map((each) => inner + write(each, inner)).join(',\n')}\n${indent}]`
	}
	const entries = Object.entries(value).filter(([, each]) => each !== undefined)
	if (entries.length === 0) return '{}'
	const lines = entries.map(([key, each]) => `${inner}${JSON.stringify(key)}: ${write(each, inner)}`)
	return `{\n${lines.join(',\n')}\n${indent}}`
}

/** A number, or a list of numbers: a point. */
const isPlain = (value: unknown): boolean =>
	typeof value === 'number' || (Array.isArray(value) && value.every((each) => typeof each === 'number'))

function number(value: number): string {
	if (!Number.isFinite(value)) return 'null'
	// so large a number has no ten-thousandths
	const rounded = Math.abs(value) < LARGE ? Math.round(value * PART) / PART : value
	// -0 says nothing
	return String(rounded === 0 ? 0 : rounded)
}
