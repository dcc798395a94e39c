/** Decals from the job to their frames: flat panels, where every place and length is known by hand. */
import { describe, expect, test } from 'vitest'
import type { PanelDecal } from '../../src/decal/panelDecals.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { crossCheck } from '../../src/job/crossCheck.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { areaOf } from '../../src/plane/region.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

type PanelInput = JobInput['panels'][number]
type DecalInput = NonNullable<PanelInput['decals']>[number]

const artwork: JobInput['artwork'] = [
	{ id: 'plate', margin: 0, shape: { kind: 'rectangle', width: 60, height: 20 } },
	{ id: 'words', margin: 0, lettering: true, shape: { kind: 'rectangle', width: 60, height: 20 } },
]
const outline = outlineOf([
	[0, 0],
	[300, 0],
	[300, 120],
	[0, 120],
])
/** Two lines along the panel, 40 and 90 mm above its baseline. */
const readings = marked([
	['a1', 0, 40],
	['a2', 150, 40],
	['a3', 300, 40],
	['b1', 0, 90],
	['b2', 150, 90],
	['b3', 300, 90],
])
const edges: PanelInput['edges'] = [
	{ id: 'low', through: ['a1', 'a2', 'a3'] },
	{ id: 'high', through: ['b1', 'b2', 'b3'] },
]
const decal = (more: Partial<DecalInput> & Pick<DecalInput, 'place'>): DecalInput => ({ id: 'badge', artwork: 'plate', ...more })

function laid(
	decals: DecalInput[],
	panel: Partial<PanelInput> = {},
	until: 'scheme' | 'sheets' = 'scheme',
	paintwork = false,
): Result {
	const job = jobOf([{ outline, readings, edges, decals, ...panel }], { artwork })
	expect(crossCheck(job)).toEqual([])
	return compute(job, defaultShop(), { until, ...(paintwork ? { paintwork } : {}) })
}
const placedIn = (result: Result): readonly PanelDecal[] => result.panels[0]?.decals?.placed ?? []
const codes = (result: Result) => result.problems.map(({ code }) => code)

describe('on a flat panel of the left', () => {
	test('a spot is where it says, turned as it says, and its area is its own', () => {
		const [one] = placedIn(laid([decal({ place: { kind: 'spot', station: 100, girth: 60, side: 'above', angle: 30 } })]))
		expect(one?.frame.at).toEqual({ s: 100, g: 60 })
		expect(one?.riseDeg).toBeCloseTo(30, 9)
		// The grid of regions is 0.0001 mm, over 160 mm of edge.
		expect(one?.areaMm2).toBeCloseTo(1200, 1)
		// Its rear end lies 30 mm from its middle, up at 30 degrees.
		const rear = one?.laying.place({ x: 30, y: 0 }).at
		expect(rear?.s).toBeCloseTo(100 + 30 * Math.cos(Math.PI / 6), 9)
		expect(rear?.g).toBeCloseTo(75, 9)
	})

	test('by its bottom front corner it lies rearward of and above that place', () => {
		const [one] = placedIn(
			laid([decal({ place: { kind: 'spot', station: 100, girth: 60, side: 'above', point: 'bottom-front' } })]),
		)
		expect(one?.frame.at.s).toBeCloseTo(130, 9)
		expect(one?.frame.at.g).toBeCloseTo(70, 9)
	})

	test('between two lines it lies half-way, along both', () => {
		const [one] = placedIn(laid([decal({ place: { kind: 'between', edges: ['low', 'high'], station: 150 } })]))
		expect(one?.frame.at.g).toBeCloseTo(65, 3)
		expect(one?.place.halves?.[0]).toBeCloseTo(25, 3)
		expect(one?.place.halves?.[1]).toBeCloseTo(25, 3)
		expect(one?.riseDeg).toBeCloseTo(0, 3)
	})

	test('set off a line it keeps its distance, and the gap measured back is that', () => {
		const result = laid([
			decal({ place: { kind: 'off', edge: 'low', distance: 8, lay: 'outboard', station: 150, point: 'bottom' } }),
		])
		const [one] = placedIn(result)
		expect(one?.frame.at.g).toBeCloseTo(58, 3)
	})

	test('following a line it lies on its parallel', () => {
		const [one] = placedIn(laid([decal({ place: { kind: 'follow', edge: 'high', distance: 5, lay: 'inboard', station: 150 } })]))
		expect(one?.laying.way).toBe('follow')
		expect(one?.frame.at.g).toBeCloseTo(75, 3)
		expect(one?.riseDeg).toBeCloseTo(0, 3)
	})

	test('by two marks it lies on them, and is known as they are', () => {
		const marks = marked([
			['front', 120, 50],
			['rear', 180, 50],
		])
		const place = {
			kind: 'marks' as const,
			marks: [
				{ mark: 'front', point: 'front' as const },
				{ mark: 'rear', point: 'rear' as const },
			],
		}
		const [one] = placedIn(laid([decal({ place })], { readings: [...readings, ...marks] }))
		expect(one?.frame.at.s).toBeCloseTo(150, 4)
		expect(one?.frame.at.g).toBeCloseTo(50, 4)
		expect(one?.place.sd.across).toBeGreaterThan(0.2)
		expect(one?.place.sd.across).toBeLessThan(0.6)
	})

	test('marks that contradict the artwork are told, nothing is made of them, and the rest comes out', () => {
		const marks = marked([
			['front', 100, 50],
			['rear', 180, 50],
		])
		const place = {
			kind: 'marks' as const,
			marks: [
				{ mark: 'front', point: 'front' as const },
				{ mark: 'rear', point: 'rear' as const },
			],
		}
		const other = decal({ id: 'other', place: { kind: 'spot', station: 60, girth: 20, side: 'above' } })
		const result = laid([decal({ place }), other], { readings: [...readings, ...marks] })
		const told = result.problems.find(({ code }) => code === 'DECAL_MARKS_DISAGREE')
		expect(told?.severity).toBe('error')
		expect(told?.found).toContain('80.0 mm apart on the panel and 60.0 mm on the artwork')
		expect(placedIn(result).map(({ id }) => id)).toEqual(['other/left'])
	})
})

