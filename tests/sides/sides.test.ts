// Left against right through whole jobs: cases are built from a true middle and a tape laid beside it, so that what has to be said is known.
import { describe, expect, test } from 'vitest'
import { compute, type Result } from '../../src/engine/compute.ts'
import { checksFor } from '../../src/engine/taped.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { resultJson } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { summary } from '../../src/report/summary.ts'
import type { PanelSides } from '../../src/sides/panelSides.ts'
import { sidesWords } from '../../src/sides/words.ts'

interface Read {
	readonly mark: string
	readonly station: number
	readonly girth: number
	readonly side: 'left' | 'right'
}

const round = (x: number) => Math.round(x * 2) / 2
/** Girths of the true marks, one station every 100 mm. */
const TRUE = [70, 88, 99, 104, 103, 96, 83]

/**
 * Readings of marks that are alike about a true middle, taken from a tape that lies `front` right of it at station 0 and `rear`
 * right of it at station 600 (negative: left). Plane geometry, nothing of the program's own.
 */
function readFrom(front: number, rear: number): Read[] {
	const angle = Math.atan2(rear - front, 600)
	const [c, s] = [Math.cos(angle), Math.sin(angle)]
	return TRUE.flatMap((g, i) =>
		(['left', 'right'] as const).map((side): Read => {
			const [x, y] = [100 * i, (side === 'right' ? g : -g) - front]
			const [along, across] = [c * x + s * y, -s * x + c * y]
			return { mark: `m${i + 1}`, station: along, girth: Math.abs(across), side }
		}),
	)
}

function jobOf(readings: readonly object[], more: { edge?: object; panel?: object } = {}) {
	const marks = [...new Set(readings.flatMap((r) => ('mark' in r ? [r.mark as string] : [])))]
	return {
		format: 1,
		title: 'Sides',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				id: 'lid',
				hand: 'centre',
				found: { kind: 'flat' },
				datums: [
					{ id: 'nose', station: 0 },
					{ id: 'tail', station: 600 },
				],
				readings: readings.map((r) => ({ kind: 'square', ...r })),
				edges: [{ id: 'line', what: 'upper line', through: marks, ...more.edge }],
				stripes: [{ id: 'coach', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
				...more.panel,
			},
		],
	}
}

function resultOf(job: object): Result {
	const loaded = loadJob(JSON.stringify(job), 'job.json')
	if (!loaded.value) throw new Error(JSON.stringify(loaded.problems))
	return compute(loaded.value.job, defaultShop(), { until: 'scheme' })
}

function sidesIn(result: Result): { sides: PanelSides; words: string; codes: string[] } {
	const panel = result.panels[0]!
	if (!panel.sides) throw new Error('no sides')
	return {
		sides: panel.sides,
		words: sidesWords(panel.sides, panel.panel, result.job.unit).join('\n'),
		codes: result.problems.map(({ code }) => code),
	}
}
const compared = (readings: readonly object[], more = {}) => sidesIn(resultOf(jobOf(readings, more)))

