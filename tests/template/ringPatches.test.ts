/**
 * Patches on a ring. A tube looks the same however it is turned: what is laid on it must come out alike wherever round it stations
 * begin, a patch over the seam like one anywhere else.
 */
import { describe, expect, test } from 'vitest'
import { compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { resultData } from '../../src/report/resultJson.ts'

const R = 60
const ROUND = 2 * Math.PI * R
const onRing = (s: number) => ((s % ROUND) + ROUND) % ROUND
const section = (along: number) => ({
	along,
	points: Array.from({ length: 25 }, (_, k) => {
		const turn = (2 * Math.PI * (k % 24)) / 24
		return [R * Math.sin(turn), R - R * Math.cos(turn)]
	}),
})

/** A band 8 mm wide once round a tube, and a patch over it from a station for 33 mm; all of it turned so that stations begin elsewhere. */
function made(from: number, patch: object, turnedBy = 0): Result {
	const at = (s: number) => onRing(s + turnedBy)
	const corners = [
		[from, 5],
		[from + 33, 5],
		[from + 33, 35],
		[from, 35],
	] as const
	const job = {
		format: 1,
		title: 'tube',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				id: 'tube',
				hand: 'left',
				found: { kind: 'sections', closed: true, sd: 0.02, sections: [0, 30, 60, 90, 120, 150].map(section) },
				readings: [0, 1, 2, 3, 4].map((i) => ({
					...{ kind: 'square', mark: `m${i}`, station: at(20 + (i * ROUND) / 5), girth: 20, side: 'above', sd: 0.01 },
				})),
				edges: [{ id: 'round', through: [0, 1, 2, 3, 4].map((i) => `m${i}`), closed: true }],
				stripes: [{ id: 'band', edge: 'round', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
				strips: { stations: [60, 150, 240, 330].map(at) },
				patches: [{ id: 'lug', outline: corners.map(([s, g]) => ({ station: at(s), girth: g, side: 'above' })), ...patch }],
			},
		],
	}
	const { value, problems } = loadJob(JSON.stringify(job))
	if (!value) throw new Error(problems.map(({ found }) => found).join('; '))
	return compute(value.job, defaultShop(), { until: 'pieces' })
}

const lengthOf = (line: readonly PlanePoint[]) =>
	line.slice(1).reduce((sum, q, i) => sum + Math.hypot(q.x - (line[i]?.x ?? 0), q.y - (line[i]?.y ?? 0)), 0)
const piecesOf = (result: Result, kind: string) => (result.panels[0]?.pieces ?? []).filter((piece) => piece.kind === kind)
const textsOf = (piece: ReturnType<typeof piecesOf>[number]) =>
	piece.items.flatMap((item) => (item.kind === 'text' ? [item.text] : []))
/** The area that loops enclose, mm^2, by the shoelace formula: on a tube (s, g) is the plane. */
const areaOf = (loops: readonly (readonly (readonly [number, number])[])[]) =>
	loops.reduce(
		(sum, loop) =>
			sum +
			loop.reduce(
				(part, [x, y], i) =>
					part + (x * (loop[(i + 1) % loop.length]?.[1] ?? 0) - (loop[(i + 1) % loop.length]?.[0] ?? 0) * y) / 2,
				0,
			),
		0,
	)

/** Over the seam of the band as it was read first; elsewhere; over it again; ending on it and beginning on it. */
const places = [
	['away from the seam', 80, 0],
	['over the seam', 80, -95],
	['ending on the seam', 80, -113],
	['beginning on the seam', 80, -80],
] as const

describe.each([
	['that paint runs on over', { painted: true }],
	['that is not painted', { painted: false }],
] as const)('a patch %s', (_, patch) => {
	const laid = places.map(([name, from, turnedBy]) => [name, turnedBy, made(from, patch, turnedBy)] as const)

	test.each(laid)('%s: one guide for each edge goes round to it from its other side', (_, turnedBy, result) => {
		expect(result.problems).toEqual([])
		const guides = piecesOf(result, 'guide')
		// From 2 mm behind the patch round to 2 mm before it.
		expect(guides.map(({ working }) => working.length)).toEqual([1, 1])
		for (const guide of guides) {
			expect(Math.abs(lengthOf(guide.working.flat()) - (ROUND - 33 - 4))).toBeLessThan(0.02)
			expect(guide.notes).toContain('It begins behind the lug.')
			expect(guide.notes).toContain('It stops at the rim of the lug.')
			// Its dots are those of all four strips, each with the girth of its edge.
			const g = guide === guides[0] ? 20 : 28
			const dots = [150, 240, 330, 60].map(
				(s) => `${(Math.round(onRing(s + turnedBy) * 10) / 10).toFixed(1).replace(/\.0$/, '')} | ${g}`,
			)
			for (const dot of dots) expect(textsOf(guide)).toContain(dot)
		}
	})

	test.each(laid)('%s: strips have each edge once', (_, __, result) => {
		const strips = piecesOf(result, 'strip')
		expect(strips).toHaveLength(4)
		for (const strip of strips) expect(textsOf(strip).filter((text) => text.startsWith('band '))).toHaveLength(2)
	})

	test.each(laid)('%s: its rim and the band are written once, as large as they are', (_, __, result) => {
		const panel = resultData(result).panels[0]
		expect(Math.abs(areaOf(panel?.patches?.[0]?.region ?? []) - 33 * 30)).toBeLessThan(0.5)
		const stations = (panel?.patches?.[0]?.region ?? []).flat().map(([s]) => s)
		expect(Math.min(...stations)).toBeGreaterThanOrEqual(-1e-3)
		expect(Math.max(...stations)).toBeLessThanOrEqual(ROUND + 0.01)
		const band = 8 * (patch.painted ? ROUND : ROUND - 33)
		expect(Math.abs(areaOf(panel?.bands?.[0]?.region ?? []) - band)).toBeLessThan(0.5)
	})
})

test('a rim that goes right round the ring is no patch, and that is said', () => {
	const outline = [0, 1, 2, 3].map((i) => ({ station: (i * ROUND) / 4, girth: 10 + i, side: 'above' }))
	const { problems } = made(80, { outline })
	expect(problems.map(({ code, path }) => [code, path])).toContainEqual(['PATCH_GOES_ROUND', '/panels/0/patches/0'])
})

test('no way round a ring is the front: arrows say where stations start', () => {
	const result = made(80, {})
	for (const piece of result.panels[0]?.pieces ?? []) {
		expect(textsOf(piece)).toContain('START')
		expect([...textsOf(piece), ...piece.notes].join(' ')).not.toMatch(/front/i)
	}
})