describe('both sides of a centreline', () => {
	const centre = {
		hand: 'centre' as const,
		outline: outlineOf(
			[
				[0, -120],
				[300, -120],
				[300, 120],
				[0, 120],
			],
			true,
		),
		edges: [],
		readings: [],
	}
	const spot = { kind: 'spot' as const, station: 100, girth: 60, side: 'right' as const, angle: 10 }

	test('what reads lies mirrored and is not mirrored', () => {
		const [left, right] = placedIn(laid([decal({ artwork: 'words', place: spot })], centre))
		expect(left?.frame.at.g).toBeCloseTo(-60, 9)
		expect(right?.frame.at.g).toBeCloseTo(60, 9)
		expect([left?.turned, right?.turned]).toEqual([
			{ sign: 1, mirrored: false, front: 'left' },
			{ sign: -1, mirrored: false, front: 'right' },
		])
		// Both rise to the rear: their rear ends lie nearer to the centreline.
		for (const one of [left, right]) {
			expect(one?.riseDeg).toBeCloseTo(10, 9)
			expect(Math.abs(one?.laying.place({ x: 30, y: 0 }).at.g ?? 0)).toBeCloseTo(60 - 30 * Math.sin(Math.PI / 18), 9)
		}
	})

	test('what reflects faces the front on both sides; words refuse it', () => {
		const [left, right] = placedIn(laid([decal({ place: spot, turn: 'reflects', faces: 'right' })], centre))
		expect([left?.turned, right?.turned]).toEqual([
			{ sign: -1, mirrored: true, front: 'right' },
			{ sign: -1, mirrored: false, front: 'right' },
		])
		const refused = laid([decal({ artwork: 'words', place: spot, turn: 'reflects' })], centre)
		expect(codes(refused)).toContain('DECAL_TEXT_MIRRORED')
		// As it is drawn it faces the front on the left, and reads there.
		expect(placedIn(refused).map(({ side }) => side)).toEqual(['left'])
	})

	test('marks read on both sides are compared: 3 mm higher and 1 degree more is told', () => {
		const turned = 60 * Math.tan(Math.PI / 180)
		const marks = marked(
			[
				['front', 120, -60],
				['rear', 180, -60],
				['front', 120, 57],
				['rear', 180, 57 - turned],
			],
			true,
		)
		const place = {
			kind: 'marks' as const,
			marks: [
				{ mark: 'front', point: 'front' as const },
				{ mark: 'rear', point: 'rear' as const },
			],
		}
		const result = laid([decal({ place })], { ...centre, readings: marks })
		const sides = result.panels[0]?.decals?.sides[0]
		expect(sides?.upMm).toBeCloseTo(3 + turned / 2, 2)
		expect(sides?.alongMm).toBeCloseTo(0, 2)
		expect(sides?.turnDeg).toBeCloseTo(1, 2)
		expect(sides?.within).toBe(false)
		expect(codes(result)).toContain('DECAL_SIDES_DIFFER')
	})
})

