// Decals on the page: where they are drawn on a flat panel is known by hand, and moving one in the picture, written into the job and
// worked out again, must lay it where the hand put it.
import fc from 'fast-check'
import { applyEdits, modify } from 'jsonc-parser'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { decalAt, movedBy, movedByKey } from '../../src/workbench/decalDrag.ts'
import type { SceneDecal } from '../../src/workbench/decalScene.ts'
import type { PanelView } from '../../src/workbench/view.ts'
import { viewOf } from '../../src/workbench/view.ts'

const seed = 20261127
const SIZE = [40, 20] as const

interface LidOptions {
	readonly unit?: 'mm' | 'in'
	readonly hand?: 'centre' | 'pair' | 'left' | 'right'
	readonly decal: object
}

/** A flat lid with one straight line, rising by `slope` from station 0 to 400, and one decal of 40 by 20 mm. */
function lidText({ unit = 'mm', hand = 'centre', decal }: LidOptions, slope = 0): string {
	const mm = (x: number) => `${x} mm`
	const sides = hand === 'centre' ? ['left', 'right'] : ['above']
	const panels = hand === 'pair' ? ['left', 'right'] : [undefined]
	const readings = panels.flatMap((panel) =>
		sides.flatMap((side) =>
			[0, 1, 2, 3].map((i) => ({
				...{ kind: 'square', mark: `m${i + 1}`, station: mm(100 * i), girth: mm(80 + slope * i), side },
				...(panel ? { panel } : {}),
			})),
		),
	)
	return JSON.stringify({
		...{ format: 1, title: 'Lid', unit, paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }] },
		artwork: [{ id: 'plate', shape: { kind: 'rectangle', width: mm(SIZE[0]), height: mm(SIZE[1]), colour: '#b03020' } }],
		panels: [
			{
				...{ id: 'lid', hand, found: { kind: 'flat' }, readings },
				datums: [
					{ id: 'nose', station: 0 },
					{ id: 'tail', station: mm(400) },
				],
				edges: [{ id: 'line', through: ['m1', 'm2', 'm3', 'm4'], front: 'runs-off', rear: 'runs-off' }],
				decals: [{ id: 'plate', artwork: 'plate', ...decal }],
			},
		],
	})
}

function panelOf(text: string): PanelView {
	const { value, problems } = loadJob(text)
	if (!value) throw new Error(JSON.stringify(problems))
	return viewOf(compute(value.job, defaultShop(), { until: 'scheme' }), 'lid').panels[0] as PanelView
}
const decalsOf = (text: string) => panelOf(text).scenes.flatMap(({ decals }) => decals)
const on = (text: string, side: string) => decalsOf(text).find((one) => one.side === side) as SceneDecal

const boxOf = ({ inks }: SceneDecal) => {
	const points = inks.flatMap(({ loops }) => loops.flat())
	const [x, y] = [points.filter((_, i) => i % 2 === 0), points.filter((_, i) => i % 2 === 1)]
	return [Math.min(...x), Math.max(...x), Math.min(...y), Math.max(...y)]
}

const edited = (text: string, edits: readonly { readonly key: string; readonly value: unknown }[]) =>
	edits.reduce((t, { key, value }) => applyEdits(t, modify(t, ['panels', 0, 'decals', 0, 'place', key], value, {})), text)

describe('where a decal is drawn', () => {
	const place = { kind: 'spot', station: 200, girth: 40 }

	test('on both sides of a centreline, with its film a margin round it', () => {
		const text = lidText({ decal: { place } })
		// right above, left below, stations to the right
		expect(boxOf(on(text, 'right')).map((x) => Math.round(100 * x) / 100)).toEqual([180, 220, 30, 50])
		expect(boxOf(on(text, 'left')).map((x) => Math.round(100 * x) / 100)).toEqual([180, 220, -50, -30])
		const film = on(text, 'right').film[0] ?? []
		expect(Math.min(...film.filter((_, i) => i % 2 === 0))).toBeCloseTo(179, 2)
		expect(decalAt(panelOf(text).scenes[0]!, 200, 49)?.side).toBe('right')
		expect(decalAt(panelOf(text).scenes[0]!, 200, 53)).toBeUndefined()
	})

	test('each of a pair as it is seen from outside: stations run to the left on the right one', () => {
		const text = lidText({ hand: 'pair', decal: { place: { ...place, side: 'above' } } })
		expect(boxOf(on(text, 'left'))[0]).toBeCloseTo(180, 2)
		expect(boxOf(on(text, 'right'))[0]).toBeCloseTo(-220, 2)
	})
})

