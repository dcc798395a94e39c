import { describe, expect, test } from 'vitest'
import { polylinesOf } from '../../src/drawing/polylines.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import type { Piece } from '../../src/template/piece.ts'
import { pdfOf, saved } from '../sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'
import { type ReadPath, strokedPaths } from './vectors.ts'

// Tiles laid over each other by their register marks. All that is laid is read from the PDF by poppler; the only help is the name of
// the neighbour that each join prints.

const WITHIN_MM = 0.05
const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const

interface Laid {
	readonly sheet: Sheet
	readonly paths: readonly ReadPath[]
	readonly crosses: readonly PlanePoint[]
}

const distance = (a: PlanePoint, b: PlanePoint) => Math.hypot(a.x - b.x, a.y - b.y)

/** A register mark: one path of two strokes of equal length that halve each other. */
function crossesIn(paths: readonly ReadPath[]): PlanePoint[] {
	return paths.flatMap(({ lines }) => {
		const [one, two] = lines
		if (lines.length !== 2 || one?.length !== 2 || two?.length !== 2) return []
		const middle = (line: readonly PlanePoint[]) => ({
			x: ((line[0] as PlanePoint).x + (line[1] as PlanePoint).x) / 2,
			y: ((line[0] as PlanePoint).y + (line[1] as PlanePoint).y) / 2,
		})
		return distance(middle(one), middle(two)) < 0.02 ? [middle(one)] : []
	})
}

function offLine(p: PlanePoint, points: readonly PlanePoint[]): number {
	let least = Number.POSITIVE_INFINITY
	for (let i = 1; i < points.length; i++) {
		const [a, b] = [points[i - 1] as PlanePoint, points[i] as PlanePoint]
		const length2 = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
		const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length2))
		least = Math.min(least, distance(p, { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) }))
	}
	return least
}

type Move = (p: PlanePoint) => PlanePoint

/** The turn and shift that lays the first pair of points on the second. */
function layOn(from: readonly [PlanePoint, PlanePoint], onto: readonly [PlanePoint, PlanePoint]): Move {
	const angle = (pair: readonly [PlanePoint, PlanePoint]) => Math.atan2(pair[1].y - pair[0].y, pair[1].x - pair[0].x)
	const turn = angle(onto) - angle(from)
	const middle = (pair: readonly [PlanePoint, PlanePoint]) => ({ x: (pair[0].x + pair[1].x) / 2, y: (pair[0].y + pair[1].y) / 2 })
	const [m, n] = [middle(from), middle(onto)]
	return (p) => ({
		x: n.x + (p.x - m.x) * Math.cos(turn) - (p.y - m.y) * Math.sin(turn),
		y: n.y + (p.x - m.x) * Math.sin(turn) + (p.y - m.y) * Math.cos(turn),
	})
}

/** The crosses on one join of a sheet, in order along it: its two outermost ones. */
function pairAt({ sheet, crosses }: Laid, neighbour: string): readonly [PlanePoint, PlanePoint] {
	const join = sheet.joins.find((one) => one.sheet === neighbour)
	if (!join) throw new Error(`${sheet.name} does not name ${neighbour}`)
	const upright = join.at === 'left' || join.at === 'right'
	const on = crosses.filter((p) => offLine(p, join.line) < 1).sort((a, b) => (upright ? a.y - b.y : a.x - b.x))
	expect(on.length).toBe(join.marks.length)
	expect(on.length).toBeGreaterThanOrEqual(2)
	return [on[0] as PlanePoint, on.at(-1) as PlanePoint]
}

/** Every sheet's move onto the first sheet, from neighbour to neighbour. */
function layAll(all: readonly Laid[]): Map<Laid, Move> {
	const moves = new Map<Laid, Move>([[all[0] as Laid, (p) => p]])
	for (let round = 0; round < all.length; round++) {
		for (const own of all) {
			if (moves.has(own)) continue
			const neighbour = all.find((other) => moves.has(other) && own.sheet.joins.some(({ sheet }) => sheet === other.sheet.name))
			if (!neighbour) continue
			const fit = layOn(pairAt(own, neighbour.sheet.name), pairAt(neighbour, own.sheet.name))
			const before = moves.get(neighbour) as Move
			moves.set(own, (p) => before(fit(p)))
		}
	}
	return moves
}

