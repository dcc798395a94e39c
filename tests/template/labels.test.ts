import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { labelFaults } from '../../src/sheet/labelCheck.ts'
import type { Piece } from '../../src/template/piece.ts'
import { jobFiles } from './jobFiles.ts'
import { clashes, paths, words } from './printed.ts'

const jobs = jobFiles.map(([file, job]) => {
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
