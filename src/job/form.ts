/** Finding one's way in a schema: which part of it speaks of a place, which of several forms was meant, what it asks for in words. */
import type { z } from 'zod'
import { lengthFields, rangeWords } from './lengthField.ts'
import { nearest } from './nearest.ts'
import type { Path } from './pointer.ts'
import { listed } from './say.ts'

export type Schema = z.core.$ZodType

type Shape = Readonly<Record<string, Schema>>

/** The schema without what makes it optional or gives it a value of its own. */
export function bare(schema: Schema): Schema {
	let inner = schema
	while (!isLength(inner)) {
		const { def } = inner._zod as { def: { type: string; innerType?: Schema; in?: Schema } }
		const next = def.type === 'pipe' ? def.in : def.innerType
		if (!next) break
		inner = next
	}
	return inner
}

export function isLength(schema: Schema): boolean {
	return lengthFields.has(schema as never)
}

/** The keys of an object's schema; nothing when it is not one. */
export function shapeOf(schema: Schema): Shape | undefined {
	const def = bare(schema)._zod.def as { type: string; shape?: Shape }
	return def.type === 'object' ? def.shape : undefined
}

/** The forms of a union; nothing when it is not one. */
export function formsOf(schema: Schema): { forms: readonly Schema[]; discriminator?: string } | undefined {
	const inner = bare(schema)
	if (isLength(inner)) return undefined
	const def = inner._zod.def as { type: string; options?: readonly Schema[]; discriminator?: string }
	return def.type === 'union' && def.options ? { forms: def.options, discriminator: def.discriminator } : undefined
}

export function needed(schema: Schema): boolean {
	return schema._zod.optin === undefined
}

/** What a person sees when they look at a value. */
export function kindOf(value: unknown): 'text' | 'number' | 'list' | 'object' | 'true or false' | 'null' {
	if (typeof value === 'string') return 'text'
	if (typeof value === 'number') return 'number'
	if (typeof value === 'boolean') return 'true or false'
	if (Array.isArray(value)) return 'list'
	return value === null || value === undefined ? 'null' : 'object'
}

function takes(schema: Schema, value: unknown): boolean {
	const inner = bare(schema)
	const kind = kindOf(value)
	if (isLength(inner)) return kind === 'number' || kind === 'text'
	const type = inner._zod.def.type
	if (kind === 'list') return type === 'array' || type === 'tuple'
	if (kind === 'text') return type === 'string' || type === 'enum' || type === 'literal'
	if (kind === 'true or false') return type === 'boolean'
	return type === kind
}

/**
 * Which of several forms a value was evidently meant to be: the only one of its type, or the one whose keys it has most of,
 * near misses counted half. Undefined where nothing tells.
 */
export function meantForm(schema: Schema, value: unknown): number | undefined {
	const { forms, discriminator } = formsOf(schema)!
	if (discriminator !== undefined && kindOf(value) === 'object') {
		const kind = (value as Record<string, unknown>)[discriminator]
		const index = forms.findIndex((form) => literalsOf(shapeOf(form)?.[discriminator]).includes(kind))
		if (index >= 0) return index
	}
	const likely = likelyForms(forms, value)
	return likely.length === 1 ? likely[0] : undefined
}

/** The forms that a value looks most like, whatever kind it says it is of; none where nothing tells. */
export function likelyForms(forms: readonly Schema[], value: unknown): number[] {
	const fitting = forms.map((form, index) => ({ form, index })).filter(({ form }) => takes(form, value))
	if (fitting.length < 2) return fitting.map(({ index }) => index)
	if (kindOf(value) !== 'object') return []
	const keys = Object.keys(value as object)
	const scored = fitting.map(({ form, index }) => ({ index, score: likeness(shapeOf(form) ?? {}, keys) }))
	const best = Math.max(...scored.map(({ score }) => score))
	return best > 0 ? scored.filter(({ score }) => score === best).map(({ index }) => index) : []
}

/** Points for keys that the form has, half for those that are near one; a little off for needed keys that are missing. */
function likeness(shape: Shape, keys: readonly string[]): number {
	const missing = Object.keys(shape).filter((key) => !keys.includes(key))
	let score = 0
	for (const key of keys) {
		if (Object.hasOwn(shape, key)) score += 4
		else score += nearest(key, missing) ? 2 : -2
	}
	return score - missing.filter((key) => needed(shape[key]!)).length
}