describe('a decal that is dragged lies where it was dragged to', () => {
	const places = {
		spot: { kind: 'spot', station: 200, girth: 40 },
		off: { kind: 'off', edge: 'line', distance: 30, lay: 'inboard', station: 200 },
	} as const
	const by = fc.record({ dx: fc.integer({ min: -60, max: 60 }), dy: fc.integer({ min: -8, max: 8 }) })

	test.each([
		['spot', 'left', 0],
		['spot', 'right', 0],
		['off', 'left', 0],
		['off', 'right', 0],
		['off', 'right', 12],
		['off', 'left', -15],
	] as const)('placed by %s, on the %s, its line rising by %i mm in 100', (kind, side, slope) => {
		const text = lidText({ decal: { place: places[kind] } }, slope)
		const before = on(text, side)
		fc.assert(
			fc.property(by, ({ dx, dy }) => {
				const moved = movedBy(before.hold, dx, dy, 'mm')!
				const after = on(edited(text, moved.edits), side)
				// to steps of half a millimetre along the line and off it
				expect(Math.abs(after.at[0] - before.at[0] - dx)).toBeLessThan(0.5)
				expect(Math.abs(after.at[1] - before.at[1] - dy)).toBeLessThan(0.5)
			}),
			{ seed, numRuns: 12 },
		)
	})

	test('less than half a step changes nothing, and girth does not pass the centreline', () => {
		const { hold } = on(lidText({ decal: { place: places.spot } }), 'left')
		expect(movedBy(hold, 0.2, 0.2, 'mm')?.edits).toEqual([
			{ key: 'station', value: 200 },
			{ key: 'girth', value: 40 },
		])
		expect(movedBy(hold, 10, 70, 'mm')).toEqual({
			edits: [
				{ key: 'station', value: 210 },
				{ key: 'girth', value: 0 },
			],
			says: 'station 210.0 mm, girth 0.0 mm',
		})
	})

	test('on a panel of one side it passes the baseline, and its side says so', () => {
		const text = lidText({ hand: 'left', decal: { place: { ...places.spot, girth: 4, side: 'above' } } })
		const moved = movedBy(decalsOf(text)[0]!.hold, 0, -10, 'mm')
		expect(moved?.edits).toEqual([
			{ key: 'station', value: 200 },
			{ key: 'girth', value: 6 },
			{ key: 'side', value: 'below' },
		])
		expect(decalsOf(edited(text, moved?.edits ?? []))[0]?.at[1]).toBeCloseTo(-6, 3)
	})

	test('in inches to thirty-seconds', () => {
		const text = lidText({ unit: 'in', decal: { place: { kind: 'spot', station: 8, girth: 2 } } })
		expect(movedBy(on(text, 'right').hold, 25.4 / 32, 0, 'in')).toEqual({
			edits: [
				{ key: 'station', value: '8 1/32' },
				{ key: 'girth', value: 2 },
			],
			says: 'station 8 1/32 in, girth 2 in',
		})
	})
})

describe('keys', () => {
	const hold = () => on(lidText({ decal: { place: { kind: 'spot', station: 200.25, girth: 40, angle: 3 } } }), 'left').hold

	test('move it by half a millimetre as it is seen, with Shift by five', () => {
		expect(movedByKey(hold(), 'ArrowRight', false, 'mm')?.edits).toEqual([{ key: 'station', value: 200.75 }])
		expect(movedByKey(hold(), 'ArrowLeft', true, 'mm')?.edits).toEqual([{ key: 'station', value: 195.25 }])
		// the left side is drawn below the centreline: up is towards it
		expect(movedByKey(hold(), 'ArrowUp', false, 'mm')?.edits).toEqual([{ key: 'girth', value: 39.5 }])
		expect(movedByKey(hold(), 'ArrowDown', true, 'mm')?.edits).toEqual([{ key: 'girth', value: 45 }])
		expect(movedByKey(hold(), 'Enter', false, 'mm')).toBeUndefined()
	})

	test('turn it by half a degree', () => {
		expect(movedByKey(hold(), ',', false, 'mm')?.edits).toEqual([{ key: 'angle', value: 2.5 }])
		expect(movedByKey(hold(), '.', false, 'mm')?.edits).toEqual([{ key: 'angle', value: 3.5 }])
	})

	test('say why where they do nothing', () => {
		const marks = { kind: 'marks', marks: [{ mark: 'm1', point: 'front' }, { mark: 'm2', point: 'rear' }] } // biome-ignore format: a table
		const text = lidText({ decal: { place: marks } }).replace('"width":"40 mm"', '"width":"100 mm"')
		const byMarks = on(text, 'left').hold
		expect(movedBy(byMarks, 5, 5, 'mm')).toBeUndefined()
		expect(movedByKey(byMarks, 'ArrowUp', false, 'mm')).toEqual({ edits: [], says: expect.stringContaining('lies by marks') })
		const along = on(
			lidText({ decal: { place: { kind: 'off', edge: 'line', distance: 30, lay: 'inboard', station: 200 } } }),
			'left',
		).hold
		expect(movedByKey(along, '.', false, 'mm')).toEqual({ edits: [], says: expect.stringContaining('along its line') })
	})
})

test('what is told: its place, what it is clear of, and what artwork is', () => {
	const text = lidText({ decal: { place: { kind: 'spot', station: 200, girth: 40 } } })
	const { value } = loadJob(text)
	const view = viewOf(compute(value!.job, defaultShop(), { until: 'scheme' }), 'lid')
	// 40 by 20 mm are 8 square centimetres
	expect(view.artwork[0]?.says).toBe('40.0 mm wide, 20.0 mm high, 1 part, 800 mm²')
	const [decal] = view.panels[0]!.decals
	expect(decal?.told.map(({ about }) => about)).toEqual(['Place', 'Lies down', 'Clear of'])
	expect(decal?.told[0]?.says[0]).toBe('Its middle lies at station 200.0 mm, girth 40.0 mm, its baseline along the panel.')
	expect(decal?.told[1]?.says).toEqual(['It lies down as it is: the panel asks nothing of the film.'])
})
