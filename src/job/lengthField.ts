/** A length in a schema: a number in the file's unit or a text with its own, mm once it is read. */
import { z } from 'zod'
import { readLength, type Unit } from '../units/length.ts'

/** What the schema of a length allows; for the words of problems and the schema for editors. */
export interface LengthRange {
	readonly least?: { readonly above: number } | { readonly from: number }
}

/** Every schema that `lengths` made. */
export const lengthFields = z.registry<LengthRange>()

/** What a length that could not be taken carries in its issue. */
export type LengthIssue =
	| { readonly kind: 'unreadable'; readonly found: string; readonly expected: string; readonly fix: string }
	| { readonly kind: 'too-small'; readonly found: string; readonly expected: string }

export function lengths(unit: Unit) {
	const of = (about: string, range: LengthRange) => {
		const { least } = range
		const field = z
			.union([z.number(), z.string()])
			.describe(about)
			.transform((value, ctx) => {
				const refuse = (issue: LengthIssue) => {
					ctx.addIssue({ code: 'custom', message: issue.expected, params: { length: issue } })
					return z.NEVER
				}
				const answer = readLength(value, unit)
				if (!answer.ok) return refuse({ kind: 'unreadable', found: answer.found, expected: answer.expected, fix: answer.fix })
				const small = least && ('above' in least ? !(answer.mm > least.above) : !(answer.mm >= least.from))
				return small ? refuse({ kind: 'too-small', found: JSON.stringify(value), expected: rangeWords(range) }) : answer.mm
			})
		field.register(lengthFields, range)
		return field
	}
	return {
		any: (about: string) => of(about, {}),
		notNegative: (about: string) => of(about, { least: { from: 0 } }),
		positive: (about: string) => of(about, { least: { above: 0 } }),
	}
}

export function rangeWords({ least }: LengthRange): string {
	if (!least) return 'a length'
	return 'above' in least ? `a length greater than ${least.above}` : `a length of ${least.from} or more`
}