describe('the centreline as taped', () => {
	test('a tape 2.9 mm too far left in front and 0.3 mm too far right at the rear has to move back so', () => {
		const { sides, words, codes } = compared(readFrom(-2.9, 0.3))
		expect(sides.centreline?.front).toMatchObject({ station: 0, mm: expect.closeTo(2.9, 2) })
		expect(sides.centreline?.rear).toMatchObject({ station: 600, mm: expect.closeTo(-0.3, 2) })
		// In the middle of the marks it lies 1.3 mm left of where it should, and it comes over to the right.
		expect(words).toContain(
			'The centreline as taped lies 1.3 mm to the left at station 300 mm and turns by 0.31 degrees to the right going rearward',
		)
		expect(words).toContain('move the tape 2.9 mm right at the front end and 0.3 mm left at the rear')
		expect(words).toContain('Left and right agree at every mark.')
		// One thing is wrong, and one thing is told.
		expect(codes).toEqual(['SIDES_CENTRELINE_OFF'])
	})

	test('the same from the other side', () => {
		const { words } = compared(readFrom(2.9, -0.3))
		expect(words).toContain('lies 1.3 mm to the right')
		expect(words).toContain('to the left going rearward')
		expect(words).toContain('move the tape 2.9 mm left at the front end and 0.3 mm right at the rear')
	})

	test('what the readings cannot tell is not told', () => {
		const { sides, words, codes } = compared(readFrom(-0.2, 0.1))
		expect(sides.centreline?.proven).toBe(false)
		expect(words).toContain('The centreline as taped is right as far as these readings can tell: to ±0.5 mm at the front end')
		expect(codes).toEqual([])
	})

	test('the mean of both sides does not feel it', () => {
		const girthAt = (result: Result) => result.panels[0]!.lines!.edges[0]!.fitted.curve.cubics[0]![0].g
		expect(girthAt(resultOf(jobOf(readFrom(-2.9, 0.3))))).toBeCloseTo(girthAt(resultOf(jobOf(readFrom(0, 0)))), 2)
	})

	test('figures in the unit of the job', () => {
		const inches = readFrom(-2.9, 0.3).map((r) => ({ ...r, station: r.station / 25.4, girth: r.girth / 25.4 }))
		const job = jobOf(inches)
		const datums = [
			{ id: 'nose', station: 0 },
			{ id: 'tail', station: '600 mm' },
		]
		const { words } = sidesIn(resultOf({ ...job, unit: 'in', panels: [{ ...job.panels[0], datums }] }))
		expect(words).toContain('lies 0.051 in to the left at station 11 13/16 in')
		expect(words).toContain('move the tape 0.114 in right at the front end')
		expect(words).not.toMatch(/\d mm/)
	})
})

describe('one line off', () => {
	test('a mark 4 mm out is named with what it differs by, the centreline with the tape is not blamed', () => {
		const readings = readFrom(-2.9, 0.3).map((r) => (r.mark === 'm4' && r.side === 'right' ? { ...r, girth: r.girth + 4 } : r))
		const { sides, words, codes } = compared(readings)
		expect(sides.pairs.filter(({ setAside }) => setAside).map(({ id }) => id)).toEqual(['m4'])
		expect(sides.centreline?.front.mm).toBeCloseTo(2.9, 1)
		expect(words).toContain('m4: the right lies 4.0 mm farther out')
		expect(codes.sort()).toEqual(['SIDES_CENTRELINE_OFF', 'SIDES_DIFFER'])
	})

	test('less than the readings can tell: said what could be proven', () => {
		const readings = readFrom(0, 0).map((r) => (r.mark === 'm4' && r.side === 'left' ? { ...r, girth: r.girth + 1 } : r))
		const { words, codes } = compared(readings)
		expect(words).toMatch(/the most is m4, 0\.9 mm farther in on the right; from 2\.\d mm on it would be proven/)
		expect(codes).toEqual([])
	})

	test('a whole line that is off by little everywhere is proven by all its marks together', () => {
		const near = readFrom(0, 0)
		const far = near.map((r) => ({ ...r, mark: `n${r.mark.slice(1)}`, girth: r.girth + 60 + (r.side === 'right' ? 1.8 : 0) }))
		const marks = (letter: string) => TRUE.map((_, i) => `${letter}${i + 1}`)
		const edges = [
			{ id: 'near', through: marks('m') },
			{ id: 'far', what: 'lower line', through: marks('n') },
		]
		const { sides, words } = compared([...near, ...far], { panel: { edges, stripes: [] } })
		expect(sides.pairs.some(({ across }) => across.proven)).toBe(false)
		// Which of the two is off cannot be known: each is half of it from the middle of both.
		expect(sides.lines.map(({ edge, across }) => [edge, across.mm.toFixed(1), across.proven])).toEqual([
			['far', '0.9', true],
			['near', '-0.9', true],
		])
		expect(words).toContain('lower line: the right lies 0.9 mm farther out than the left in the mean of 7 marks')
	})
})

