import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { JobInput } from '../../src/job/schema.ts'
import { jobOf, marked, schemeOf } from '../scheme/jobs.ts'

type Edge = NonNullable<JobInput['panels'][number]['edges']>[number]
type Step = { mark: string; by: 'smooth' | 'pulled'; corner: boolean }

/** The same marks from the other end: what was said of a stretch stays with the stretch. */
const reversed = (through: readonly Step[]): Step[] =>
	through.map((step, i) => ({ ...step, by: through[i + 1]?.by ?? 'smooth' })).reverse()

const END = fc.constantFrom('at-mark' as const, 'runs-off' as const)
const SHAPE = fc.constantFrom(
	undefined,
	{ shape: 'raked' as const, angleDeg: 60 },
	{ shape: 'pointed' as const, length: 30 },
	{ shape: 'rounded' as const },
)

test('the order in which the marks of a line are written changes nothing', () => {
	fc.assert(
		fc.property(
			fc.array(
				fc.record({
					g: fc.integer({ min: 0, max: 24 }),
					by: fc.constantFrom('smooth' as const, 'pulled' as const),
					corner: fc.boolean(),
				}),
				{ minLength: 3, maxLength: 6 },
			),
			END,
			END,
			SHAPE,
			SHAPE,
			fc.boolean(),
			(steps, front, rear, frontShape, rearShape, across) => {
				const through: Step[] = steps.map(({ by, corner }, i) => ({ mark: `m${i}`, by, corner }))
				const bands = (order: Step[]) => {
					// Across the centreline left to right, else front to rear.
					const places = steps.map(({ g }, i) =>
						across ? ([`m${i}`, g, 45 * i - 91] as const) : ([`m${i}`, 45 * i, g + 1] as const),
					)
					const edge: Edge = { id: 'line', through: order, front, rear, hand: across ? 'across' : 'mirrored' }
					const result = schemeOf(
						jobOf([
							{
								hand: 'centre',
								readings: marked(places, true),
								edges: [edge],
								stripes: [
									{
										id: 'st',
										edge: 'line',
										lay: across ? 'rear' : 'outboard',
										bands: [
											{
												paint: 'gold',
												width: [
													{ along: 0, width: 3 },
													{ along: 60, width: 8 },
												],
											},
										],
										...(frontShape && { front: frontShape }),
										...(rearShape && { rear: rearShape }),
									},
								],
							},
						]),
					)
					return {
						bands: JSON.stringify(result.panels[0]?.schemes?.[0]?.scheme.bands),
						codes: result.problems.map((p) => [p.code, p.place]),
					}
				}
				expect(bands(reversed(through))).toEqual(bands(through))
			},
		),
		{ numRuns: 40 },
	)
})

test('a mark of a line written backwards is named where it stands in the job', () => {
	const places = [0, 40, 80, 120, 160, 200, 240, 280].map((s, i) => [`m${i}`, s, i === 5 ? 16 : 10] as const)
	const job = jobOf([{ readings: marked(places), edges: [{ id: 'line', through: places.map(([name]) => name).reverse() }] }])
	const odd = schemeOf(job).problems
	expect(odd.length).toBeGreaterThan(0)
	for (const p of odd) {
		const at = Number(p.path.slice(p.path.lastIndexOf('/') + 1))
		expect(p.place?.s).toBeCloseTo(40 * (7 - at), 3)
	}
})

test('how well a line along a girth line is known is by its stations', () => {
	// Squared by eye 100 mm out a station is known far worse than the girth.
	const readings = [-100, -50, 50, 100].map((g, i) => ({
		kind: 'square' as const,
		mark: `m${i}`,
		station: 30,
		girth: Math.abs(g),
		side: g < 0 ? ('left' as const) : ('right' as const),
		squared: 'by-eye' as const,
	}))
	const result = schemeOf(
		jobOf([{ hand: 'centre', readings, edges: [{ id: 'hoop', through: readings.map((r) => r.mark), hand: 'across' }] }]),
	)
	const { survey, lines } = result.panels[0] ?? {}
	const worst = Math.max(...Object.values(survey?.survey.marks ?? {}).map((m) => m.sd.s))
	expect(worst).toBeGreaterThan(1)
	// the other marks help even there
	expect(lines?.edges[0]?.sdMm).toBeLessThan(worst)
	expect(lines?.edges[0]?.sdMm).toBeGreaterThan(0.8 * worst)
	// a taut tape between two marks is known as its worse end is
	const taut = schemeOf(jobOf([{ hand: 'centre', readings, edges: [{ id: 'hoop', through: ['m0', 'm1'], hand: 'across' }] }]))
	expect(taut.panels[0]?.lines?.edges[0]?.sdMm).toBeCloseTo(worst, 6)
})
