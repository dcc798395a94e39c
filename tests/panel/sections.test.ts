import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { distance } from '../../src/chart/distance.ts'
import type { SpacePoint } from '../../src/chart/point.ts'
import { sectionsLoft } from '../../src/panel/sections.ts'
import { sectionsFit } from '../../src/panel/sectionsFit.ts'
import { chartOf } from '../../src/panel/shape.ts'
import { LENGTH, offSkin, type Sections, tank, tankPlace } from './tank.ts'

const at = '/panels/0/found'
type Section = Extract<Sections['sections'][number], { points: unknown }>
const section = (c: Sections, i: number) => c.sections[i] as { -readonly [K in keyof Section]: Section[K] }
const found = (capture: Sections, hand: 'centre' | 'left' | 'right' = 'centre') => chartOf('p', hand, capture, at)
function good(capture: Sections, hand: 'centre' | 'left' | 'right' = 'centre'): Chart {
	const { value, problems } = found(capture, hand)
	expect(problems).toEqual([])
	if (!value) throw new Error('no chart')
	return value
}
const apart = (p: SpacePoint, q: SpacePoint) => Math.hypot(p.x - q.x, p.y - q.y, p.z - q.z)

describe('the skin over gauge sections', () => {
	test('meets a tank in closed form the better, the more it was read', () => {
		// The tank's own places are the outside value; 0.031 mm with 9 x 17 readings is what a good loft reaches on such a shape.
		const off = (
			[
				[5, 9],
				[9, 13],
				[9, 17],
				[13, 25],
			] as const
		).map(([sections, points]) => {
			const skin = sectionsLoft(tank({ sections, points, sd: 0.001 }), at).value
			if (!skin) throw new Error('no skin')
			let worst = 0
			for (let x = 15; x < LENGTH; x += 30) {
				for (const a of [-0.93, -0.7, -0.4, -0.1, 0.2, 0.55, 0.8, 0.97]) {
					worst = Math.max(worst, offSkin(skin.surface, x, tankPlace(x, a)))
				}
			}
			return worst
		}) as [number, number, number, number]
		expect(off[0]).toBeLessThan(0.2)
		expect(off[1]).toBeLessThan(0.05)
		expect(off[2]).toBeLessThan(0.031)
		expect(off[3]).toBeLessThan(0.01)
		expect(off[2]).toBeLessThan(off[0] / 4)
	})

	test('leaves noisy readings by 0.25 to 0.5 of their noise', () => {
		for (const [noise, seed] of [
			[0.1, 3],
			[0.3, 4],
			[0.5, 5],
		] as const) {
			const skin = sectionsLoft(tank({ noise, sd: noise, seed }), at).value
			if (!skin) throw new Error('no skin')
			const fit = sectionsFit(skin)
			expect(fit.rmsMm).toBeGreaterThan(0.25 * noise)
			expect(fit.rmsMm).toBeLessThan(0.5 * noise)
			expect(Math.abs(fit.worst.mm)).toBeGreaterThan(fit.rmsMm)
		}
	})

	test('sections need not have the same number of readings, nor be whole, nor evenly spaced', () => {
		const whole = good(tank({ points: 33, sd: 0.01 }))
		const mixed = tank({ points: 33, sd: 0.01 })
		mixed.sections.forEach((_, i) => {
			const s = section(mixed, i)
			if (i % 3 === 0) s.points = s.points.filter((_, k) => k % 2 === 0)
			else if (i % 3 === 1) {
				const centre = (s.points.length - 1) / 2
				Object.assign(mixed.sections, {
					[i]: {
						along: s.along,
						drop: 0,
						creases: [],
						left: s.points
							.slice(0, centre + 1)
							.reverse()
							.map(([x, d]) => [-x, d]),
						right: s.points.slice(centre),
					},
				})
			} else {
				s.half = true
				s.points = s.points.slice((s.points.length - 1) / 2)
			}
		})
		const chart = good(mixed)
		for (const g of [-120, -60, 60, 120]) {
			for (const s of [40, 200, 400]) expect(Math.abs(chart.metric(s, g).j - whole.metric(s, g).j)).toBeLessThan(2e-3)
		}
	})

	test('a drop is the same as deeper readings', () => {
		const plain = good(tank())
		const dropped = tank()
		dropped.sections.forEach((_, i) => {
			const s = section(dropped, i)
			s.drop = 7 - i
			s.points = s.points.map(([x, d]) => [x, d - (7 - i)])
		})
		expect(good(dropped).metric(200, 90).j).toBeCloseTo(plain.metric(200, 90).j, 9)
	})

	test('sections square to a crown that is a circle, of circles about it, are a torus', () => {
		// do Carmo, Differential Geometry, 4-4: J about the outer equator of a torus is (R + r cos(g / r)) / (R + r).
		const [ring, tube] = [400, 120]
		const crown = Array.from({ length: 33 }, (_, i): [number, number] => {
			const t = -0.6 + (1.2 * i) / 32
			return [(ring + tube) * Math.sin(t), (ring + tube) * (1 - Math.cos(t))]
		})
		const chart = good({
			kind: 'sections',
			crown: { points: crown, sd: 0.001 },
			sd: 0.001,
			front: 100,
			baseline: {},
			sections: Array.from({ length: 9 }, (_, i) => ({
				along: ((ring + tube) * 1.2 * i) / 8,
				drop: 0,
				half: true,
				creases: [],
				points: Array.from({ length: 15 }, (_, k): [number, number] => {
					const t = (1.4 * k) / 14
					return [tube * Math.sin(t), tube * (1 - Math.cos(t))]
				}),
			})),
		})
		for (const s of [160, 300, 500, 690]) {
			for (const g of [-140, -80, 0, 50, 150]) {
				const j = (ring + tube * Math.cos(g / tube)) / (ring + tube)
				expect(Math.abs(chart.metric(s, g).j - j)).toBeLessThan(5e-4)
			}
		}
	})
})