describe('marks that were exchanged', () => {
	test('left for right', () => {
		const readings = readFrom(-3, -3).map((r) => (r.mark === 'm4' ? { ...r, side: r.side === 'left' ? 'right' : 'left' } : r))
		const { sides, words, codes } = compared(readings)
		expect(sides.swapped).toEqual([{ kind: 'sides', marks: ['m4'] }])
		expect(words).toContain('m4 fits with left and right exchanged')
		expect(codes.sort()).toEqual(['SIDES_CENTRELINE_OFF', 'SIDES_SWAPPED'])
	})

	test('one mark for another on one side', () => {
		const name = (r: Read) => (r.side === 'left' ? r.mark : r.mark === 'm2' ? 'm3' : r.mark === 'm3' ? 'm2' : r.mark)
		const { sides, words } = compared(readFrom(0, 0).map((r) => ({ ...r, mark: name(r) })))
		expect(sides.swapped).toEqual([{ kind: 'names', marks: ['m2', 'm3'] }])
		expect(words).toContain('m2 and m3 fit once their names are exchanged on one side')
	})

	test('two girths in the wrong rows', () => {
		const right = (mark: string) => readFrom(0, 0).find((r) => r.mark === mark && r.side === 'right')!.girth
		const girth = (r: Read) =>
			r.side === 'left' ? r.girth : r.mark === 'm2' ? right('m3') : r.mark === 'm3' ? right('m2') : r.girth
		const { sides } = compared(readFrom(0, 0).map((r) => ({ ...r, girth: girth(r) })))
		expect(sides.swapped).toEqual([{ kind: 'girths', marks: ['m2', 'm3'] }])
	})

	test('two marks that are merely off are not called exchanged', () => {
		const off: Record<string, number> = { m2: 7, m5: -9 }
		const readings = readFrom(0, 0).map((r) => ({ ...r, girth: r.girth + (r.side === 'right' ? (off[r.mark] ?? 0) : 0) }))
		const { sides } = compared(readings)
		expect(sides.swapped).toEqual([])
		expect(sides.pairs.filter(({ across }) => across.proven).map(({ id }) => id)).toEqual(['m2', 'm5'])
	})
})

describe('where there is little to compare', () => {
	test('only one side', () => {
		const { sides, words, codes } = compared(readFrom(0, 0).filter(({ side }) => side === 'left'))
		expect(sides.pairs).toEqual([])
		expect(words).toBe('Only the left was measured: nothing compares the sides.')
		expect(codes).toEqual([])
	})

	test('one pair: where the middle is there, and no more', () => {
		const { sides, words } = compared(readFrom(-2, -2).filter(({ side, mark }) => side === 'left' || mark === 'm3'))
		expect(sides.open).toMatchObject({ kind: 'one-pair' })
		expect(words).toContain('Only m3 was measured on both sides: the middle lies 2.0 mm to the right of the tape there')
		expect(words).toContain('Measured on one side only, so that nothing compares them: left/m1, left/m2')
		expect(sides.alone).toHaveLength(6)
	})

	test('three pairs of which one must be wrong: not said which', () => {
		const three = readFrom(0, 0).filter(({ mark }) => ['m1', 'm4', 'm7'].includes(mark))
		const { sides, words, codes } = compared(
			three.map((r) => (r.mark === 'm4' && r.side === 'left' ? { ...r, girth: r.girth + 12 } : r)),
		)
		expect(sides.settled).toBe(false)
		expect(sides.centreline?.proven).toBe(false)
		expect(words).toContain('which of them is wrong cannot be told')
		expect(codes).not.toContain('SIDES_CENTRELINE_OFF')
		expect(codes).toContain('SIDES_DIFFER')
	})

	test('a panel of one side has none', () => {
		const readings = readFrom(0, 0)
			.filter(({ side }) => side === 'right')
			.map((r) => ({ ...r, side: 'above' }))
		expect(resultOf(jobOf(readings, { panel: { hand: 'right' } })).panels[0]?.sides).toBeUndefined()
	})
})