describe('beside and over', () => {
	const stripes: PanelInput['stripes'] = [{ id: 'stripe', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 6 }] }]

	test('gaps are measured square off the edges that are there', () => {
		const result = laid([decal({ place: { kind: 'spot', station: 150, girth: 60, side: 'above' } })], { stripes })
		const [one] = placedIn(result)
		const gaps = Object.fromEntries((one?.clearances ?? []).map(({ name, gapMm, towards }) => [`${name} ${towards}`, gapMm]))
		expect(gaps['stripe bottom']).toBeCloseTo(50 - 43, 3)
		expect(gaps['the rim of the panel bottom'] ?? gaps['the rim of the panel top']).toBeCloseTo(50, 2)
		expect(codes(result)).not.toContain('DECAL_TOO_NEAR')
	})

	test('too near, over, off the panel: each is said once, with what it is', () => {
		const at = (girth: number, more: Partial<DecalInput> = {}) =>
			codes(laid([decal({ place: { kind: 'spot', station: 150, girth, side: 'above' }, ...more })], { stripes })).filter((code) =>
				code.startsWith('DECAL'),
			)
		expect(at(54)).toEqual(['DECAL_TOO_NEAR'])
		expect(at(54, { clearance: 0.5 })).toEqual([])
		expect(at(50)).toEqual(['DECAL_OVER'])
		expect(at(50, { over: ['stripe'] })).toEqual([])
		expect(at(115)).toEqual(['DECAL_OFF_PANEL'])
	})

	test('gaps that look meant to be equal and are not', () => {
		const two: PanelInput['stripes'] = [
			...stripes,
			{ id: 'upper', edge: 'high', lay: 'centred', bands: [{ paint: 'gold', width: 6 }] },
		]
		const at = (girth: number) =>
			codes(laid([decal({ place: { kind: 'spot', station: 150, girth, side: 'above' } })], { stripes: two })).filter((code) =>
				code.startsWith('DECAL'),
			)
		// Stripes end at 43 and begin at 87: the middle is at 65.
		expect(at(65)).toEqual([])
		expect(at(65.8)).toEqual(['DECAL_GAPS_UNEQUAL'])
		expect(at(70)).toEqual([])
	})

	test('paint edges below it are listed with their height and length', () => {
		const fields: PanelInput['fields'] = [{ id: 'all', paint: 'green', between: ['outline'] }]
		const place = { kind: 'spot' as const, station: 150, girth: 42, side: 'above' as const }
		const result = laid([decal({ place, over: ['stripe'] })], { stripes, fields }, 'scheme', true)
		const [ground] = result.grounds ?? []
		expect(ground?.on.map(({ paint }) => paint).sort()).toEqual(['gold', 'green'])
		// The stripe lies from 37 to 43, the decal from 32 to 52: 60 mm of either edge.
		const lengths = ground?.ridges.filter(({ kind }) => kind === 'line').map(({ lengthMm }) => lengthMm) ?? []
		expect(lengths.reduce((a, b) => a + b, 0)).toBeCloseTo(120, 0)
		expect(codes(result)).toContain('DECAL_OVER_RIDGE')
	})
})

