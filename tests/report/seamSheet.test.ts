import { describe, expect, test } from 'vitest'
import type { Drawing, Item, TextItem } from '../../src/drawing/drawing.ts'
import { compute } from '../../src/engine/compute.ts'
import { seamCheck } from '../../src/engine/seamCheck.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { checkSheet } from '../../src/report/checkSheet.ts'
import { resultJson } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { summary } from '../../src/report/summary.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { jobOf } from '../scheme/jobs.ts'

type PanelInput = JobInput['panels'][number]

const A4 = findPaper('A4').value as Paper
const MARGINS = { left: 15, right: 15, top: 15, bottom: 15 }
const DEG = Math.PI / 180
/** The tank ends at station 200, the seat begins at station 0 over a shut line of 5 mm. */
const RIM = 200
const GAP = 5
const mm = (x: number) => `${x} mm`

/** Straight lines on both sides: on the tank through girth `at[0]` at its rim, under so many degrees outward; on the seat through `at[1]`. */
function resultOf({
	at = [50, 50.4],
	deg = [6, 6],
	tie = {},
	unit = 'mm',
	past = -10,
}: {
	readonly at?: readonly [number, number]
	readonly deg?: readonly [number, number]
	readonly tie?: object | null
	readonly unit?: 'mm' | 'in'
	/** from the rims to the marks nearest them: negative short of them */
	readonly past?: number
}) {
	const half = (i: 0 | 1, stations: readonly number[], rim: number): Partial<PanelInput> => ({
		...{ id: i === 0 ? 'tank' : 'seat', title: i === 0 ? 'Tank' : 'Seat unit', hand: 'centre', found: { kind: 'flat' } },
		datums: (['left', 'right'] as const).map((side) => ({ id: `${side}-bolt`, station: mm(rim), girth: mm(90), side })),
		readings: (['left', 'right'] as const).flatMap((side) =>
			stations.map((station, k) => {
				const girth = (at[i] as number) + (station - rim) * Math.tan((deg[i] as number) * DEG)
				return { ...{ kind: 'square' as const, mark: `m${k + 1}`, station: mm(station), girth: mm(girth), side } }
			}),
		),
		edges: [
			{ id: 'line', what: 'gold line', through: ['m1', 'm2'].map((mark) => ({ mark, by: 'pulled' as const, tolerance: mm(2) })) },
		],
		stripes: [{ id: 'coach', what: 'coach line', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: mm(8) }] }],
	})
	const seams = [
		{
			...{ with: 'seat', gap: mm(GAP), proud: { panel: 'seat', by: mm(2) }, ...(tie ? { tie } : {}) },
			datums: [
				['left-bolt', 'left-bolt'],
				['right-bolt', 'right-bolt'],
			] as [string, string][],
			lines: [['line', 'line']] as [string, string][],
		},
	]
	const job = jobOf([{ ...half(0, [-100, RIM + past], RIM), seams }, half(1, [-past, 300], 0)], { unit })
	return compute(job, defaultShop(), { until: 'pieces' })
}

const texts = (items: readonly Item[]): readonly TextItem[] =>
	items.flatMap((item) => (item.kind === 'text' ? [item] : item.kind === 'group' ? texts(item.items) : []))
const wordsOf = (pages: readonly Drawing[]) => pages.flatMap(({ items }) => texts(items).map(({ text }) => text))
const seamPage = (result: ReturnType<typeof resultOf>) => checkSheet(result, A4, MARGINS).slice(-1)

