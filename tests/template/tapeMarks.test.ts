/** Runs of tape on the pieces that they are laid by, against where the tape itself says that it lies. */
import { describe, expect, test } from 'vitest'
import { toPlane } from '../../src/chart/region.ts'
import { compute } from '../../src/engine/compute.ts'
import type { Paintwork } from '../../src/engine/paintwork.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { pointInRegion } from '../../src/plane/polyline.ts'
import { labelFaults } from '../../src/sheet/labelCheck.ts'
import type { Piece } from '../../src/template/piece.ts'
import { jobFiles } from './jobFiles.ts'
import { clashes, paths, pointsOf, texts } from './printed.ts'

const jobs = jobFiles.map(([file, job]) => {
	const [plain, taped] = [undefined, true].map((paintwork) =>
		compute(job, defaultShop(), { until: 'pieces', ...(paintwork ? { paintwork } : {}) }),
	) as [ReturnType<typeof compute>, ReturnType<typeof compute>]
	const pairs = taped.panels.flatMap(({ id, pieces = [] }) =>
		pieces.flatMap((piece) => {
			const before = plain.panels.flatMap((panel) => panel.pieces ?? []).find((each) => each.id === piece.id)
			return before ? [{ panel: id, before, piece }] : []
		}),
	)
	return { file, plain, work: taped.paintwork, pairs }
})

const LABEL = /^runs? (\d+(?:, \d+)*)(?=,|$)/
const FAR = /^far side of runs? ([\d, ]+)$/
const numbers = (list: string) => list.split(', ').map(Number)
const added = ({ before, piece }: { before: Piece; piece: Piece }) => piece.items.slice(before.items.length)

/** The runs of a panel, of the hand that a piece is of. */
function runsOf(work: Paintwork, panel: string, side: Piece['side']) {
	const own = work.panels.filter(({ id, hand }) => id === panel && (hand === 'centre' || hand.toUpperCase() === side))
	return own.flatMap(({ tape, seen }) => tape.flatMap(({ runs }) => runs.map((run) => ({ run, chart: seen.chart }))))
}

/** The shortest way from a place to a line. */
function distanceTo(line: readonly PlanePoint[], p: PlanePoint): number {
	return line.slice(1).reduce((least, b, i) => {
		const a = line[i] as PlanePoint
		const [dx, dy] = [b.x - a.x, b.y - a.y]
		const t = Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy)))
		return Math.min(least, Math.hypot(a.x + t * dx - p.x, a.y + t * dy - p.y))
	}, Infinity)
}

describe.each(jobs)('$file', ({ plain, work, pairs }) => {
	test('pieces are the same but for what is added to them, and nothing is added where no paintwork was asked for', () => {
		for (const { before, piece } of pairs) {
			const { items, bounds: _, notes: __, bare, ...rest } = piece
			// What is cut is the piece as it was.
			expect(bare ?? piece).toEqual(before)
			const { items: own, bounds: ___, notes: ____, ...same } = before
			expect(rest).toEqual(same)
			expect(items.slice(0, own.length)).toEqual(own)
		}
		const words = plain.panels.flatMap(({ pieces = [] }) => pieces.flatMap((piece) => texts(piece.items)))
		expect(words.filter(({ text }) => LABEL.test(text))).toEqual([])
	})

	test('no label lies on another, on a line, or out of the bounds of its piece', () => {
		const faults = pairs.flatMap(({ piece }) => [
			...labelFaults(piece.items).map(({ text, on, other }) => `${piece.number}: ${text} on ${on} ${other}`),
			...clashes(piece),
		])
		expect(faults).toEqual([])
		for (const { piece } of pairs) {
			const { minX, minY, maxX, maxY } = piece.bounds
			for (const { at } of texts(piece.items)) expect(at.x > minX && at.x < maxX && at.y > minY && at.y < maxY).toBe(true)
		}
	})

	test('every number is that of a run of its panel', () => {
		for (const pair of pairs) {
			const known = new Set(work ? runsOf(work, pair.panel, pair.piece.side).map(({ run }) => run.number) : [])
			const said = texts(added(pair)).flatMap(({ text }) => numbers(LABEL.exec(text)?.[1] ?? ''))
			expect(said.filter((number) => !known.has(number))).toEqual([])
		}
	})

	test('a far side lies as far off the edge as the tape is wide, and the tape itself lies on that side', () => {
		const sides = new Map<string, boolean[]>()
		for (const pair of pairs) {
			for (const item of paths(added(pair))) {
				const said = FAR.exec(item.title ?? '')?.[1]
				if (said === undefined || !work) continue
				const own = runsOf(work, pair.panel, pair.piece.side).filter(({ run }) => run.number === numbers(said)[0])
				const far = pointsOf(item)
				const middle = far[Math.floor(far.length / 2)] as PlanePoint
				const edges = pair.piece.edges ?? []
				// nearest place of any edge of the piece
				const near = edges
					.flatMap(({ on, at }) =>
						on.map((p, i) => ({ p, at: at[i] as (typeof at)[number], last: on[i - 1], before: at[i - 1] })),
					)
					.map((one) => ({ ...one, d: Math.hypot(one.p.x - middle.x, one.p.y - middle.y) }))
					.sort((a, b) => a.d - b.d)
				const { p, at, last, before } = near.find((one) => one.last !== undefined) as (typeof near)[number]
				if (!last || !before) continue
				const left = Math.sign((p.x - last.x) * (middle.y - p.y) - (p.y - last.y) * (middle.x - p.x))
				const off = Math.min(...edges.map(({ on }) => distanceTo(on, middle)))
				const on = own.filter(({ run, chart }) => {
					const { j } = chart.metric(at.s, at.g)
					const [ds, dg] = [(at.s - before.s) * j, at.g - before.g]
					const side = left * chart.orientation
					const mm = 0.3 / Math.hypot(ds, dg)
					const inside = { x: at.s - (side * dg * mm) / j, y: at.g + side * ds * mm }
					return pointInRegion(inside, toPlane(run.outline))
				})
				const which = `${pair.piece.number}: ${item.title}`
				sides.set(which, [...(sides.get(which) ?? []), on.length > 0])
				const width = Math.min(...own.map(({ run }) => Math.abs(off - run.tape.width - run.offMm)))
				expect(width).toBeLessThan(0.1)
			}
		}
		// Where a stripe runs out to its point the tape over it is trimmed along both of its edges.
		const wrong = [...sides].filter(([, all]) => all.filter((on) => !on).length > 0.4 * all.length)
		expect(wrong).toEqual([])
	})
})

test('the demo has a run at every guide, and far sides among them', () => {
	const { pairs } = jobs[0] as (typeof jobs)[number]
	const guides = pairs.filter(({ piece }) => piece.kind === 'guide' || piece.kind === 'crown')
	const without = guides.filter((pair) => !texts(added(pair)).some(({ text }) => LABEL.test(text)))
	expect(guides.length).toBeGreaterThan(20)
	expect(without.map(({ piece }) => piece.number)).toEqual([])
	expect(guides.flatMap(added).some((item) => item.kind === 'path' && FAR.test(item.title ?? ''))).toBe(true)
})
