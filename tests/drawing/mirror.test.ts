import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../src/drawing/bounds.ts'
import type { GroupItem, Item, TextItem } from '../../src/drawing/drawing.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { hasLettering, mirrorBox, mirrorItems } from '../../src/drawing/mirror.ts'
import { circle, polyline } from '../../src/drawing/path.ts'
import { flatten } from '../../src/drawing/place.ts'
import { polylinesOf } from '../../src/drawing/polylines.ts'

const text = (part: Partial<TextItem>): TextItem => ({
	kind: 'text',
	role: 'label',
	at: { x: 12, y: 7 },
	text: 'Tgp 12',
	sizeMm: 4,
	anchor: 'start',
	angle: 0,
	...part,
})
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const sorted = (points: readonly { x: number; y: number }[]) => [...points].sort((a, b) => a.x - b.x || a.y - b.y)

/** Expected from the definition alone: x goes to -x. */
const reflected = (points: readonly { x: number; y: number }[]) => points.map(({ x, y }) => ({ x: -x, y }))

function closeSets(a: readonly { x: number; y: number }[], b: readonly { x: number; y: number }[]) {
	expect(a.length).toBe(b.length)
	// nearest partner, as rounding may change an order
	for (const p of a) expect(Math.min(...b.map((q) => Math.hypot(p.x - q.x, p.y - q.y)))).toBeLessThan(1e-6)
}

describe('items in a mirror', () => {
	test('every line of placed, turned and clipped groups goes to minus x', () => {
		fc.assert(
			fc.property(number(-3, 3), number(-3, 3), number(-50, 50), number(-50, 50), (outer, inner, x, y) => {
				const shape: Item = { kind: 'path', role: 'knife', segments: circle({ x: 3, y: 1 }, 7) }
				const wedge: Item = {
					kind: 'path',
					role: 'guide',
					segments: polyline([
						{ x: 0, y: 0 },
						{ x: 9, y: 2 },
						{ x: 4, y: 5 },
					]),
				}
				const clip = { minX: -2, minY: 0, maxX: 5, maxY: 3 }
				const group: GroupItem = { kind: 'group', at: { x, y }, angle: inner, clip, items: [shape, wedge] }
				const items: readonly Item[] = [{ kind: 'group', at: { x: y, y: x }, angle: outer, items: [group] }]
				const [before, after] = [flatten(items), flatten(mirrorItems(items))]
				expect(after.length).toBe(before.length)
				before.forEach((one, index) => {
					const other = after[index]
					if (one.item.kind !== 'path' || other?.item.kind !== 'path') throw new Error('not a path')
					const points = (segments: typeof one.item.segments) => polylinesOf(segments, 0.1).flatMap((line) => line.points)
					closeSets(reflected(points(one.item.segments)), points(other.item.segments))
					closeSets(reflected(one.clips[0] ?? []), other.clips[0] ?? [])
				})
			}),
		)
	})

	test('a text keeps its words and its size in the mirrored box, whatever its turn and anchor', () => {
		fc.assert(
			fc.property(number(-7, 7), fc.constantFrom('start', 'middle', 'end'), number(-4, 4), (angle, anchor, outer) => {
				const item = text({ angle, anchor })
				const items: readonly Item[] = [{ kind: 'group', angle: outer, at: { x: 5, y: -3 }, items: [item] }]
				const [before] = flatten(items)
				const [after] = flatten(mirrorItems(items))
				if (before?.item.kind !== 'text' || after?.item.kind !== 'text') throw new Error('not a text')
				expect(after.item.text).toBe(item.text)
				const [one, other] = [textBox(before.item), textBox(after.item)]
				if (!one || !other) throw new Error('no ink')
				// across the line the ink keeps its box; along it left and right bearings differ by less than half a letter
				for (const p of sorted(reflected(one))) {
					expect(Math.min(...other.map((q) => Math.hypot(p.x - q.x, p.y - q.y)))).toBeLessThan(0.5)
				}
			}),
		)
	})

	test.each([
		['level', 0],
		['upwards, read from the right', Math.PI / 2],
		['leaning', 0.4],
	])('what reads %s does not come out upside down', (_, angle) => {
		for (const outer of [0, Math.PI / 2 - angle]) {
			const [one] = flatten(mirrorItems([{ kind: 'group', angle: outer, items: [text({ angle })] }]))
			const turn = one?.item.kind === 'text' ? one.item.angle : Number.NaN
			// within (-90, 90] degrees, as on technical drawings that are read from below and from the right (ISO 129, from memory)
			expect(Math.cos(turn)).toBeGreaterThan(-1e-9)
			if (Math.abs(Math.cos(turn)) < 1e-9) expect(Math.sin(turn)).toBeGreaterThan(0)
		}
	})

	test('twice is nothing, and the box goes over', () => {
		const items: readonly Item[] = [
			text({ angle: 0.3, anchor: 'end' }),
			{
				kind: 'group',
				at: { x: 3, y: 4 },
				angle: 1,
				items: [{ kind: 'path', role: 'knife', segments: circle({ x: 1, y: 2 }, 3) }],
			},
		]
		expect(mirrorItems(mirrorItems(items))).toEqual(items)
		const shapes = items.slice(1)
		const [box, other] = [boundsOf(shapes), boundsOf(mirrorItems(shapes))]
		if (!box || !other) throw new Error('no box')
		const expected = mirrorBox(box)
		for (const side of ['minX', 'minY', 'maxX', 'maxY'] as const) expect(other[side]).toBeCloseTo(expected[side], 9)
	})

	test('lettering is found at any depth', () => {
		const letter: Item = { kind: 'path', role: 'knife', segments: circle({ x: 0, y: 0 }, 3), lettering: true }
		expect(hasLettering([text({}), { kind: 'group', items: [{ kind: 'group', items: [letter] }] }])).toBe(true)
		expect(hasLettering([text({}), { kind: 'group', items: [text({})] }])).toBe(false)
		expect(hasLettering([{ kind: 'group', lettering: true, items: [] }])).toBe(true)
	})
})
