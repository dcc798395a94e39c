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
		expect(text).toMatch(/"anyOf": \[\s+\{\s+"type": "number"\s+\},\s+\{\s+"type": "string"/)
	})

	test('fills in no length, which would be in another unit in half of the files', () => {
		expect(text).not.toMatch(/"default": -?\d/)
	})
})
