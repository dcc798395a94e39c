/** What a cell of a form takes and how it is read: the text that is shown for a value, and the value that a text stands for. */
import type { Unit } from '../units/length.ts'
import { typedLength } from './ledger.ts'

/** A key, or a few from the outside in. */
export type Key = string | number | readonly (string | number)[]

interface Common {
	readonly key: Key
	readonly says: string
	/** said below it, where that helps */
	readonly hint?: string
}
export type Cell = Common &
	(
		| { readonly kind: 'words'; readonly must?: boolean; readonly long?: boolean }
		/** names of things, from the job file: small letters, figures and hyphens; `known` is offered */
		| { readonly kind: 'name'; readonly known?: readonly string[]; readonly must?: boolean }
		| { readonly kind: 'length'; readonly must?: boolean; readonly sign?: 'positive' | 'not-negative'; readonly unsaid?: string }
		/** several lengths in one cell */
		| { readonly kind: 'lengths'; readonly must?: boolean }
		/** a plain figure: degrees, coordinates of a scan */
		| { readonly kind: 'figure'; readonly must?: boolean }
		| {
				readonly kind: 'choice'
				/** value and words of each */
				readonly of: readonly (readonly [value: string, words: string])[]
				/** words for nothing said; absent where something must be */
				readonly unsaid?: string
		  }
		| { readonly kind: 'yes'; readonly unsaid: boolean }
		| { readonly kind: 'colour' }
	)

export type CellAnswer = { readonly value: unknown } | { readonly why: string }

export const keysOf = (key: Key): readonly (string | number)[] => (typeof key === 'object' ? key : [key])

/** The value at a key of an entry; undefined where there is none. */
export function valueAt(entry: unknown, key: Key): unknown {
	return keysOf(key).reduce<unknown>(
		(at, k) => (typeof at === 'object' && at !== null ? (at as Readonly<Record<string | number, unknown>>)[k] : undefined),
		entry,
	)
}

/** What stands in the cell. */
export function shownOf(cell: Cell, value: unknown): string {
	if (value === undefined || value === null) return ''
	if (cell.kind === 'lengths' && Array.isArray(value)) return value.map(String).join('; ')
	return typeof value === 'object' ? JSON.stringify(value) : String(value)
}

const NAME = /^((left|right)\/)?[a-z][a-z0-9-]*$/
const NAME_FORM = 'small letters, figures and hyphens, starting with a letter'

/** What a text stands for; an empty one for nothing, where nothing need be said. */
export function readCell(cell: Cell, text: string, unit: Unit): CellAnswer {
	const plain = text.trim()
	const must = 'must' in cell && cell.must === true
	if (plain === '') return must ? { why: `${cell.says} is missing` } : { value: undefined }
	switch (cell.kind) {
		case 'length': {
			const length = typedLength(plain, unit)
			if ('why' in length) return length
			if (cell.sign === 'positive' && length.mm <= 0) return { why: `${cell.says} is more than 0` }
			if (cell.sign === 'not-negative' && length.mm < 0) return { why: `${cell.says} is not below 0` }
			return { value: length.value }
		}
		case 'lengths':
			return typedLengths(plain, unit)
		case 'figure': {
			const figure = Number(plain.replace(',', '.'))
			return Number.isFinite(figure) ? { value: figure } : { why: 'a figure, such as 60' }
		}
		case 'name':
			return NAME.test(plain) ? { value: plain } : { why: NAME_FORM }
		case 'words':
			return { value: text }
		default:
			return { value: plain }
	}
}

/** Several lengths: with semicolons between them, or spaces where none of them has a fraction or a unit. */
export function typedLengths(text: string, unit: Unit): CellAnswer {
	const by = text.includes(';') || /[a-z"'/]/i.test(text) ? /;/ : /\s+/
	const lengths = text
		.split(by)
		.map((one) => one.trim())
		.filter((one) => one !== '')
		.map((one) => typedLength(one, unit))
	const wrong = lengths.find((one) => 'why' in one)
	if (wrong && 'why' in wrong) return wrong
	return { value: lengths.map((one) => ('value' in one ? one.value : undefined)) }
}

/** Keys of an entry that none of the cells stands for: shown as they are. */
export function unshownKeys(entry: unknown, shown: readonly Key[]): readonly string[] {
	if (typeof entry !== 'object' || entry === null || Array.isArray(entry)) return []
	const own = new Set(shown.map((key) => String(keysOf(key)[0])))
	return Object.keys(entry).filter((key) => !own.has(key))
}