describe('the chart of a panel in sections', () => {
	const chart = good(tank({ sd: 0.01 }))

	test('the front is where the baseline comes onto the first section, and stations are lengths along the skin', () => {
		const embed = chart.embed as NonNullable<Chart['embed']>
		expect(embed({ s: 0, g: 0 }).x).toBeCloseTo(0, 6)
		// Length of the tank's crown line in closed form, by chords.
		let length = 0
		const crown = (x: number) => ({ x, y: 0, z: -tankPlace(x, 0)[1] })
		for (let i = 0; i < 4000; i++) length += apart(crown((LENGTH * i) / 4000), crown((LENGTH * (i + 1)) / 4000))
		const end = embed({ s: length, g: 0 })
		expect(end.x).toBeCloseTo(LENGTH, 1)
		expect(Math.abs(end.y)).toBeLessThan(1e-3)
		expect(good({ ...tank({ sd: 0.01 }), front: 250 }).metric(350, 70).j).toBeCloseTo(chart.metric(100, 70).j, 9)
	})

	test('covers the corners: lines from beyond the ends of the baseline come in over them', () => {
		expect(chart.sMin).toBeLessThan(-10)
		const embed = chart.embed as NonNullable<Chart['embed']>
		// The rim of the first and last section: a place of the chart lies there.
		for (const x of [0, LENGTH]) {
			for (const a of [-0.98, 0.98]) {
				const [y, d] = tankPlace(x, a)
				let best = Number.POSITIVE_INFINITY
				for (let s = chart.sMin; s <= chart.sMax; s += 1) {
					for (let g = chart.gMin(s); g <= chart.gMax(s); g += 1) best = Math.min(best, apart(embed({ s, g }), { x, y, z: -d }))
				}
				expect(best).toBeLessThan(1.5)
			}
		}
	})

	test('ends at the rim of its sections, and says so', () => {
		const embed = chart.embed as NonNullable<Chart['embed']>
		for (const s of [60, 240, 400]) {
			for (const g of [chart.gMin(s), chart.gMax(s)]) {
				const p = embed({ s, g })
				const [y, d] = tankPlace(p.x, Math.sign(g))
				// 2 mm past the rim, on purpose.
				expect(apart(p, { x: p.x, y, z: -d })).toBeLessThan(3)
			}
		}
		expect(chart.limitReason).toBe('the panel was measured only that far')
	})

	test('is the same on both hands of a pair, mirrored in space', () => {
		const [left, right] = (['left', 'right'] as const).map((hand) => good(tank(), hand)) as [Chart, Chart]
		expect([left.orientation, right.orientation]).toEqual([1, -1])
		expect(left.metric(100, 60)).toEqual(right.metric(100, 60))
		const [p, q] = [left, right].map((c) => (c.embed as NonNullable<Chart['embed']>)({ s: 100, g: 60 })) as [
			SpacePoint,
			SpacePoint,
		]
		expect([q.x, -q.y, q.z]).toEqual([p.x, p.y, p.z])
	})

	test('a baseline between two places off the centre is the taut line between them', () => {
		const oblique = good({
			...tank({ sd: 0.01 }),
			baseline: { from: { along: 60, across: -30 }, to: { along: 420, across: 40 } },
		})
		const [e, c] = [oblique, chart].map((x) => x.embed as NonNullable<Chart['embed']>) as [
			NonNullable<Chart['embed']>,
			typeof chart.embed & object,
		]
		// The same two places on the other chart, and the path between them there.
		const place = (goal: SpacePoint) => {
			let best = { s: 0, g: 0, miss: Number.POSITIVE_INFINITY }
			for (let step = 8; step > 1e-5; step /= 2) {
				const from = best
				for (let i = step === 8 ? -70 : -4; i <= (step === 8 ? 70 : 4); i++) {
					for (let k = step === 8 ? -10 : -4; k <= (step === 8 ? 10 : 4); k++) {
						const q = { s: from.s + i * step, g: from.g + k * step }
						const miss = apart(c(q), goal)
						if (miss < best.miss) best = { ...q, miss }
					}
				}
			}
			return best
		}
		const [a, b] = [e({ s: 100, g: 0 }), e({ s: 350, g: 0 })]
		expect(distance(chart, place(a), place(b))?.length).toBeCloseTo(250, 3)
	})
})

