import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { areaOf } from '../../src/plane/region.ts'
import { handedness } from '../../src/template/handed.ts'
import type { Piece } from '../../src/template/piece.ts'
import { clashes, paths, pointsOf, texts, words } from './printed.ts'

const file = new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)
const job = loadJob(readFileSync(file, 'utf8'), 'job.jsonc').value?.job as Job
const result = compute(job, defaultShop(), { until: 'pieces' })
const pieces = result.panels.flatMap((p) => p.pieces ?? [])
const twin = (piece: Piece) => pieces.find((p) => p.side === 'RIGHT' && p.id === piece.id.replace('left', 'right'))

describe('the pieces of the roadster', () => {
	test('are there, each with its own number', () => {
		expect(pieces.length).toBeGreaterThan(40)
		expect(new Set(pieces.map((p) => p.number)).size).toBe(pieces.length)
		expect(new Set(pieces.map((p) => p.id)).size).toBe(pieces.length)
	})

	test('each carry number, side, arrow to the front, the face that is up, and a length to measure', () => {
		const lacking = pieces.flatMap((p) => {
			const said = words(p)
			const lacks = [
				...(new RegExp(`\\b${p.number}\\b`).test(said) ? [] : ['number']),
				...(p.side === 'BOTH' || said.includes(p.side) ? [] : ['side']),
				...(said.includes('FRONT') ? [] : ['FRONT']),
				...(/this face up/.test(said) ? [] : ['face']),
				...(paths(p.items).some((i) => i.role === 'bar') ? [] : ['bar']),
			]
			return lacks.length > 0 ? [`${p.number} ${p.id}: ${lacks.join(', ')}`] : []
		})
		expect(lacking).toEqual([])
	})

	test('no label lies on another or on a knife line', () => {
		expect(pieces.flatMap(clashes)).toEqual([])
	})

	test('the arrow points to lower stations, which lie left on paper and right on a right-hand panel', () => {
		for (const p of pieces) {
			const arrow = paths(p.items).find((i) => i.title === 'to the front')
			if (!arrow) continue
			const points = pointsOf(arrow)
			// From the tail to the tip, the first two or three points of the path.
			const tail = points[0] as PlanePoint
			const tip = points.reduce((far, q) => (Math.abs(q.x - tail.x) > Math.abs(far.x - tail.x) ? q : far), tail)
			const hand = result.panels.find((r) => r.id === p.panel)?.hand
			// A frame is looked at as the decal is: on the right of a centreline it is turned by half a turn.
			const mirrored = p.side === 'RIGHT' && (hand !== 'centre' || p.kind === 'frame')
			expect(Math.sign(tip.x - tail.x), `${p.number} ${p.id}`).toBe(mirrored ? 1 : -1)
		}
	})

	test('text is never mirrored nor upside down', () => {
		for (const p of pieces) for (const t of texts(p.items)) expect(Math.cos(t.angle)).toBeGreaterThan(-1e-6)
	})

	test('left and right are mirror images', () => {
		// A decal that reads on both sides is no mirror image of itself, nor is its frame.
		const lefts = pieces.filter((p) => p.side === 'LEFT' && p.kind !== 'frame' && twin(p))
		expect(lefts.length).toBeGreaterThan(12)
		for (const l of lefts) {
			const r = twin(l) as Piece
			expect(l.working.length).toBe(r.working.length)
			l.working.forEach((line, i) => {
				const fit = handedness(line, r.working[i] as readonly PlanePoint[])
				expect(fit.mirroredMm, l.id).toBeLessThan(1e-4)
			})
			expect(areaOf(l.knife)).toBeCloseTo(areaOf(r.knife), 2)
		}
	})

	test('an unmirrored copy is told from a mirror image', () => {
		const bent = pieces.find((p) => p.kind === 'guide' && p.side === 'LEFT') as Piece
		const line = bent.working[0] as readonly PlanePoint[]
		const copied = handedness(line, line)
		expect(copied.sameMm).toBeLessThan(1e-9)
		expect(copied.mirroredMm).toBeGreaterThan(1)
		const turned = line.map((p) => ({ x: 100 - p.y, y: p.x }))
		expect(handedness(line, turned).sameMm).toBeLessThan(1e-9)
	})

	test('no piece is out by more than the limit', () => {
		for (const p of pieces) expect(p.errorMm).toBeLessThanOrEqual(job.limits.shape + 1e-9)
	})

	test('nothing that is to be cut lies outside the bounds', () => {
		for (const p of pieces) {
			for (const q of p.knife.flat()) {
				expect(q.x).toBeGreaterThanOrEqual(p.bounds.minX)
				expect(q.x).toBeLessThanOrEqual(p.bounds.maxX)
				expect(q.y).toBeGreaterThanOrEqual(p.bounds.minY)
				expect(q.y).toBeLessThanOrEqual(p.bounds.maxY)
			}
		}
	})
})
