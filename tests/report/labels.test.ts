import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf, overlaps } from '../../src/drawing/box.ts'
import type { Box, TextItem } from '../../src/drawing/drawing.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { type Label, meetsBox, placeLabels } from '../../src/report/labels.ts'

const label = (text: string, x: number, y: number, more: Partial<Label> = {}): Label => ({
	text,
	anchors: [{ x, y }],
	sizeMm: 3.5,
	reachMm: 1.5,
	...more,
})

const byText = (a: Label, b: Label) => (a.text < b.text ? -1 : 1)

const markBox = (x: number, y: number): Box => ({ minX: x - 1.4, maxX: x + 1.4, minY: y - 1.4, maxY: y + 1.4 })

describe('labels', () => {
	test('alone, a label stands close up and to the right, without a leader', () => {
		const { labels, left } = placeLabels([label('u1', 0, 0)], { boxes: [markBox(0, 0)], lines: [] })
		expect(left).toEqual([])
		expect(labels[0]!.leader).toBeUndefined()
		const { minX, minY } = labels[0]!.box
		expect(minX > 0 || minY > 0).toBe(true)
		expect(Math.hypot(Math.max(0, minX), Math.max(0, minY))).toBeLessThan(3)
	})

	test('it goes to the other side of a line rather than over it', () => {
		const over = [
			{ x: -50, y: 1.6 },
			{ x: 50, y: 1.6 },
		]
		const { labels } = placeLabels([label('u1', 0, 0)], { boxes: [], lines: [over] })
		const box = labels[0]!.box
		expect(box.maxY <= 1.6 || box.minY >= 1.6).toBe(true)
	})

	test('one that stands on its place stands on it, and beside it where that is taken', () => {
		const on = label('Cream', 0, 0, { on: true })
		const { labels } = placeLabels([on, on], { boxes: [], lines: [] })
		const [first, second] = labels
		expect(first!.box.minX < 0 && first!.box.maxX > 0 && first!.box.minY < 0 && first!.box.maxY > 0).toBe(true)
		expect(overlaps(first!.box, second!.box)).toBe(false)
	})

	const inked = (item: TextItem): Box => {
		// the ink by the font's own figures, not by what the placer says of it
		const box = boxOf(textBox(item) ?? [])
		if (!box) throw new Error(`no ink in ${item.text}`)
		return box
	}
	const at = (max: number) => fc.double({ min: 0, max, noNaN: true })

	test('whatever is asked for, no label lies on a label, on a mark, or under a leader', () => {
		fc.assert(
			fc.property(fc.array(fc.record({ x: at(60), y: at(40) }), { minLength: 1, maxLength: 40 }), (places) => {
				const asked = places.map(({ x, y }, i) => label(`mark-${i}`, x, y))
				const boxes = places.map(({ x, y }) => markBox(x, y))
				const { labels, left } = placeLabels(asked, { boxes, lines: [] })
				expect([...labels.map((each) => each.label), ...left].toSorted(byText)).toEqual(asked.toSorted(byText))
				for (const [i, one] of labels.entries()) {
					const ink = inked(one.item)
					for (const box of boxes) expect(overlaps(ink, box)).toBe(false)
					for (const other of labels.slice(i + 1)) expect(overlaps(ink, inked(other.item))).toBe(false)
					for (const other of labels) {
						if (other !== one && other.leader) expect(meetsBox(other.leader[0], other.leader[1], ink)).toBe(false)
					}
				}
			}),
			{ numRuns: 60 },
		)
	})

	test('marks that stand a finger apart all get their labels, however many', () => {
		const cell = fc.uniqueArray(fc.record({ i: fc.nat(5), j: fc.nat(5) }), { selector: ({ i, j }) => 6 * i + j, minLength: 1 })
		fc.assert(
			fc.property(cell, (cells) => {
				const asked = cells.map(({ i, j }) => label(`mark-${i}-${j}`, 14 * i, 14 * j))
				const { left } = placeLabels(asked, { boxes: cells.map(({ i, j }) => markBox(14 * i, 14 * j)), lines: [] })
				expect(left).toEqual([])
			}),
		)
	})

	test('where there is no room at all a label is handed back, not drawn over something', () => {
		const wall: Box = { minX: -1e4, maxX: 1e4, minY: -1e4, maxY: 1e4 }
		const asked = [label('u1', 0, 0)]
		expect(placeLabels(asked, { boxes: [wall], lines: [] })).toEqual({ labels: [], left: asked })
	})
})

describe('a straight and a box', () => {
	const box: Box = { minX: 0, minY: 0, maxX: 2, maxY: 1 }
	test.each([
		[{ x: -1, y: 0.5 }, { x: 3, y: 0.5 }, true],
		[{ x: 0.5, y: 0.5 }, { x: 0.6, y: 0.6 }, true],
		[{ x: -1, y: 2 }, { x: 3, y: 2 }, false],
		[{ x: -1, y: 0.2 }, { x: 0.2, y: 2 }, false],
		[{ x: -1, y: 0.5 }, { x: -0.1, y: 0.5 }, false],
		[{ x: 1, y: -1 }, { x: 1, y: 3 }, true],
	])('%j to %j: %s', (a, b, meets) => {
		expect(meetsBox(a, b, box)).toBe(meets)
	})
})