describe('frames and decals', () => {
	const result = laid([decal({ place: { kind: 'spot', station: 150, girth: 60, side: 'above' } })], { stripes: [] }, 'sheets')
	const frame = result.panels[0]?.pieces?.find(({ kind }) => kind === 'frame')

	test('the window of a frame is the film, true to size', () => {
		const window = frame?.knife.find((loop) => areaOf([loop]) < 0)
		expect(-areaOf([window ?? []])).toBeCloseTo(1200, 1)
		const titles = frame?.items.flatMap((item) => (item.kind === 'path' ? [item.title] : []))
		for (const title of ['middle of the decal', 'hinge']) expect(titles).toContain(title)
	})

	test('a decal is printed at true size on a sheet of its own, and mirrored where it is laid face down', () => {
		expect(result.decalSheets?.plain?.sheets).toHaveLength(1)
		expect(result.decalSheets?.mirrored).toBeUndefined()
		const art = result.panels[0]?.art?.[0]
		expect(areaOf(art?.knife ?? [])).toBeCloseTo(1200, 2)
		const place = { kind: 'spot' as const, station: 150, girth: 60, side: 'above' as const }
		const face = laid([decal({ place, reverse: true })], {}, 'sheets')
		expect(face.decalSheets?.plain).toBeUndefined()
		expect(face.decalSheets?.mirrored?.sheets[0]?.drawing.title).toContain('(mirrored)')
	})

	test('a decal larger than the panel can be measured is left out, and the rest comes out', () => {
		const spot = (id: string, artwork: string): DecalInput => ({
			id,
			artwork,
			hand: 'right',
			place: { kind: 'spot', station: 60, girth: 12 },
		})
		const ball = { kind: 'revolved' as const, crown: { radius: 60 }, profile: { radius: 30, arc: 60 }, length: 120 }
		const result = compute(
			jobOf([{ hand: 'centre', found: ball, decals: [spot('vast', 'vast'), spot('small', 'small')] }], {
				artwork: [
					{ id: 'vast', shape: { kind: 'ellipse', width: 400, height: 300 } },
					{ id: 'small', shape: { kind: 'ellipse', width: 12, height: 8 } },
				],
			}),
			defaultShop(),
			{ until: 'scheme' },
		)
		expect(codes(result)).toEqual(['DECAL_BEYOND'])
		expect(placedIn(result).map(({ id }) => id)).toEqual(['small/right'])
	})
})

test('a decal that does not hold together is left out, and its panel and the other decals come out', () => {
	const place = { kind: 'spot' as const, station: 100, girth: 60, side: 'above' as const }
	const job = jobOf(
		[{ outline, readings, edges, decals: [decal({ id: 'bad', place, over: ['nothing'] }), decal({ id: 'good', place })] }],
		{ artwork },
	)
	const result = compute(job, defaultShop(), { until: 'scheme' })
	expect(result.problems.filter(({ severity }) => severity === 'error').map(({ code }) => code)).toEqual(['UNKNOWN_NEIGHBOUR'])
	expect(placedIn(result).map(({ id }) => id)).toEqual(['good/left'])
})

describe('told once and rightly', () => {
	const spot = (station: number, girth: number, angle = 0) => ({
		...{ kind: 'spot' as const, station, girth, side: 'above' as const, angle },
	})
	const decalCodes = (result: Result) => codes(result).filter((code) => code.startsWith('DECAL'))

	test('one decal over another is told once, and not at all where either says so', () => {
		const two = (below: Partial<DecalInput>, above: Partial<DecalInput>) =>
			decalCodes(
				laid([decal({ id: 'below', place: spot(100, 60), ...below }), decal({ id: 'above', place: spot(120, 65), ...above })]),
			)
		expect(two({}, {})).toEqual(['DECAL_OVER'])
		expect(two({}, { over: ['below'] })).toEqual([])
		expect(two({ over: ['above'] }, {})).toEqual([])
	})

	test('what lies below a turned decal lies below it, though one of its corners comes nearest', () => {
		const stripes: PanelInput['stripes'] = [{ id: 'stripe', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 6 }] }]
		for (const angle of [-8, 8]) {
			const [one] = placedIn(laid([decal({ place: spot(150, 75, angle) })], { stripes }))
			const stripe = one?.clearances.find(({ name }) => name === 'stripe')
			// Its lowest corner: 30 sin 8 + 10 cos 8 below its middle.
			const turn = (8 * Math.PI) / 180
			expect(stripe?.gapMm).toBeCloseTo(75 - 43 - 30 * Math.sin(turn) - 10 * Math.cos(turn), 3)
			expect(stripe?.towards).toBe('bottom')
		}
	})

	test('a mark of one side by name stands for both', () => {
		const readings = marked(
			[
				['f', 100, -80],
				['r', 160, -80],
			],
			true,
		)
		const outline = outlineOf(
			[
				[0, -120],
				[300, -120],
				[300, 120],
				[0, 120],
			],
			true,
		)
		const place = {
			kind: 'marks' as const,
			marks: [
				{ mark: 'left/f', point: 'front' as const },
				{ mark: 'left/r', point: 'rear' as const },
			],
		}
		const [left, right] = placedIn(laid([decal({ place })], { hand: 'centre', outline, readings, edges: [] }))
		expect(left?.frame.at.g).toBeCloseTo(-80, 3)
		expect(right?.frame.at.g).toBeCloseTo(80, 3)
		expect(right?.frame.at.s).toBeCloseTo(130, 3)
	})

	test('a decal over the seam of a ring lies on its panel, and beside what goes on from the other end', () => {
		const R = 60
		const round = 2 * Math.PI * R
		const section = (along: number) => ({
			along,
			points: Array.from({ length: 25 }, (_, k): [number, number] => {
				const turn = (2 * Math.PI * (k % 24)) / 24
				return [R * Math.sin(turn), R - R * Math.cos(turn)]
			}),
		})
		const marks = marked([
			['front', round - 26, -40],
			['rear', 34, -40],
		])
		const place = {
			kind: 'marks' as const,
			marks: [
				{ mark: 'front', point: 'front' as const },
				{ mark: 'rear', point: 'rear' as const },
			],
		}
		const result = laid([decal({ place }), decal({ id: 'next', place: spot(80, 0) })], {
			...{ outline: undefined, edges: [], readings: marks },
			found: { kind: 'sections', closed: true, sd: 0.01, sections: [0, 30, 60, 90, 120, 150].map(section) },
		})
		expect(codes(result)).not.toContain('DECAL_OFF_PANEL')
		const [one] = placedIn(result)
		expect(((one?.frame.at.s ?? 0) + round) % round).toBeCloseTo(4, 1)
		// From 34 to 50 along, from -30 to -10 up.
		expect(one?.clearances.find(({ name }) => name === 'next')?.gapMm).toBeCloseTo(Math.hypot(16, 20), 1)
	})
})

