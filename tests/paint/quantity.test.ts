/** Quantities against published spreading rates, areas in closed form, and usual films from memory. */
import { expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import type { ChartRegion } from '../../src/chart/point.ts'
import type { Paint, Paintwork } from '../../src/job/schema.ts'
import { paintsNotLaid } from '../../src/paint/notLaid.ts'
import { cupsFor, needMl, quantitiesOf, spreadM2PerL } from '../../src/paint/quantity.ts'
import { paintSystem, paintSystems } from '../../src/paint/system.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { coneChart } from '../../src/panel/rolled.ts'
import { sphere } from '../chart/panels.ts'
import { jobOf } from '../scheme/jobs.ts'

const spraying = { transfer: 0.4, allowance: 0.15 }
const paint = (id: string, sprayed: Partial<NonNullable<Paint['sprayed']>> = {}): Paint => ({
	...{ id, name: id, colour: '#445566', sprayed: { as: 'colour', ...sprayed } },
})

test('a litre goes as far as trade sheets of coatings say', () => {
	// Theoretical spreading rate, coating trade sheets: 65 % at 125 um is 5.2 m2/L, 50 % at 50 um is 10.0.
	expect(spreadM2PerL(65, 125)).toBeCloseTo(5.2, 9)
	expect(spreadM2PerL(50, 50)).toBeCloseTo(10, 9)
	const system = paintSystem({ paint: paint('primer', { volumeSolids: 65, transfer: 0.5, allowance: 0.2 }), spraying })
	// 5.2 m2 need a litre on the panel, two from the gun, and a fifth more in the cup.
	expect(needMl(5.2e6, 125, system)).toBeCloseTo(2400, 6)
})

test('paint on a zone of a sphere, from its area in closed form', () => {
	// Archimedes: a zone of height h has 2 pi R h; between +-80 mm of girth off a great circle h is 2 R sin(80 / R).
	const [R, g] = [150, 80]
	const chart = sphere(R)
	const [s0, s1] = [-100, 100]
	const region: ChartRegion = [
		[
			{ s: s0, g: -g },
			{ s: s1, g: -g },
			{ s: s1, g },
			{ s: s0, g },
		],
	]
	const zone = 2 * Math.PI * R * 2 * R * Math.sin(g / R) * ((s1 - s0) / (2 * Math.PI * R))
	const mm2 = area(chart, region)
	expect(mm2 / zone).toBeCloseTo(1, 9)
	const systems = paintSystems([paint('red', { coats: 3, filmUm: 8, volumeSolids: 20 })], spraying)
	const { stages } = quantitiesOf([{ panel: 'ball', hand: 'centre', stage: 1, paint: 'red', areaMm2: mm2 }], systems, 100)
	const litres = ((zone / 1e6) * 3 * 8) / (10 * 20)
	expect(stages[0]?.ml).toBeCloseTo((litres * 1000 * 1.15) / 0.4, 6)
	expect(stages[0]?.mlPerCoat).toHaveLength(3)
})

test('a frustum has the area that a sheet-metal drafting text gives', () => {
	// Public-domain text of 1921, inputs read, results calculated: diameters 6 and 3 in, altitude 3 in: 160.997 deg, 47.417 in2.
	const inch = 25.4
	const slant = Math.hypot(3, 1.5)
	const cone = { frontDiameter: 3 * inch, rearDiameter: 6 * inch, slant: slant * inch }
	const chart = coneChart(panelFrame('cone', 'centre'), cone, 0)
	expect(chart.developable).toBe(true)
	// On the cone laid flat the baseline is a radius: a sector from 3.3541 to 6.7082 in, 80.4985 degrees to each side.
	const half = (160.997 / 2) * (Math.PI / 180)
	const arc = (r: number, from: number, to: number) =>
		Array.from({ length: 2001 }, (_, i) => {
			const angle = from + ((to - from) * i) / 2000
			return { s: (r * Math.cos(angle) - 3.3541) * inch, g: r * Math.sin(angle) * inch }
		})
	const region = [[...arc(3.3541, half, -half), ...arc(6.7082, -half, half)]]
	expect(area(chart, region) / inch ** 2).toBeCloseTo(47.417, 2)
})

test('stages and paints over all panels, coat by coat, in cups', () => {
	const systems = paintSystems(
		[paint('red', { coats: 2, filmUm: 10, volumeSolids: 25, transfer: 0.5, allowance: 0 }), paint('blue', { coats: 1 })],
		spraying,
	)
	// 25 % at 10 um: 25 m2/L; half of it stays: 80 ml a coat for a square metre.
	const at = (panel: string, stage: number, m2: number, more = {}) => ({
		...{ panel, hand: 'left' as const, stage, paint: 'red', areaMm2: m2 * 1e6, ...more },
	})
	const { stages, paints, unknown } = quantitiesOf(
		[at('a', 1, 1), at('b', 1, 0.5), at('c', 3, 0.25, { coats: 3 }), { ...at('d', 2, 1), paint: 'none' }],
		systems,
		50,
	)
	expect(stages.map(({ stage, paint, ml }) => [stage, paint, Math.round(ml * 1e6) / 1e6])).toEqual([
		[1, 'red', 240],
		[3, 'red', 60],
	])
	expect(stages[0]).toMatchObject({ mlPerCoat: [120, 120], cupsPerCoat: [3, 3], cups: 6, areaMm2: 1.5e6 })
	expect(paints).toHaveLength(1)
	// session after session: each is mixed by itself
	expect(paints[0]?.mlPerCoat.map((ml) => Math.round(ml))).toEqual([120, 120, 20, 20, 20])
	expect(paints[0]).not.toHaveProperty('stage')
	expect(unknown.map(({ panel }) => panel)).toEqual(['d'])
})

test('a cup that is just full is one cup', () => {
	expect([cupsFor(0, 600), cupsFor(1, 600), cupsFor(600, 600), cupsFor(600 * (1 + 1e-9), 600), cupsFor(601, 600)]).toEqual([
		0, 1, 1, 1, 2,
	])
})

test('usual films are within usual totals, and every one is marked', () => {
	// From memory: base colour 12 to 25 um, pearl 10 to 25, candy 20 to 50 over 4 to 8 coats, two-pack clear 50 to 64.
	const usual = (as: NonNullable<Paint['sprayed']>['as']) => paintSystem({ paint: paint('p', { as }), spraying })
	for (const [as, least, most] of [
		['ground-coat', 12, 25],
		['colour', 12, 25],
		['mid-coat', 20, 25],
		['clear', 50, 64],
	] as const) {
		const system = usual(as)
		expect(system.totalUm, as).toBeGreaterThanOrEqual(least)
		expect(system.totalUm, as).toBeLessThanOrEqual(most)
		expect(system.assumed).toHaveLength(9)
	}
	expect(usual('mid-coat').coats.value).toBeGreaterThanOrEqual(4)
	expect(usual('mid-coat').hides).toBe(false)
})

test('what is given is not marked, and a card that matched says how many coats', () => {
	const given = paint('candy', { as: 'mid-coat', over: 'silver', filmUm: 5, source: 'its data sheet' })
	const card = (coats: number, matched: boolean) => ({ paint: 'candy', coats, matched })
	const paintwork: Paintwork = { sprayOut: [card(4, false), card(6, true), card(8, false)] }
	const system = paintSystem({ paint: given, spraying, paintwork })
	expect(system.filmUm).toEqual({ value: 5, assumed: false, source: 'its data sheet' })
	expect(system.coats).toMatchObject({ value: 6, assumed: false })
	expect(system.coats.source).toContain('card')
	expect(system.totalUm).toBe(30)
	expect(system.assumed).not.toContain('coats')
	expect(system.transfer).toEqual({ value: 0.4, assumed: true, source: 'shop file' })
	expect(system.over).toBe('silver')
	expect(paintSystem({ paint: { id: 'x', name: 'x', colour: '#000000' }, spraying }).as).toBe('colour')
})

test('a paint in the order that nothing is painted with is told', () => {
	const job = jobOf([{ fields: [{ id: 'all', paint: 'candy', between: ['outline'] }], clear: { paint: 'gloss' } }], {
		paints: [
			...['silver', 'spare', 'gloss'].map((id) => ({ id, name: id, colour: '#445566' })),
			{ id: 'candy', name: 'Candy', colour: '#445566', sprayed: { as: 'mid-coat', over: 'silver' } },
		],
		paintwork: { order: ['silver', 'spare', 'candy', 'gloss'] },
	})
	expect(paintsNotLaid(job)).toMatchObject([{ code: 'PAINT_NOT_LAID', severity: 'warning', path: '/paintwork/order/1' }])
})
