import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { schemaFiles } from '../../src/job/jsonSchema.ts'

describe.each(schemaFiles())('$path', ({ path, text }) => {
	test('is fresh (npx tsx scripts/schema.ts writes it)', () => {
		expect(readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')).toBe(text)
	})

	test('refuses unknown keys and describes lengths as numbers or texts', () => {
		const schema = JSON.parse(text)
		expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema')
		expect(schema.additionalProperties).toBe(false)
		expect(lengthsIn(schema).length).toBeGreaterThan(5)
	})

	test('fills in no length, which would be in another unit in half of the files', () => {
		for (const length of lengthsIn(JSON.parse(text))) expect(length).not.toHaveProperty('default')
	})
})

/** Every part of a schema that takes a number or a text. */
function lengthsIn(schema: unknown): object[] {
	if (schema === null || typeof schema !== 'object') return []
	const own = 'type' in schema && JSON.stringify(schema.type) === '["number","string"]' ? [schema] : []
	return [...own, ...Object.values(schema).flatMap(lengthsIn)]
}