describe('which side a line follows', () => {
	// The right is 5 mm farther out at one mark: which girth the line has there tells what it followed.
	const readings = readFrom(0, 0).map((r) => (r.mark === 'm4' && r.side === 'right' ? { ...r, girth: 109 } : r))
	const girths = (sides?: string) => {
		const result = resultOf(jobOf(readings, sides ? { edge: { sides } } : {}))
		const at = Object.fromEntries(
			result.panels[0]!.lines!.edges.flatMap(({ sided }) =>
				sided.map(({ side, curve }) => {
					const near = curve.cubics.flat().reduce((a, b) => (Math.abs(b.s - 300) < Math.abs(a.s - 300) ? b : a))
					return [side, round(Math.abs(near.g))]
				}),
			),
		)
		return { at, result }
	}
	test.each([
		[undefined, { left: 105.5, right: 105.5 }],
		['mean', { left: 105.5, right: 105.5 }],
		['left', { left: 104, right: 104 }],
		['right', { left: 108, right: 108 }],
		['each', { left: 104, right: 108 }],
	])('%s', (sides, expected) => {
		const { at, result } = girths(sides)
		for (const side of ['left', 'right'] as const) expect(Math.abs(at[side]! - expected[side])).toBeLessThanOrEqual(1)
		const { words, codes } = sidesIn(result)
		expect(result.panels[0]!.sides!.choices).toEqual([{ edge: 'line', sides: sides ?? 'mean' }])
		expect(words.includes('upper line:')).toBe(sides !== undefined && sides !== 'mean')
		// Once it is decided there is nothing to warn of.
		expect(codes.includes('SIDES_DIFFER')).toBe(sides === undefined || sides === 'mean')
		const bands = result.panels[0]!.schemes![0]!.scheme.bands
		expect(bands.map(({ side }) => side)).toEqual(['left', 'right'])
		const [left, right] = bands.map(({ region }) => Math.max(...region.flat().map(({ g }) => Math.abs(g)))) as [number, number]
		expect(right - left).toBeCloseTo(sides === 'each' ? at.right! - at.left! : 0, -0.5)
	})

	test('a side that was never measured is refused', () => {
		const job = jobOf(
			readings.filter(({ side }) => side === 'left'),
			{ edge: { sides: 'right' } },
		)
		expect(resultOf(job).problems).toMatchObject([{ code: 'SIDE_NOT_READ', path: '/panels/0/edges/0/sides' }])
	})

	test('a line of one side has no choice', () => {
		const job = jobOf(readings, { edge: { sides: 'left', hand: 'left' } })
		expect(resultOf(job).problems.map(({ code }) => code)).toContain('SIDES_WRONG')
	})
})

test('a line that keeps each side as it was is printed so: strips and checks have either girth', () => {
	const readings = readFrom(0, 0).map((r) => (r.mark === 'm4' && r.side === 'right' ? { ...r, girth: 109 } : r))
	const loaded = loadJob(
		JSON.stringify(jobOf(readings, { edge: { sides: 'each' }, panel: { strips: { stations: [100, 200, 300, 400, 500] } } })),
	)
	const result = compute(loaded.value!.job, defaultShop(), { until: 'pieces' })
	expect(result.problems.filter(({ severity }) => severity === 'error')).toEqual([])
	const girth = (side: string) =>
		checksFor(result.panels[0]!)
			.find((each) => each.line === 'coach inner' && each.side === side)
			?.places.find(({ station }) => station === 300)?.girth ?? Number.NaN
	expect(girth('right') - girth('left')).toBeGreaterThan(3)
	const strip = result.panels[0]!.pieces!.filter(({ kind }) => kind === 'strip').find(({ title }) => title.includes('300'))
	const ticks = strip!.items.flatMap((item) => (item.kind === 'text' && item.text.startsWith('coach inner') ? [item.text] : []))
	expect(ticks.sort()).toEqual([girth('left'), girth('right')].map((mm) => `coach inner ${mm.toFixed(1)}`).sort())
})