test('what lies across the centreline is not placed by lines, nor anything by a line across it', () => {
	const panel = (hand: 'across' | 'mirrored', edge: string) =>
		crossCheck(
			jobOf(
				[
					{
						hand: 'centre',
						readings: marked(
							[
								['l', 50, -40],
								['r', 50, 40],
								['a1', 0, 30],
								['a2', 200, 30],
							],
							true,
						),
						edges: [
							{ id: 'hoop', through: ['l', 'r'], hand: 'across' },
							{ id: 'side', through: ['a1', 'a2'], hand: 'right' },
						],
						decals: [decal({ hand, place: { kind: 'off', edge, distance: 5, lay: 'outboard', station: 50 } })],
					},
				],
				{ artwork },
			),
		).map(({ code }) => code)
	expect(panel('across', 'side')).toEqual(['PLACE_BY_LINE_ACROSS'])
	expect(panel('mirrored', 'hoop')).toEqual(['LINE_ACROSS'])
	expect(panel('mirrored', 'side')).toEqual([])
})

describe('what would be laid wrong is told', () => {
	const place = {
		kind: 'marks' as const,
		marks: [
			{ mark: 'front', point: 'front' as const },
			{ mark: 'rear', point: 'rear' as const },
		],
	}

	test('a mark half an inch off on one side of a centreline: an error, and nothing is made on either side', () => {
		const marks = marked(
			[
				['front', 120, -60],
				['rear', 180, -60],
				['front', 120, 72.7],
				['rear', 180, 60],
			],
			true,
		)
		const rim = outlineOf(
			[
				[0, -120],
				[300, -120],
				[300, 120],
				[0, 120],
			],
			true,
		)
		const result = laid([decal({ place })], { hand: 'centre', outline: rim, edges: [], readings: marks })
		const told = result.problems.find(({ code }) => code === 'DECAL_SIDES_DIFFER')
		expect(told?.severity).toBe('error')
		expect(placedIn(result)).toEqual([])
	})

	test('a mark that nothing checks, on a decal that was measured on one side', () => {
		const bare = marked([
			['front', 120, 50],
			['rear', 180, 50],
		])
		const told = (more: typeof bare) =>
			laid([decal({ place })], { readings: [...readings, ...bare, ...more] }).problems.filter(
				({ code }) => code === 'DECAL_UNCHECKED',
			)
		const [warning] = told([])
		expect(warning?.found).toContain('placed by front and rear')
		// Read twice, each checks the other.
		expect(told(bare)).toEqual([])
	})
})
