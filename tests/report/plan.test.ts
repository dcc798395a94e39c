import { Resvg } from '@resvg/resvg-js'
import { PNG } from 'pngjs'
import { describe, expect, test } from 'vitest'
import { boxOf, overlaps } from '../../src/drawing/box.ts'
import type { Drawing, GroupItem, Item, PathItem, TextItem } from '../../src/drawing/drawing.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { flatten } from '../../src/drawing/place.ts'
import { toSvg } from '../../src/drawing/svg.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { planDrawing } from '../../src/report/planDrawing.ts'
import { COVERS, GUARD, resultOf } from './small.ts'

function planOf(input: JobInput): Drawing {
	const result = resultOf(input)
	const drawing = planDrawing(result, result.panels[0]!, { unit: input.unit })
	if (!drawing) throw new Error('no plan')
	return drawing
}

const covers = planOf(COVERS)
const guard = planOf(GUARD)

const groups = (items: readonly Item[]): GroupItem[] =>
	items.flatMap((item) => (item.kind === 'group' ? [item, ...groups(item.items)] : []))
const flat = (items: readonly Item[]) => flatten(items).map(({ item }) => item)
const texts = (drawing: Drawing) => flat(drawing.items).filter((item): item is TextItem => item.kind === 'text')
const words = (drawing: Drawing) => texts(drawing).map(({ text }) => text)
const text = (drawing: Drawing, wanted: string) => texts(drawing).filter((item) => item.text === wanted)
/** Where paths of that title stand, by their boxes' middles. */
const pathsTitled = (drawing: Drawing, title: string) =>
	flat(drawing.items)
		.filter((item): item is PathItem => item.kind === 'path' && item.title === title)
		.map((item) => {
			const box = boxOf(item.segments.flatMap((segment) => (segment.to === 'close' ? [] : [segment.p])))!
			return { ...box, x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }
		})

/** A job whose marks crowd together, with names as long as they come. */
const CROWDED: JobInput = {
	...GUARD,
	panels: [
		{
			...GUARD.panels[0]!,
			readings: Array.from({ length: 24 }, (_, i) => ({
				kind: 'square' as const,
				mark: `mark-of-a-long-name-${i}`,
				station: 20 + 4 * i,
				girth: 30 + (i % 3),
				side: 'right' as const,
			})),
			edges: [
				{ id: 'line', hand: 'right', through: ['mark-of-a-long-name-0', 'mark-of-a-long-name-11', 'mark-of-a-long-name-23'] },
			],
		},
	],
}

describe('labels', () => {
	test.each([
		['covers', covers],
		['guard', guard],
		['crowded', planOf(CROWDED)],
	])('%s: no text lies on another, by the ink of the printed fonts', (_, drawing) => {
		const boxes = texts(drawing).map((item) => ({ text: item.text, box: boxOf(textBox(item) ?? [])! }))
		const hits = boxes.flatMap((a, i) =>
			boxes.slice(i + 1).flatMap((b) => (overlaps(a.box, b.box) ? [`${a.text} / ${b.text}`] : [])),
		)
		expect(hits).toEqual([])
	})

	test('every text lies on the page', () => {
		for (const drawing of [covers, guard, planOf(CROWDED)]) {
			for (const item of texts(drawing)) {
				const box = boxOf(textBox(item) ?? [])!
				expect(box.minX >= 0 && box.minY >= 0 && box.maxX <= drawing.widthMm && box.maxY <= drawing.heightMm).toBe(true)
			}
		}
	})
})

describe('what is named', () => {
	test('marks, datums, stations with their strips, piece numbers, paints, sides, front, revision', () => {
		const all = words(guard)
		for (const wanted of ['m1', 'm2', 'm3', 'front', 'stay', 'the badge', 'FRONT', 'LEFT', 'RIGHT', 'Lake green', '100 mm']) {
			expect(all).toContain(wanted)
		}
		expect(all.some((each) => each.includes(resultOf(GUARD).revision))).toBe(true)
		const result = resultOf(GUARD)
		for (const { kind, number } of result.panels[0]!.pieces!) {
			expect(all.some((each) => (kind === 'strip' ? each.startsWith(`strip ${number},`) : each === String(number)))).toBe(true)
		}
	})

	test('on a panel bent both ways it says which lengths are true; on a flat one that all are', () => {
		expect(words(guard).join(' ')).toContain('lengths along only on the baseline')
		expect(words(covers).join(' ')).toContain('True size')
		expect(words(covers).join(' ')).not.toContain('baseline:')
	})

	test('lengths in the unit of the job', () => {
		const inch = planOf({
			...GUARD,
			unit: 'in',
			panels: JSON.parse(JSON.stringify(GUARD.panels), (_, value) => (typeof value === 'number' ? `${value} mm` : value)),
		})
		expect(words(inch)).toContain('4 in')
		expect(words(inch).some((each) => / mm$/.test(each))).toBe(false)
	})
})

