/** What a placing frame shows, on flat panels and round a tube, where every place is known by hand. */
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { Piece } from '../../src/template/piece.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

type PanelInput = JobInput['panels'][number]

const artwork: JobInput['artwork'] = [
	{ id: 'plate', margin: 0, shape: { kind: 'rectangle', width: 60, height: 20 } },
	{ id: 'large', shape: { kind: 'rectangle', width: 100, height: 50 } },
	{
		id: 'ring',
		shape: {
			kind: 'traced',
			loops: [
				[
					[0, 0],
					[40, 0],
					[40, 40],
					[0, 40],
				].map((at) => ({ at: at as [number, number], corner: true })),
				[
					[10, 10],
					[30, 10],
					[30, 30],
					[10, 30],
				].map((at) => ({ at: at as [number, number], corner: true })),
			],
		},
	},
]

function frameOf(panel: Partial<PanelInput>): Piece {
	const result = compute(jobOf([panel], { artwork }), defaultShop())
	const frame = result.panels[0]?.pieces?.find(({ kind }) => kind === 'frame')
	if (!frame) throw new Error(result.problems.map(({ found }) => found).join('; '))
	return frame
}
const titles = (frame: Piece) => frame.items.flatMap((item) => (item.kind === 'path' && item.title ? [item.title] : []))
const marks = (frame: Piece) => titles(frame).filter((title) => title.startsWith('register mark'))

describe('a placing frame', () => {
	const outline = outlineOf([
		[0, -80],
		[300, -80],
		[300, 120],
		[0, 120],
	])

	test('shows a straight line that crosses it, though all marks of that line lie outside', () => {
		const frame = frameOf({
			outline,
			readings: marked([
				['c1', 0, -40],
				['c2', 150, -40],
				['c3', 300, -40],
			]),
			edges: [{ id: 'low', through: ['c1', 'c2', 'c3'] }],
			stripes: [{ id: 'pin', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 3 }] }],
			decals: [{ id: 'badge', artwork: 'plate', place: { kind: 'spot', station: 80, girth: 55, side: 'below' } }],
		})
		expect(titles(frame)).toEqual(expect.arrayContaining(['pin upper', 'pin lower']))
		// 30 + 16 mm to either side; 10 + 16 mm below its middle lies off the panel, which ends at 80: above it then.
		expect([...new Set(marks(frame))].sort()).toEqual([
			'register mark: station 126, girth 29 below',
			'register mark: station 34, girth 29 below',
		])
		expect(frame.notes).toContain('Its middle: station 80, girth 55 below.')
	})

	test('across the centreline each of its marks says which side it is on', () => {
		const frame = frameOf({
			hand: 'centre',
			outline: outlineOf(
				[
					[0, -120],
					[300, -120],
					[300, 120],
					[0, 120],
				],
				true,
			),
			decals: [{ id: 'badge', hand: 'across', artwork: 'plate', place: { kind: 'spot', station: 150 } }],
		})
		// 30 + 16 mm to either side, 10 + 16 mm behind.
		expect([...new Set(marks(frame))].sort()).toEqual([
			'register mark: station 176, girth 46 left',
			'register mark: station 176, girth 46 right',
		])
		expect(frame.notes).toContain('Its middle: station 150, girth 0.')
	})

	test('is one piece of paper round an emblem with a hole', () => {
		const frame = frameOf({
			outline,
			decals: [
				{
					...{ id: 'badge', artwork: 'ring', material: 'paint', paint: 'gold' },
					place: { kind: 'spot', station: 100, girth: 20, side: 'above' },
				},
			],
		})
		expect(frame.knife).toHaveLength(2)
	})

	const ball = (decal: object): Partial<PanelInput> => ({
		hand: 'centre',
		found: { kind: 'revolved', crown: { radius: 203 }, profile: { radius: 127, arc: 305 }, length: 406 },
		decals: [{ id: 'badge', artwork: 'plate', hand: 'left', ...decal } as NonNullable<PanelInput['decals']>[number]],
	})

	test('is open towards a rim that leaves no room for paper', () => {
		// The panel ends 152.5 mm from its crown: 2.5 mm below the decal.
		const frame = frameOf(ball({ place: { kind: 'spot', station: 203, girth: 140 } }))
		expect(frame.knife).toHaveLength(1)
		expect(marks(frame).length).toBeGreaterThan(0)
	})

	test('marks every relief cut beyond its window, of the film or of the carrier', () => {
		for (const frame of ['window', 'corners']) {
			const made = frameOf(
				ball({ artwork: 'large', frame, material: 'dry-transfer', place: { kind: 'spot', station: 203, girth: 76 } }),
			)
			const cuts = titles(made).filter((title) => title.startsWith('relief cut'))
			const note = made.notes.find((words) => words.startsWith('Relief cuts at'))
			expect(new Set(cuts).size).toBeGreaterThan(2)
			expect(note).toContain(`at ${new Set(cuts).size} places`)
		}
	})

	test('goes round over the seam of a ring', () => {
		const R = 60
		const section = (along: number) => ({
			along,
			points: Array.from({ length: 25 }, (_, k): [number, number] => {
				const turn = (2 * Math.PI * (k % 24)) / 24
				return [R * Math.sin(turn), R - R * Math.cos(turn)]
			}),
		})
		const round = 2 * Math.PI * R
		const frame = frameOf({
			found: { kind: 'sections', closed: true, sd: 0.01, sections: [0, 30, 60, 90, 120, 150].map(section) },
			decals: [{ id: 'badge', artwork: 'plate', place: { kind: 'spot', station: 3, girth: 10, side: 'above' } }],
		})
		// 3 - 46 is 334 the other way round, to the half millimetre that a tape is read to.
		const before = Math.round(2 * (3 - 46 + round)) / 2
		expect([...new Set(marks(frame))].sort()).toEqual([
			`register mark: station ${before}, girth 16 below`,
			'register mark: station 49, girth 16 below',
		])
		expect(frame.knife).toHaveLength(2)
	})
})