// Flat panels and straight lines: every figure in closed form.
describe('the check of a seam on the assembled vehicle', () => {
	test('says where each line comes to either rim, and how far it may lie off a rule over the gap', () => {
		const result = resultOf({ at: [50, 51], deg: [6, 6.5], tie: null, past: 15 })
		const check = seamCheck(result.job, result.seams![0]!, result.panels)!
		expect(check.datums.map(({ alongMm, names }) => [Math.round(alongMm), ...names])).toEqual([
			[0, 'left-bolt', 'left-bolt'],
			[180, 'right-bolt', 'right-bolt'],
		])
		const rows = check.rows.filter(({ side, name }) => side === 'right' && name === 'coach line, inner edge')
		expect(rows).toHaveLength(1)
		const [row] = rows
		expect(row?.alongMm).toEqual([expect.closeTo(140, 3), expect.closeTo(141, 3)])
		// In the frame of the tank: the rule goes on through (205, 50 + 5 tan 6) and 60 mm of the seat's line beyond that rim.
		const off = (station: number, girth: number) => (girth - 50 - (station - RIM) * Math.tan(6 * DEG)) * Math.cos(6 * DEG)
		expect(row?.offRuleMm[0]).toBeCloseTo(off(RIM + GAP, 51), 3)
		const [ds, dg] = [60 * Math.cos(6.5 * DEG), 60 * Math.sin(6.5 * DEG)]
		expect(row?.offRuleMm[1]).toBeCloseTo(off(RIM + GAP + ds, 51 + dg), 3)
		// Its mirror image lies as far off towards the other datum.
		const left = check.rows.find(({ side, name }) => side === 'left' && name === 'coach line, inner edge')
		expect(left?.offRuleMm[0]).toBeCloseTo(-(row?.offRuleMm[0] as number), 6)
		expect((left?.angleDeg as number) + (row?.angleDeg as number)).toBeCloseTo(180, 6)
	})

	test('lines that were tied lie along the rule at the rim', () => {
		const result = resultOf({ at: [50, 51 + 5 * Math.tan(6 * DEG)] })
		expect(result.problems.filter(({ code }) => code.startsWith('SEAM'))).toEqual([])
		const check = seamCheck(result.job, result.seams![0]!, result.panels)!
		expect(check.rows.length).toBeGreaterThanOrEqual(4)
		// The rule lies on two places of a line that bends by half a millimetre over its last 150 mm.
		for (const { offRuleMm } of check.rows) expect(Math.abs(offRuleMm[0] as number)).toBeLessThan(0.06)
	})

	test('has LEFT and RIGHT apart, the plan in grey, a picture with the ticks, and what the lines gave', () => {
		const result = resultOf({})
		const said = wordsOf(seamPage(result))
		for (const words of ['Check sheet: seam A, Tank to Seat unit', 'LEFT', 'RIGHT', 'Tank', 'Seat unit', 'left-bolt', 'A1a']) {
			expect(said).toContain(words)
		}
		const whole = said.join(' ')
		expect(whole).toContain('the shut line set to 5.0 mm at both ends')
		expect(whole).toContain('Seat unit stands 2.0 mm higher')
		expect(whole).toMatch(/gold line on Tank, left and right: moves 0\.06 mm inward at its rear end, over its last \d+ mm/)
		// On the tank 0.2 of the 0.4 mm that is missing, less what 6 degrees over the gap ask for.
		const along = 90 + 50 + (50.4 - 50 - GAP * Math.tan(6 * DEG)) / 2
		expect(said).toContain((Math.round(along * 10) / 10).toFixed(1).replace(/\.0$/, ''))
	})

	test('in an inch job speaks of inches alone, and keeps inside its margins', () => {
		const pages = seamPage(resultOf({ unit: 'in' }))
		expect(wordsOf(pages).filter((text) => /\bmm\b/.test(text))).toEqual([])
		expect(wordsOf(pages)).toContain('along its rim, in')
		for (const page of pages) {
			for (const { at } of texts(page.items)) {
				expect(at.x).toBeGreaterThanOrEqual(MARGINS.left - 0.01)
				expect(at.x).toBeLessThanOrEqual(page.widthMm - MARGINS.right + 0.01)
				expect(at.y).toBeGreaterThanOrEqual(MARGINS.bottom - 0.01)
			}
		}
	})

	test('what was shared stands in the result and in the summary', () => {
		const result = resultOf({ at: [50, 51 + 5 * Math.tan(6 * DEG)] })
		const data = resultSchema.parse(JSON.parse(resultJson(result)))
		const [seam] = data.seams ?? []
		expect(seam).toMatchObject({ shutLineMm: GAP, proud: { panel: 'seat', byMm: 2 } })
		expect(seam?.meetings).toHaveLength(2)
		for (const { tied, sides } of seam?.meetings ?? []) {
			expect(tied?.stepMm).toBeCloseTo(1, 3)
			const out = sides[0] === 'right' ? 0.5 : -0.5
			expect(tied?.gave.map(({ alongMm }) => alongMm)).toEqual([expect.closeTo(out, 3), expect.closeTo(-out, 3)])
			expect(tied?.gave.map(({ way, end }) => [way, end])).toEqual([
				['outward', 'rear'],
				['inward', 'front'],
			])
		}
		expect(summary(result)).toMatch(
			/gold line on Tank, left and right: moves 0\.5 mm outward at its rear end, over its last \d+ mm/,
		)
		expect(summary(result)).toMatch(
			/gold line on Seat unit, left and right: moves 0\.5 mm inward at its front end, over its first \d+ mm/,
		)
	})
})
