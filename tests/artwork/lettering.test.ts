// Lettering: height, spacing, arcs, and the proportions of registration marks.
import { describe, expect, test } from 'vitest'
import { checkRegister, registerLength } from '../../src/artwork/lettering/register.ts'
import { FONTS } from '../../src/job/artworkSchema.ts'
import type { Loop } from '../../src/plane/point.ts'
import { boxOf } from '../../src/plane/polyline.ts'
import { made, whole } from './entries.ts'

const lettering = (text: string, more: object = {}) => ({ kind: 'lettering', text, height: 30, ...more })

test('a capital H is as high as was asked for, to the last digit, in every font', async () => {
	// the script's H swings below the line that it stands on
	for (const font of FONTS.filter((font) => font !== 'script')) {
		const art = await whole(lettering('H', { font }))
		expect(art.height, font).toBeCloseTo(30, 3)
		expect(art).toMatchObject({ lettering: true })
	}
	expect((await whole(lettering('H', { font: 'plain' }))).parts).toBe(1)
	// bridges hold the middle of a stencil's letters: no letter has a hole
	const stencil = await whole(lettering('ABDOPQR', { font: 'stencil' }))
	expect(stencil.outline.length).toBe(stencil.parts)
})

test('spacing is added between letters, not at the ends', async () => {
	const close = await whole(lettering('HIH'))
	const apart = await whole(lettering('HIH', { spacing: 5 }))
	expect(apart.width - close.width).toBeCloseTo(10, 3)
	expect(apart.areaMm2).toBeCloseTo(close.areaMm2, 2)
})

test('letters that are kerned stand closer than one after the other', async () => {
	const gap = async (pair: string) => {
		const [one, two] = [...pair] as [string, string]
		return (await whole(lettering(pair))).width - (await whole(lettering(one))).width - (await whole(lettering(two))).width
	}
	expect(await gap('AV')).toBeLessThan((await gap('AH')) - 0.5)
})

/** Distance of a loop's edges from (0, y). */
const nearest = (loop: Loop, y: number) =>
	Math.min(
		...loop.map((p, i) => {
			const q = loop[(i + 1) % loop.length]!
			const [vx, vy] = [q.x - p.x, q.y - p.y]
			const t = Math.min(1, Math.max(0, (-p.x * vx + (y - p.y) * vy) / (vx * vx + vy * vy)))
			return Math.hypot(p.x + t * vx, p.y + t * vy - y)
		}),
	)

test('on an arc the middles of the feet lie on the circle, over its top or along its bottom', async () => {
	const radius = 90
	for (const inside of [false, true]) {
		const art = await whole(lettering('IIIIIII', { spacing: 8, arc: { radius, inside } }))
		expect(art.parts).toBe(7)
		// the box's middle is at 0,0: the circle's middle follows from the letter in the middle, which stands upright
		const boxes = art.outline.map((loop) => ({ loop, box: boxOf(loop)! })).sort((a, b) => a.box.minX - b.box.minX)
		const upright = boxes[3]!
		expect(upright.box.maxY - upright.box.minY).toBeCloseTo(30, 2)
		const y0 = upright.box.minY + (inside ? radius : -radius)
		// feet outward of the circle, or heads inward of it: the place of a letter that is nearest to the circle's middle
		for (const { loop } of boxes) expect(nearest(loop, y0)).toBeCloseTo(inside ? radius - 30 : radius, 2)
		expect(boxes[0]!.box.minY < upright.box.minY).toBe(!inside)
	}
})

test('what the font does not have, what has no ink, what bends too far', async () => {
	expect((await made(lettering('TARN ☃'))).problems).toMatchObject([
		{ code: 'LETTER_MISSING', path: '/artwork/0/shape/text', found: '"☃", which the font plain does not have' },
	])
	expect((await made(lettering('  '))).problems).toMatchObject([{ code: 'LETTERING_EMPTY' }])
	expect((await made(lettering('TARN 350', { arc: { radius: 10 } }))).problems).toMatchObject([{ code: 'ARC_TOO_TIGHT' }])
	const small = await made(lettering('H', { arc: { radius: 29, inside: true } }))
	expect(small.problems).toMatchObject([{ code: 'ARC_TOO_TIGHT' }])
})

describe('14 CFR 45.29 (c) to (e)', () => {
	const INCH = 25.4
	/** Blocks as the rule asks for, 12 in high: five letters of 8 in, a "1" of 2 in, gaps of 2 in. */
	const blocks = (gap: number) => {
		let x = 0
		return [...'N1683C'].map((sign) => {
			const width = (sign === '1' ? 2 : 8) * INCH
			const upright = (at: number) => [
				{ x: at, y: 0 },
				{ x: at + 2 * INCH, y: 0 },
				{ x: at + 2 * INCH, y: 12 * INCH },
				{ x: at, y: 12 * INCH },
			]
			const region = sign === '1' ? [upright(x)] : [upright(x), upright(x + 6 * INCH)]
			x += width + gap * INCH
			return { sign, region }
		})
	}

	test('N1683C at 12 in is 52 in long (worked by hand: 5 x 8 + 2 + 5 x 2)', () => {
		expect(registerLength('N1683C', 12 * INCH)).toBeCloseTo(52 * INCH, 9)
		expect(boxOf(blocks(2).flatMap(({ region }) => region.flat()))!.maxX).toBeCloseTo(52 * INCH, 9)
	})

	test('a mark as the rule asks for has nothing said of it; closer set or thicker it has', () => {
		expect(checkRegister(blocks(2), 12 * INCH, '')).toEqual([])
		expect(checkRegister(blocks(1.9), 12 * INCH, '').map(({ found }) => found)).toEqual([
			expect.stringMatching(/^gaps that are too small/),
		])
		// the same letters for a mark of 10 in are too wide and too thick
		expect(checkRegister(blocks(2), 10 * INCH, '').map(({ found }) => found)).toEqual([
			expect.stringMatching(/^N is 203.2 mm wide instead of 169.333 mm/),
			expect.stringMatching(/^upright lines 50.8 mm thick/),
		])
	})

	test('a font that is near it is told where it is not', async () => {
		const { artwork, problems } = await made(lettering('N1683C', { height: 12 * INCH, spacing: 30, register: true }))
		expect(artwork?.parts).toBe(6)
		expect(problems.every(({ code, severity }) => code === 'REGISTER_PROPORTIONS' && severity === 'warning')).toBe(true)
		expect(problems[0]?.found).toMatch(/1 is .* wide instead of 50.8 mm/)
	})
})
