import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { labelFaults } from '../../src/sheet/labelCheck.ts'
import type { Piece } from '../../src/template/piece.ts'
import { clashes, paths, words } from './printed.ts'

const root = new URL('../../', import.meta.url)
const files = [
	'fixtures/tarn-350/job.jsonc',
	...readdirSync(new URL('templates/', root))
		.filter((name) => name.endsWith('.jsonc'))
		.map((name) => `templates/${name}`),
]
const jobs = files.map((file) => {
	const job = loadJob(readFileSync(new URL(file, root), 'utf8'), file).value?.job
	if (!job) throw new Error(`${file} is no job`)
	const result = compute(job, defaultShop(), { until: 'pieces' })
	return [file, result.panels.flatMap((p) => p.pieces ?? [])] as const
})

describe.each(jobs)('the pieces of %s', (_, pieces: readonly Piece[]) => {
	test('carry number, side, arrow to the front and the face that is up', () => {
		expect(pieces.length).toBeGreaterThan(0)
		const lacking = pieces.flatMap((p) => {
			const said = words(p)
			const lacks = [
				...(new RegExp(`\\b${p.number}\\b`).test(said) ? [] : ['number']),
				...(said.includes(p.side) ? [] : ['side']),
				...(said.includes('FRONT') && paths(p.items).some((i) => i.title === 'to the front') ? [] : ['FRONT']),
				...(said.includes('this face up') ? [] : ['face']),
			]
			return lacks.length > 0 ? [`${p.number} ${p.id}: ${lacks.join(', ')}`] : []
		})
		expect(lacking).toEqual([])
	})

	test('have no label on another, on a line, or out of their bounds', () => {
		expect(pieces.flatMap((p) => labelFaults(p.items).map((f) => `${p.number}: "${f.text}" on ${f.on} ${f.other}`))).toEqual([])
		expect(pieces.flatMap(clashes)).toEqual([])
	})
})