describe('sections that cannot be, each by name and place', () => {
	const first = (capture: Sections) => {
		const { problems } = found(capture)
		return [problems[0]?.code, problems[0]?.path, problems[0]?.severity]
	}
	const changed = (change: (c: Sections) => void) => {
		const c = tank()
		change(c)
		return c
	}

	test('out of order, twice at one place', () => {
		const swapped = changed((c) => (c.sections as unknown[]).splice(2, 2, c.sections[3], c.sections[2]))
		expect(first(swapped)).toEqual(['SECTIONS_OUT_OF_ORDER', `${at}/sections/3/along`, 'error'])
		const twice = changed((c) => {
			section(c, 4).along = c.sections[3]?.along as number
		})
		expect(first(twice)).toEqual(['SECTION_REPEATS', `${at}/sections/4/along`, 'error'])
	})

	test('of a wildly different length', () => {
		const short = changed((c) => {
			section(c, 2).points = section(c, 2).points.slice(4, 12)
		})
		expect(first(short)).toEqual(['SECTION_LENGTH_ODD', `${at}/sections/2`, 'error'])
		const inCm = changed((c) => {
			section(c, 8).points = section(c, 8).points.map(([x, d]) => [x / 10, d / 10])
		})
		expect(first(inCm)).toEqual(['SECTION_LENGTH_ODD', `${at}/sections/8`, 'error'])
	})

	test('mirrored by mistake', () => {
		const lean = changed((c) => {
			for (const s of c.sections as Section[]) for (const p of s.points) p[1] += p[0] > 0 ? p[0] ** 2 / 400 : 0
		})
		expect(found(structuredClone(lean)).problems).toEqual([])
		section(lean, 4).points = section(lean, 4)
			.points.map(([x, d]): [number, number] => [-x, d])
			.reverse()
		expect(first(lean)).toEqual(['SECTION_MIRRORED', `${at}/sections/4`, 'error'])
	})

	test('crossing, because a crown bends sharply', () => {
		const sharp = changed((c) => {
			for (const s of c.sections as { along: number }[]) s.along /= 4
			c.crown = { points: [0, 15, 40, 60, 80, 105, 120].map((x): [number, number] => [x, ((x - 60) / 60) ** 2 * 50]) }
		})
		expect(first(sharp)[0]).toBe('SECTIONS_CROSS')
	})

	test('a baseline that is not on the panel, or leaves it', () => {
		expect(first({ ...tank(), baseline: { to: { along: 600, across: 0 } } })).toEqual([
			'BASELINE_OFF_PANEL',
			`${at}/baseline/to`,
			'error',
		])
		expect(first({ ...tank(), baseline: { from: { along: 0, across: -140 } } })).toEqual([
			'BASELINE_OFF_PANEL',
			`${at}/baseline/from`,
			'error',
		])
		// A waisted panel: the taut line between two corners passes outside the waist.
		const waisted = changed((c) => {
			for (const s of c.sections as Section[]) {
				const reach = 0.45 + 0.55 * ((s.along - 240) / 240) ** 2
				s.points = s.points.map(([x]): [number, number] => [x * reach, 0.001 * x * x])
			}
		})
		waisted.baseline = { from: { along: 5, across: 80 }, to: { along: 475, across: 80 } }
		expect(first(waisted)).toEqual(['BASELINE_LEAVES_PANEL', `${at}/baseline`, 'error'])
	})

	test('a crease without a reading on it, or not in every section', () => {
		const missing = changed((c) => {
			section(c, 3).creases = [33.3]
		})
		expect(first(missing)).toEqual(['CREASE_NOT_READ', `${at}/sections/3/creases/0`, 'error'])
		const some = changed((c) => {
			section(c, 3).creases = [section(c, 3).points[11]?.[0] as number]
		})
		expect(first(some)).toEqual(['CREASES_DIFFER', `${at}/sections/3/creases`, 'error'])
	})
})

