/** The unit of a job changed, and not one length with it: figures that leaned on the old unit say it from then on. */
import { applyEdits, type Edit, findNodeAtLocation, getNodeValue, parseTree } from 'jsonc-parser'
import type { z } from 'zod'
import { lengthFields } from '../job/lengthField.ts'
import { loadJob } from '../job/load.ts'
import { jobSchema } from '../job/schema.ts'
import { readLength, type Unit } from '../units/length.ts'
import type { Path } from './document.ts'

/**
 * The text of a job with another unit. A figure without a unit is written with the old one ("46.5 mm"), so that nothing is rounded; a
 * figure that says the new one is written plain; all else stays as it was typed, remarks and layout too. Undefined where the text
 * is no job: which of its figures are lengths cannot be told then.
 */
export function withUnit(text: string, unit: Unit): string | undefined {
	const loaded = loadJob(text).value
	const root = parseTree(text, [], { allowTrailingComma: true })
	if (!loaded || !root) return undefined
	const { unit: old } = loaded
	if (unit === old) return text
	const edits: Edit[] = lengthPaths(jobSchema(old), getNodeValue(root)).flatMap((path) => {
		const node = findNodeAtLocation(root, [...path])
		const written = node && lengthIn(node.value, old, unit)
		return node && written !== undefined ? [replacing(node, JSON.stringify(written))] : []
	})
	const said = findNodeAtLocation(root, ['unit'])
	if (!said) return undefined
	return applyEdits(text, [...edits, replacing(said, JSON.stringify(unit))])
}

const replacing = ({ offset, length }: { readonly offset: number; readonly length: number }, content: string): Edit => ({
	...{ offset, length, content },
})

const OTHER: Readonly<Record<Unit, Unit>> = { mm: 'in', in: 'mm' }

/** A length as a job in another unit has it; undefined where it stays as it is written. */
export function lengthIn(value: unknown, old: Unit, unit: Unit): number | string | undefined {
	if (typeof value !== 'number' && typeof value !== 'string') return undefined
	const own = saidIn(value, unit)
	if (own !== undefined) return own
	const here = readLength(value, old)
	const there = readLength(value, OTHER[old])
	// a text with its own unit, or 0, is as long in either
	if (!here.ok || (there.ok && there.mm === here.mm)) return undefined
	const written = `${String(value).trim()} ${old}`
	const again = readLength(written, unit)
	// a figure such as 1e-7, that no one writes with a unit
	return again.ok && again.mm === here.mm ? written : `${here.mm.toFixed(7)} mm`
}

/** "46.5 mm" as the plain figure of a job in mm. */
function saidIn(value: number | string, unit: Unit): number | undefined {
	const [, figures] = typeof value === 'string' ? (/^(-?\d+(?:\.\d+)?) (?:mm|in)$/.exec(value) ?? []) : []
	return figures !== undefined && value === `${Number(figures)} ${unit}` ? Number(figures) : undefined
}

/** Where in a value a schema has lengths. Of several forms that a value may have it is the first that takes it. */
function lengthPaths(schema: z.core.$ZodType, value: unknown, at: Path = []): readonly Path[] {
	if (value === undefined) return []
	if (lengthFields.has(schema as never)) return [at]
	const { def } = schema._zod as unknown as { readonly def: Def }
	switch (def.type) {
		case 'object':
			return Object.entries(def.shape ?? {}).flatMap(([key, inner]) =>
				lengthPaths(inner, (value as Readonly<Record<string, unknown>>)[key], [...at, key]),
			)
		case 'array':
			return (value as readonly unknown[]).flatMap((one, i) => (def.element ? lengthPaths(def.element, one, [...at, i]) : []))
		case 'tuple':
			return (def.items ?? []).flatMap((inner, i) => lengthPaths(inner, (value as readonly unknown[])[i], [...at, i]))
		case 'union': {
			const form = def.options?.find((one) => (one as z.ZodType).safeParse(value).success)
			return form ? lengthPaths(form, value, at) : []
		}
		default:
			return def.innerType ? lengthPaths(def.innerType, value, at) : []
	}
}

/** What this file asks of a schema's definition. */
interface Def {
	readonly type: string
	readonly shape?: Readonly<Record<string, z.core.$ZodType>>
	readonly element?: z.core.$ZodType
	readonly items?: readonly z.core.$ZodType[]
	readonly options?: readonly z.core.$ZodType[]
	readonly innerType?: z.core.$ZodType
}