describe('which way round (looking at the painted side: conventions of a body drawing, common practice, no source)', () => {
	test('a spread has its front to the left, the right side above', () => {
		const [front] = text(guard, 'FRONT')
		const [right] = text(guard, 'RIGHT')
		const [left] = text(guard, 'LEFT')
		expect(right!.at.y).toBeGreaterThan(left!.at.y)
		expect(front!.at.x).toBeLessThan(right!.at.x)
		const [m1] = pathsTitled(guard, 'm1')
		const [m3] = pathsTitled(guard, 'm3')
		expect(m1!.x).toBeLessThan(m3!.x)
	})

	test('of a pair the left panel stands above with its front to the left, the right one below with its front to the right', () => {
		const [above, below] = text(covers, 'FRONT').toSorted((a, b) => b.at.y - a.at.y)
		const [left] = text(covers, 'LEFT')
		const [right] = text(covers, 'RIGHT')
		expect(left!.at.y).toBeGreaterThan(right!.at.y)
		expect(above!.at.x).toBeLessThan(left!.at.x)
		expect(below!.at.x).toBeGreaterThan(right!.at.x)
		// the upper colour is above on both
		const [c1, c1Right] = pathsTitled(covers, 'c1').toSorted((a, b) => b.y - a.y)
		const [hole] = pathsTitled(covers, 'outline').toSorted((a, b) => b.y - a.y)
		expect(c1!.x).toBeLessThan(hole!.x)
		expect(c1Right!.x).toBeGreaterThan(pathsTitled(covers, 'outline').toSorted((a, b) => a.y - b.y)[0]!.x)
	})

	test('the two of a pair are mirror images', () => {
		const outlines = pathsTitled(covers, 'outline').toSorted((a, b) => b.y - a.y)
		const marks = ['c1', 'c2', 'c3'].map((id) => pathsTitled(covers, id).toSorted((a, b) => b.y - a.y))
		for (const [upper, lower] of marks) {
			expect(upper!.x - outlines[0]!.minX).toBeCloseTo(outlines[1]!.maxX - lower!.x, 2)
			expect(upper!.y - outlines[0]!.minY).toBeCloseTo(lower!.y - outlines[1]!.minY, 2)
		}
	})
})

describe('true size', () => {
	test('stations and girths of a flat panel are millimetres of the drawing', () => {
		const [outline] = pathsTitled(covers, 'outline')
		expect(outline!.maxX - outline!.minX).toBeCloseTo(220, 3)
		expect(outline!.maxY - outline!.minY).toBeCloseTo(110, 3)
	})

	test('an independent renderer draws the 100 mm bar 100 mm long, and the paints where they belong', () => {
		const perMm = 8
		const svg = toSvg(covers, { embedText: false })
		const rendered = new Resvg(svg, {
			fitTo: { mode: 'width', value: Math.round(covers.widthMm * perMm) },
			background: 'white',
		}).render()
		const image = PNG.sync.read(rendered.asPng())
		const scale = image.width / covers.widthMm
		const pixel = (x: number, y: number) => {
			const at = (Math.round((covers.heightMm - y) * scale) * image.width + Math.round(x * scale)) * 4
			return [...image.data.subarray(at, at + 3)]
		}
		const [bar] = pathsTitled(covers, '100 mm')
		// across the bar's ticks a little above its line: three dark strokes, the outer ones 100 mm apart
		const row = bar!.y + 1
		const dark: number[] = []
		for (let x = bar!.minX - 2; x < bar!.maxX + 2; x += 0.5 / scale) if ((pixel(x, row)[0] ?? 255) < 128) dark.push(x)
		const lastOf = (list: number[]) => list[list.length - 1]!
		const middle = (from: number) =>
			dark.filter((x) => Math.abs(x - from) < 1).reduce((sum, x, _, all) => sum + x / all.length, 0)
		expect(middle(lastOf(dark)) - middle(dark[0]!)).toBeCloseTo(100, 0)
		const [outline] = pathsTitled(covers, 'outline').toSorted((a, b) => b.y - a.y)
		expect(pixel(outline!.minX + 30, outline!.minY + 3)).toEqual([0x1f, 0x6b, 0x4f])
		expect(pixel(outline!.minX + 30, outline!.maxY - 6)).toEqual([0xf3, 0xe9, 0xcf])
	})

	test('the page is as large as what it shows, and named groups can be switched', () => {
		const ids = groups(covers.items).map(({ id }) => id)
		for (const id of ['cover-left', 'cover-right', 'title', 'legend', 'labels-left']) expect(ids).toContain(id)
	})
})

test('a panel of which nothing has a place has no plan', () => {
	const result = resultOf(COVERS)
	const { lines: _, ...bare } = result.panels[0]!
	expect(planDrawing(result, bare, { unit: 'mm' })).toBeUndefined()
})

test('a panel with marks alone still has one', () => {
	const panel = COVERS.panels[0]!
	const drawing = planOf({ ...COVERS, panels: [{ ...panel, edges: [], stripes: [], fields: [], outline: undefined }] })
	expect(words(drawing)).toContain('c2')
})
