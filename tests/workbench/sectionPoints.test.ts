import { describe, expect, test } from 'vitest'
import type { PanelResult } from '../../src/engine/panelResult.ts'
import { boxRound, plottedSection } from '../../src/workbench/sectionPoints.ts'
import { shapeViewOf } from '../../src/workbench/shapeView.ts'

describe('a section is drawn', () => {
	test('with a half mirrored, each reading counted once and the centre not doubled', () => {
		const { points, counted } = plottedSection(
			{
				half: true,
				points: [
					[0, 0],
					[60, 22],
					[96, '71 mm'],
				],
			},
			'mm',
		)
		expect(points).toEqual([
			[-96, 71],
			[-60, 22],
			[0, 0],
			[60, 22],
			[96, 71],
		])
		expect(counted).toEqual([undefined, undefined, 0, 1, 2])
	})

	test('from two halves, with one centre between them', () => {
		const section = {
			along: '2 in',
			drop: 5,
			left: [
				[0, 0],
				[64, 19],
			],
			right: [
				[0, 0],
				[65, 19.5],
				[104, 76],
			],
		}
		const { points, counted, alongMm, dropMm } = plottedSection(section, 'mm')
		expect(points.map(([x]) => x)).toEqual([-64, 0, 65, 104])
		expect(counted).toEqual([0, 1, 2, 3])
		expect([alongMm, dropMm]).toEqual([50.8, 5])
	})

	test('as far as it can be read, and in inches where the job is', () => {
		const { points, counted } = plottedSection({ along: 'x', points: [[0, 0], ['1 1/2', 1], ['2 3/', 2], [3]] }, 'in')
		expect(points).toEqual([
			[0, 0],
			[38.1, 25.4],
		])
		expect(counted).toEqual([0, 1])
		expect(plottedSection({ along: 'x' }, 'mm')).toEqual({ points: [], counted: [], dropMm: 0 })
	})

	test('in a box round all of them, each at its drop', () => {
		const of = (drop: number) =>
			plottedSection(
				{
					drop,
					half: true,
					points: [
						[0, 0],
						[50, 20],
					],
				},
				'mm',
			)
		expect(boxRound([of(0), of(30)])).toEqual({ minX: -50, maxX: 50, minY: 0, maxY: 50 })
		expect(boxRound([plottedSection({}, 'mm')])).toBeUndefined()
	})
})

describe('what the sections are good for', () => {
	const gauge = {
		rmsMm: 0.19,
		worst: { section: 6, reading: 3, mm: -0.48 },
		without: [undefined, 0.28, undefined],
		oneMore: { along: 122.5, mm: 0.02 },
		everyOther: { rmsMm: 0.3, worstMm: 0.7 },
	}
	const view = (unit: 'mm' | 'in', panel: object = {}) =>
		shapeViewOf({ shape: { found: [], now: [], gauge }, panel } as unknown as PanelResult, unit)

	test('is said in figures of the unit, sections and readings counted from 1', () => {
		const { said } = view('mm').gauge!
		expect(said[0]).toContain('0.19 mm off the shape')
		expect(said[0]).toContain('reading 4 of section 7, by 0.48 mm')
		expect(said[1]).toContain('near 123 mm')
		expect(said[1]).toContain('out by 0.02 mm')
		expect(said[2]).toContain('every other section only, the shape would be out by up to 0.70 mm')
		expect(view('in').gauge!.said.join(' ')).not.toMatch(/ mm\b/)
		expect(view('in').gauge!.said[2]).toContain('0.028 in')
	})

	test('is of the panel as prepared where its shape was captured afresh', () => {
		expect(view('mm').gauge!.of).toBe('found')
		expect(view('mm', { prepared: { shape: { kind: 'flat' } } }).gauge!.of).toBe('prepared')
	})

	test('is not said of a panel without sections', () => {
		expect(shapeViewOf({ panel: {} } as unknown as PanelResult, 'mm')).toEqual({ limit: [] })
	})
})