const closed = (points: readonly PlanePoint[]) => [...points, points[0] as PlanePoint]

/** The points of a line and points between them, no more than half a mm apart. */
function dense(points: readonly PlanePoint[]): readonly PlanePoint[] {
	return points.flatMap((p, i) => {
		const before = points[i - 1]
		if (!before) return [p]
		const parts = Math.max(1, Math.ceil(distance(before, p) / 0.5))
		return Array.from({ length: parts }, (_, k) => ({
			x: before.x + ((p.x - before.x) * (k + 1)) / parts,
			y: before.y + ((p.y - before.y) * (k + 1)) / parts,
		}))
	})
}

async function rebuild(piece: Piece, paper: string) {
	const { value } = layoutSheets([piece], { paper, margins, job })
	const all = value?.sheets ?? []
	const sheets = all.filter(({ pieceIds }) => pieceIds.length > 0)
	expect(sheets.length).toBeGreaterThan(1)
	const path = saved('tiles.pdf', await pdfOf(all.map(({ drawing }) => drawing)))
	const laid = sheets.map((sheet): Laid => {
		const paths = strokedPaths(path, sheet.number, sheet.drawing.heightMm)
		return { sheet, paths, crosses: crossesIn(paths) }
	})
	const moves = layAll(laid)
	expect(moves.size).toBe(sheets.length)
	// what the knife lines should be, on the first sheet
	const { at, angle } = (sheets[0] as Sheet).placements[0] as Sheet['placements'][number]
	const onto: Move = (p) => ({
		x: at.x + p.x * Math.cos(angle) - p.y * Math.sin(angle),
		y: at.y + p.x * Math.sin(angle) + p.y * Math.cos(angle),
	})
	const knife = piece.items.flatMap((item) =>
		item.kind === 'path' && item.role === 'knife'
			? polylinesOf(item.segments, 0.001).map(({ points }) => closed(points.map(onto)))
			: [],
	)
	// what was printed: lines of the knife's width, as far as each sheet shows them
	const printed = laid.flatMap((one) => {
		const { minX, minY, maxX, maxY } = (one.sheet.placements[0] as Sheet['placements'][number]).clip
		const move = moves.get(one) as Move
		const pieceLines = one.paths.filter(
			({ strokeWidth, lines }) => Math.abs(strokeWidth - 0.2) < 0.01 && (lines[0]?.length ?? 0) > 2,
		)
		return pieceLines
			.flatMap(({ lines }) => lines.flatMap(dense))
			.filter((p) => p.x >= minX && p.x <= maxX && p.y >= minY && p.y <= maxY)
			.map(move)
	})
	return { knife, printed }
}

describe('tiles laid over each other by their register marks', () => {
	test.each([
		['a field of 250 mm', 'A4', () => wavySquare(3)],
		['a field of 250 mm', 'Letter', () => wavySquare(3)],
		['a field of 900 mm', 'A3', () => wavySquare(5, 900)],
		['a strip of 700 mm', 'A4', () => longStrip(2)],
		['a bent guide of 500 mm', 'Letter', () => bentGuide(4, 500, 600)],
	])('rebuild %s on %s', async (_, paper, piece) => {
		const { knife, printed } = await rebuild(piece(), paper)
		for (const p of printed) {
			const off = Math.min(...knife.map((line) => offLine(p, line)))
			expect(off).toBeLessThanOrEqual(WITHIN_MM)
		}
		// nothing of the knife lines is missing: a printed point within half a step of each of theirs, by cells of 1 mm
		const cells = new Set(printed.map((p) => `${Math.round(p.x)} ${Math.round(p.y)}`))
		for (const p of knife.flatMap(dense)) {
			const near = [-1, 0, 1].some((dx) => [-1, 0, 1].some((dy) => cells.has(`${Math.round(p.x) + dx} ${Math.round(p.y) + dy}`)))
			expect(near, `missing at ${p.x.toFixed(1)} ${p.y.toFixed(1)}`).toBe(true)
		}
	})
})