export function literalsOf(schema: Schema | undefined): readonly unknown[] {
	if (!schema) return []
	const def = bare(schema)._zod.def as { type: string; values?: readonly unknown[]; entries?: Record<string, unknown> }
	if (def.type === 'literal') return def.values ?? []
	return def.type === 'enum' ? Object.values(def.entries ?? {}) : []
}

/** The schema of a place, by way of the forms that the values there were meant to be; undefined where the way is lost. */
export function schemaAt(schema: Schema, path: Path, value: unknown): Schema | undefined {
	let here: Schema | undefined = schema
	let standing = value
	for (const key of path) {
		here = here && settled(here, standing)
		if (!here) return undefined
		const def = bare(here)._zod.def as { type: string; shape?: Shape; element?: Schema; items?: readonly Schema[] }
		here = def.type === 'object' ? ownOf(def.shape, key) : def.type === 'array' ? def.element : def.items?.[Number(key)]
		standing = childOf(standing, key)
	}
	return here
}

/** Not what an object has by birth, such as `constructor`. */
function ownOf(shape: Shape | undefined, key: string | number): Schema | undefined {
	return shape && Object.hasOwn(shape, key) ? shape[key] : undefined
}

/** A union's meant form (and so on inwards), any other schema itself. */
export function settled(schema: Schema, value: unknown): Schema | undefined {
	let here = schema
	// forms nest two deep at most in these formats
	for (let depth = 0; depth < 5; depth++) {
		const union = formsOf(here)
		if (!union) return here
		const index = meantForm(here, value)
		if (index === undefined) return undefined
		here = union.forms[index]!
	}
	return undefined
}

export function valueAt(value: unknown, path: Path): unknown {
	return path.reduce<unknown>(childOf, value)
}

function childOf(value: unknown, key: string | number): unknown {
	return value !== null && typeof value === 'object' ? (value as Record<string | number, unknown>)[key] : undefined
}

/** What the schema says of itself, without its full stop. */
export function aboutOf(schema: Schema): string | undefined {
	let inner = schema
	for (let depth = 0; depth < 10; depth++) {
		const about = descriptionOf(inner)
		if (about) return about.replace(/\.$/, '')
		const { def } = inner._zod as { def: { innerType?: Schema; in?: Schema } }
		const next = def.innerType ?? def.in
		if (!next) return undefined
		inner = next
	}
	return undefined
}

function descriptionOf(schema: Schema): string | undefined {
	return (schema as { description?: string }).description
}

/** What a schema asks for, in plain words: "a length greater than 0", "a list of ...", "one of "left" or "right"". */
export function wordsFor(schema: Schema): string {
	const inner = bare(schema)
	const range = lengthFields.get(inner as never)
	if (range) return `${rangeWords(range)} (a number, or a text such as "46.5 mm")`
	const union = formsOf(inner)
	if (union) return formWords(union.forms)
	const def = inner._zod.def as { type: string; shape?: Shape; items?: readonly Schema[] }
	switch (def.type) {
		case 'string':
			return 'a text in quote marks'
		case 'number':
			return 'a number'
		case 'boolean':
			return 'true or false'
		case 'array':
			return 'a list [ ... ]'
		case 'tuple':
			return `a list of ${def.items?.length ?? 0}`
		case 'enum':
		case 'literal':
			return listed(literalsOf(inner).map((word) => JSON.stringify(word)))
		case 'object':
			return `an object { ... } with ${listed(ownKeys(def.shape ?? {}), 'and')}`
	}
	return 'something else'
}

function formWords(forms: readonly Schema[]): string {
	const shapes = forms.map(shapeOf).filter((shape) => shape !== undefined)
	const others = forms.filter((form) => !shapeOf(form)).map(wordsFor)
	const objects = shapes.map((shape) => `with ${listed(ownKeys(shape), 'and')}`)
	return listed([...new Set(others), ...(objects.length > 0 ? [`an object { ... } ${listed(objects)}`] : [])])
}

/** The keys that tell an object apart: those it cannot be without, or the first of those it may have. */
function ownKeys(shape: Shape): string[] {
	const must = Object.keys(shape).filter((key) => needed(shape[key]!))
	return must.length > 0 ? must : Object.keys(shape).slice(0, 3)
}