describe('twins', () => {
	const places = [
		['c1', 20, 60],
		['c2', 90, 85],
		['c3', 160, 70],
		['c4', 230, 40],
	] as const
	/** The right cover's baseline was struck 2 mm low in front and 1 mm high at the rear of its datums. */
	const turned = (s: number, g: number) => {
		const angle = Math.atan2(-3, 240)
		const [c, n] = [Math.cos(angle), Math.sin(angle)]
		return { station: c * s + n * g - 0, girth: -n * s + c * g }
	}
	const job = (off = 0) => ({
		...jobOf([]),
		panels: [
			{
				id: 'cover',
				hand: 'pair',
				found: { kind: 'flat' },
				datums: (['left', 'right'] as const).flatMap((panel) =>
					[
						['stud', 0, 0],
						['hook', 240, 0],
						['pin', 120, 110],
					].map(([id, s, g]) => {
						const at = panel === 'left' ? { station: s as number, girth: g as number } : turned(s as number, g as number)
						return { id, station: at.station, girth: Math.abs(at.girth), side: at.girth < 0 ? 'below' : 'above', panel }
					}),
				),
				readings: (['left', 'right'] as const).flatMap((panel) =>
					places.map(([mark, s, g]) => {
						const at = panel === 'left' ? { station: s, girth: g } : turned(s, g + (mark === 'c2' ? off : 0))
						return { kind: 'square', mark, ...at, side: 'above', panel }
					}),
				),
				edges: [{ id: 'line', through: places.map(([id]) => id) }],
				stripes: [],
			},
		],
	})

	test('are compared through their datums: how the baseline was struck is taken out', () => {
		const { sides, words } = sidesIn(resultOf(job()))
		expect(sides.kind).toBe('twins')
		expect(sides.frame).toMatchObject({
			datums: ['hook', 'pin', 'stud'],
			turnDeg: expect.closeTo(0.716, 2),
			missMm: expect.closeTo(0, 6),
		})
		for (const { across, along } of sides.pairs) {
			expect(Math.abs(across.mm)).toBeLessThan(1e-6)
			expect(Math.abs(along!.mm)).toBeLessThan(1e-6)
		}
		expect(words).toContain('turned by 0.72 degrees')
		expect(words).toContain('Left and right agree at every mark.')
	})

	test('a mark that lies higher on the right one is named so', () => {
		const { words } = sidesIn(resultOf(job(5)))
		expect(words).toContain('c2: the right lies 5.0 mm higher')
	})
})

test('result.json and the summary have it', () => {
	const checks = [{ line: 'line', side: 'left', station: 300, girth: 104 }]
	const result = resultOf(jobOf(readFrom(-2.9, 0.3), { panel: { checks } }))
	const data = resultSchema.parse(JSON.parse(resultJson(result)))
	const [panel] = data.panels
	expect(panel?.sides?.words[0]).toContain('move the tape 2.9 mm right at the front end')
	expect(panel?.sides?.choices).toEqual([{ edge: 'line', sides: 'mean' }])
	expect(panel?.sides?.centreline?.line[0]?.[1]).toBeCloseTo(2.9, 2)
	expect(panel?.taped?.lines[0]).toMatchObject({ line: 'line', side: 'left', verdict: 'go' })
	expect(panel?.taped?.lines[0]?.plan).toHaveLength(61)
	const text = summary(result)
	expect(text).toContain(
		'left and right: 7 marks on both; none differs by more than the readings can tell; the centreline as taped is off: move the tape 2.9 mm right',
	)
	expect(text).toContain('as taped: 1 edge checked, all go')
})
