/** The description of the format, against the format. */
import { readFileSync } from 'node:fs'
import { type ParseError, parse } from 'jsonc-parser'
import { describe, expect, test } from 'vitest'
import { crossCheck } from '../../src/job/crossCheck.ts'
import { readCsv } from '../../src/job/csv.ts'
import { schemaFiles } from '../../src/job/jsonSchema.ts'
import { loadJob } from '../../src/job/load.ts'
import { loadShop } from '../../src/job/loadShop.ts'
import { JOB_STEPS } from '../../src/job/migrate.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

const page = readFileSync(new URL('../../docs/job-format.md', import.meta.url), 'utf8')
const blocks = [...page.matchAll(/```(jsonc|csv)\n([\s\S]*?)```/g)].map(([, kind, text]) => ({ kind, text: text! }))
const whole = blocks.filter(({ kind, text }) => kind === 'jsonc' && text.startsWith('{'))
const parts = blocks.filter(({ kind, text }) => kind === 'jsonc' && !text.startsWith('{'))

test('the whole job loads and holds together', () => {
	const { value, problems } = loadJob(whole[0]!.text)
	expect(problems).toEqual([])
	expect(crossCheck(value!.job)).toEqual([])
})

test('the shop file loads', () => {
	expect(loadShop(whole[1]!.text).problems).toEqual([])
	expect(whole).toHaveLength(2)
})

/** What the parts refer to. */
const DATUMS =
	'"datums": [{ "id": "front-bolt", "station": 0 }, { "id": "rear-bolt", "station": 250 }, { "id": "seam", "station": 210 }]'
const READINGS = `"readings": [${['u1', 'u2', 'u3', 'u4']
	.map((mark, i) => `{ "kind": "square", "mark": "${mark}", "station": ${60 * (i + 1)}, "girth": 46.5, "side": "left" }`)
	.join(', ')}]`
const EDGES = '"edges": [{ "id": "upper", "through": ["u1", "u2"] }, { "id": "lower", "through": ["u2", "u3"] }]'
const STRIPES = '"stripes": [{ "id": "s", "edge": "upper", "lay": "centred", "bands": [{ "paint": "gold", "width": 3 }] }]'
const OUTLINE = '"outline": { "points": ["u1", "u2", "u3"] }'
const FOUND = '"found": { "kind": "flat" }'
const ARTWORK = `"artwork": [${['name', 'wing']
	.map((id) => `{ "id": "${id}", "shape": { "kind": "ellipse", "width": 60, "height": 12 } }`)
	.join(', ')}], `
/** A panel that meets the one described. */
const NOSE = `{ "id": "nose", "hand": "centre", ${FOUND}, "datums": [{ "id": "left-ear", "station": 0 }, { "id": "right-ear", "station": 250 }], ${READINGS}, ${EDGES} }`

describe('each part of a job stands as it is described', () => {
	test.each(parts.map(({ text }) => [text.split('\n')[0]!, text]))('%s', (_, text) => {
		const errors: ParseError[] = []
		const keys = Object.keys(parse(`{ ${text} }`, errors, { allowTrailingComma: true }))
		expect(errors).toEqual([])
		const inStripe = keys.includes('bands')
		const part = inStripe ? STRIPES.replace(/"bands".*\]/, `${text.trim()} }]`).replace(/\}\] \}\]$/, '}] }]') : text.trim()
		const others = [FOUND, DATUMS, READINGS, EDGES, OUTLINE].filter((other) => !keys.includes(/"(\w+)"/.exec(other)![1]!))
		const paints =
			'{ "id": "gold", "name": "Gold", "colour": "#c9a227" }, { "id": "green", "name": "Green", "colour": "#1f6b4f" }'
		// A ring is a panel of one side.
		const ofOneSide = text.includes('"towards": "above"') || text.includes('"closed": true')
		const rest = ofOneSide ? others.map((other) => other.replaceAll('"side": "left"', '"side": "above"')) : others
		const panel = `{ "id": "p", "hand": "${ofOneSide ? 'left' : 'centre'}", ${[part, ...rest].join(', ')} }`
		// What belongs to the whole job stands beside its panels.
		const onTop = keys.includes('paintwork') || keys.includes('artwork')
		const tank = `{ "id": "tank", "hand": "centre", ${FOUND} }`
		const job = onTop
			? `{ "format": 1, "title": "x", "unit": "mm", ${keys.includes('paints') ? '' : '"paints": [], '}${part.replace(/,$/, '')}, "panels": [${tank}] }`
			: `{ "format": 1, "title": "x", "unit": "mm", "paints": [${paints}], ${keys.includes('decals') ? ARTWORK : ''}"panels": [${panel}, ${NOSE}] }`
		const { value, problems } = loadJob(job)
		expect(problems).toEqual([])
		expect(crossCheck(value!.job)).toEqual([])
	})
})

test('the table of readings is read', () => {
	const { value, problems } = readCsv(blocks.find(({ kind }) => kind === 'csv')!.text, { unit: 'mm' })
	expect(problems).toEqual([])
	expect(value?.readings).toHaveLength(5)
})

test('every key of both files is described', () => {
	const keys = new Set<string>()
	const walk = (schema: unknown) => {
		if (schema === null || typeof schema !== 'object') return
		if ('properties' in schema) for (const key of Object.keys(schema.properties as object)) keys.add(key)
		Object.values(schema).forEach(walk)
	}
	for (const { text } of schemaFiles()) walk(JSON.parse(text))
	expect([...keys].filter((key) => !page.includes(`\`${key}\``) && !page.includes(`"${key}"`))).toEqual([])
})

test('every word that a key may have is named', () => {
	const words = new Set<string>()
	const walk = (schema: unknown) => {
		if (schema === null || typeof schema !== 'object') return
		if ('enum' in schema) for (const word of schema.enum as unknown[]) words.add(String(word))
		if ('const' in schema) words.add(String(schema.const))
		Object.values(schema).forEach(walk)
	}
	for (const { text } of schemaFiles()) walk(JSON.parse(text))
	expect([...words].filter((word) => !page.includes(`\`${word}\``) && !page.includes(`"${word}"`))).toEqual([])
})

test('every change of the format is listed, and every usual instrument with its figure', () => {
	for (const { from, what } of JOB_STEPS) expect(page).toMatch(new RegExp(`\\| ${from} .*\\| ${what.replaceAll('`', '`')} \\|`))
	for (const { id, sd } of defaultShop().instruments) expect(page).toContain(`| \`${id}\` | ${sd} mm |`)
})