describe('readings that stick out', () => {
	test('one slip of 1.5 mm in 153 readings with 0.1 mm noise is named, and nothing else', () => {
		for (const [i, k, seed] of [
			[4, 6, 1],
			[1, 8, 2],
			[7, 12, 3],
			[3, 5, 4],
		] as const) {
			const capture = tank({ noise: 0.1, seed })
			const p = section(capture, i).points[k] as [number, number]
			p[1] += 1.5
			const { value, problems } = found(capture)
			expect(value).toBeDefined()
			expect(problems.map((x) => [x.code, x.path, x.severity])).toEqual([
				['SECTION_READING_ODD', `${at}/sections/${i}/points/${k}`, 'warning'],
			])
			expect(problems[0]?.found).toContain('below')
		}
	})

	test('good readings are left alone', () => {
		for (let seed = 1; seed <= 25; seed++) expect(found(tank({ noise: 0.1, seed })).problems).toEqual([])
	})
})

test('where one more section helps, and what fewer cost', () => {
	const skin = sectionsLoft(tank({ sections: 13, points: 33, sd: 0.001 }), at).value
	const gap = tank({ sections: 13, points: 33, sd: 0.001 })
	gap.sections.splice(4, 2)
	const open = sectionsLoft(gap, at).value
	const seven = sectionsLoft(tank({ sections: 7, points: 33, sd: 0.001 }), at).value
	if (!skin || !open || !seven) throw new Error('no skin')
	// Sections at 120 and 240 mm with nothing between.
	expect(sectionsFit(open).oneMore.along).toBe(180)
	const { everyOther, without } = sectionsFit(skin)
	// The true cost: the skin of 7 sections against the tank at those left out.
	let worst = 0
	for (let i = 1; i < 12; i += 2) {
		const x = (LENGTH * i) / 12
		for (let a = -0.95; a <= 0.96; a += 0.05) {
			worst = Math.max(worst, offSkin(seven.surface, x, tankPlace(x, a)))
		}
	}
	expect(everyOther?.worstMm).toBeGreaterThan(worst / 1.5)
	expect(everyOther?.worstMm).toBeLessThan(worst * 1.5)
	expect(without.length).toBe(13)
})
