import { describe, expect, test } from 'vitest'
import type { Drawing, Item, TextItem } from '../../src/drawing/drawing.ts'
import { compute } from '../../src/engine/compute.ts'
import { checksFor } from '../../src/engine/taped.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { checkSheet } from '../../src/report/checkSheet.ts'
import { sidesReport } from '../../src/report/sidesReport.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'

const A4 = findPaper('A4').value as Paper
const MARGINS = { left: 15, right: 15, top: 15, bottom: 15 }

function resultOf(unit: 'mm' | 'in', checks: object[] = []) {
	const mm = (x: number) => `${x} mm`
	const readings = (['left', 'right'] as const).flatMap((side) =>
		[70, 88, 99, 95].map((girth, i) => ({
			...{ kind: 'square', mark: `m${i + 1}`, station: mm(150 * i), girth: mm(side === 'left' ? girth : girth + 0.5), side },
		})),
	)
	const job = {
		format: 1,
		title: 'Taped',
		unit,
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				...{ id: 'lid', title: 'Lid', hand: 'centre', found: { kind: 'flat' }, datums: [{ id: 'nose', station: 0 }], readings },
				edges: [{ id: 'line', through: ['m1', 'm2', 'm3', 'm4'] }],
				stripes: [{ id: 'coach', what: 'coach line', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: mm(8) }] }],
				checks,
			},
		],
	}
	const loaded = loadJob(JSON.stringify(job), 'job.json')
	if (!loaded.value) throw new Error(JSON.stringify(loaded.problems))
	return compute(loaded.value.job, defaultShop(), { until: 'pieces' })
}

const texts = (items: readonly Item[]): readonly TextItem[] =>
	items.flatMap((item) => (item.kind === 'text' ? [item] : item.kind === 'group' ? texts(item.items) : []))
const wordsOf = (pages: readonly Drawing[]) => pages.flatMap(({ items }) => texts(items).map(({ text }) => text))

describe('a check sheet', () => {
	test('has a row for each station that tells most, with the plan beside its blank', () => {
		const result = resultOf('mm')
		const panel = result.panels[0]
		if (!panel) throw new Error('no panel')
		const checks = checksFor(panel)
		expect(checks.length).toBeGreaterThan(0)
		const said = wordsOf(checkSheet(result, A4, MARGINS))
		expect(said).toContain('Check sheet: Lid')
		for (const { line, places } of checks) {
			expect(said.some((text) => text.startsWith(`${line}: `))).toBe(true)
			for (const { station, girth } of places) {
				expect(said).toContain(String(Math.round(station * 100) / 100))
				expect(said).toContain(girth.toFixed(1))
			}
		}
	})

	test('in an inch job speaks of inches alone', () => {
		const said = wordsOf(checkSheet(resultOf('in'), A4, MARGINS))
		expect(said).toContain('station, in')
		expect(said.filter((text) => /\bmm\b/.test(text))).toEqual([])
	})

	test('keeps inside its margins', () => {
		for (const page of checkSheet(resultOf('mm'), A4, MARGINS)) {
			for (const { at } of texts(page.items)) {
				expect(at.x).toBeGreaterThanOrEqual(MARGINS.left - 0.01)
				expect(at.x).toBeLessThanOrEqual(page.widthMm - MARGINS.right + 0.01)
				expect(at.y).toBeGreaterThanOrEqual(MARGINS.bottom - 0.01)
				expect(at.y).toBeLessThanOrEqual(page.heightMm - MARGINS.top + 0.01)
			}
		}
	})
})

test('the side report says of a line taped 3 mm too far out at its rear end where to lay it again', () => {
	const plan = checksFor(resultOf('mm').panels[0]!).find(({ line, side }) => line === 'coach inner' && side === 'right')
	if (!plan) throw new Error('no line to check')
	const checks = plan.places.map(({ station, girth }, i) => ({
		...{ line: 'coach inner', side: 'right', station: `${station} mm` },
		girth: `${girth + (i === plan.places.length - 1 ? 3 : 0)} mm`,
	}))
	const said = wordsOf(sidesReport(resultOf('mm', checks), A4, MARGINS)).join(' ')
	expect(said).toContain('Both sides: Lid')
	expect(said).toContain('Left and right')
	expect(said).toContain('As taped')
	expect(said).toMatch(/coach line, inner edge, right side, rear end: 3\.0 mm too far out; move it in/)
})
