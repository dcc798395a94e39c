/**
 * Lists that grow as a file is read, without asking for memory by what its header claims, and words and numbers out of bytes
 * without making a text of the whole file.
 */
export interface Growing<A extends Float64Array | Uint32Array> {
	push(a: number, b: number, c: number): void
	/** how many numbers were pushed */
	length(): number
	/** what was pushed, and nothing more */
	take(): A
}

export const growingFloats = (): Growing<Float64Array> => growing((n) => new Float64Array(n))
export const growingIndices = (): Growing<Uint32Array> => growing((n) => new Uint32Array(n))

function growing<A extends Float64Array | Uint32Array>(make: (n: number) => A): Growing<A> {
	let array = make(3 * 4096)
	let length = 0
	return {
		push(a, b, c) {
			if (length + 3 > array.length) {
				const larger = make(2 * array.length)
				larger.set(array)
				array = larger
			}
			array[length] = a
			array[length + 1] = b
			array[length + 2] = c
			length += 3
		},
		length: () => length,
		take: () => array.slice(0, length) as A,
	}
}

const SPACE = 32
const NEW_LINE = 10
const RETURN = 13
const MINUS = 45
const PLUS = 43
const POINT = 46
const ZERO = 48
const NINE = 57

/** A place in a text of bytes. Words are parted by spaces, tabs and line ends. */
export interface Cursor {
	at: number
	readonly end: number
	readonly bytes: Uint8Array
}

export const cursorOn = (bytes: Uint8Array, at = 0): Cursor => ({ bytes, at, end: bytes.length })

/** To the start of the next word; false at the end of the text. */
export function toWord(c: Cursor): boolean {
	while (c.at < c.end && c.bytes[c.at]! <= SPACE) c.at++
	return c.at < c.end
}

/** To the start of the next word on this line; false where the line ends first. */
export function toWordOnLine(c: Cursor): boolean {
	while (c.at < c.end) {
		const byte = c.bytes[c.at]!
		if (byte === NEW_LINE || byte === RETURN) return false
		if (byte > SPACE) return true
		c.at++
	}
	return false
}

export function skipLine(c: Cursor): void {
	while (c.at < c.end && c.bytes[c.at] !== NEW_LINE && c.bytes[c.at] !== RETURN) c.at++
	while (c.at < c.end && (c.bytes[c.at] === NEW_LINE || c.bytes[c.at] === RETURN)) c.at++
}

export function skipWord(c: Cursor): void {
	while (c.at < c.end && c.bytes[c.at]! > SPACE) c.at++
}

/** The word here, at most `most` letters of it, without moving past more than the word. */
export function takeWord(c: Cursor, most = 64): string {
	const from = c.at
	skipWord(c)
	let word = ''
	for (let i = from; i < Math.min(c.at, from + most); i++) word += String.fromCharCode(c.bytes[i]!)
	return word
}

/** Powers of ten that a double holds exactly. */
const TENS = Float64Array.from({ length: 23 }, (_, i) => 10 ** i)
/** A whole number of this many digits is exact in a double. */
const EXACT_DIGITS = 15

/**
 * The number here, correctly rounded; NaN when the word is none. Up to 15 digits and a power of ten up to 22 both are exact in a
 * double, so that one product or quotient rounds once (Clinger, How to read floating point numbers accurately, PLDI 1990);
 * anything longer is left to the language.
 */
export function takeNumber(c: Cursor): number {
	const { bytes, end } = c
	const from = c.at
	let i = from
	const sign = bytes[i]
	if (sign === MINUS || sign === PLUS) i++
	let whole = 0
	let digits = 0
	let shift = 0
	let seen = 0
	let byte = 0
	for (; i < end; i++) {
		byte = bytes[i]!
		if (byte < ZERO || byte > NINE) break
		seen++
		if (digits > 0 || byte !== ZERO) digits++
		whole = whole * 10 + (byte - ZERO)
	}
	if (i < end && bytes[i] === POINT) {
		for (i++; i < end; i++) {
			byte = bytes[i]!
			if (byte < ZERO || byte > NINE) break
			seen++
			if (digits > 0 || byte !== ZERO) digits++
			whole = whole * 10 + (byte - ZERO)
			shift--
		}
	}
	if (seen > 0 && i + 1 < end && (bytes[i] === 101 || bytes[i] === 69)) {
		let j = i + 1
		const down = bytes[j] === MINUS
		if (down || bytes[j] === PLUS) j++
		const first = j
		let exponent = 0
		for (; j < end && bytes[j]! >= ZERO && bytes[j]! <= NINE; j++) exponent = Math.min(9999, exponent * 10 + (bytes[j]! - ZERO))
		if (j > first) {
			shift += down ? -exponent : exponent
			i = j
		}
	}
	c.at = i
	if (seen === 0 || (i < end && bytes[i]! > SPACE)) {
		skipWord(c)
		return Number.NaN
	}
	if (digits > EXACT_DIGITS || shift > 22 || shift < -22) {
		let word = ''
		for (let k = from; k < i; k++) word += String.fromCharCode(bytes[k]!)
		return Number(word)
	}
	const value = shift < 0 ? whole / TENS[-shift]! : whole * TENS[shift]!
	return sign === MINUS ? -value : value
}
