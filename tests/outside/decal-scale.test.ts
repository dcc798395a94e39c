import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { printedDecals } from '../../src/report/printed.ts'
import { jobOf } from '../scheme/jobs.ts'
import { folder, pdfOf, run, saved } from '../sheet/files.ts'

// The printed size of decals, read back by another program: poppler's pdftoppm, pixels of the decal's own colour.
// A PDF unit is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm. A pixel at 600 dots per inch is 0.042 mm.

const DPI = 600
const PIXEL_MM = 25.4 / DPI
const COLOUR = [0x22, 0x44, 0x99] as const
const [WIDTH, HEIGHT] = [60, 24]

/** The box of the places of this colour on the first page, mm, and how many of their pixels lie in its front third. */
function inked(pdf: string) {
	const base = join(folder(), 'decal')
	run('pdftoppm', ['-r', `${DPI}`, '-singlefile', '-f', '1', '-l', '1', pdf, base])
	const bytes = readFileSync(`${base}.ppm`)
	const head = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 64).toString('latin1'))
	if (!head) throw new Error('not a picture in colour')
	const [start, width, height] = [head[0].length, Number(head[1]), Number(head[2])]
	let [x0, x1, y0, y1] = [width, 0, height, 0]
	const count = new Uint32Array(width)
	for (let y = 0; y < height; y++) {
		for (let x = 0; x < width; x++) {
			const i = start + 3 * (y * width + x)
			if (COLOUR.some((c, k) => Math.abs((bytes[i + k] as number) - c) > 8)) continue
			count[x] = (count[x] as number) + 1
			;[x0, x1, y0, y1] = [Math.min(x0, x), Math.max(x1, x), Math.min(y0, y), Math.max(y1, y)]
		}
	}
	const third = Math.round((x1 - x0) / 3)
	const sum = (from: number, to: number) => count.subarray(from, to + 1).reduce((a, b) => a + b, 0)
	return {
		widthMm: (x1 - x0 + 1) * PIXEL_MM,
		heightMm: (y1 - y0 + 1) * PIXEL_MM,
		left: sum(x0, x0 + third),
		right: sum(x1 - third, x1),
	}
}

/** A wedge, high at the end that is drawn on the left: what is mirrored is high on the right. */
const wedge = {
	id: 'wedge',
	shape: {
		kind: 'traced' as const,
		colour: '#224499',
		points: [
			{ at: [0, 0] as [number, number], corner: true },
			{ at: [WIDTH, 9] as [number, number], corner: true },
			{ at: [WIDTH, 15] as [number, number], corner: true },
			{ at: [0, HEIGHT] as [number, number], corner: true },
		],
	},
}

async function printedBy(measured: { across: number; along: number } | undefined, reverse = false) {
	const place = { kind: 'spot' as const, station: 100, girth: 50, side: 'above' as const }
	const outline = {
		points: [
			[0, 0],
			[220, 0],
			[220, 120],
			[0, 120],
		].map(([station, girth]) => ({ station: station as number, girth: girth as number, side: 'above' as const })),
	}
	const job = jobOf([{ outline, decals: [{ id: 'badge', artwork: 'wedge', place, reverse }] }], { artwork: [wedge] })
	const margins = { left: 10, right: 10, top: 10, bottom: 10 }
	const shop = { ...defaultShop(), ...(measured ? { printers: [{ id: 'office', margins, measured }] } : {}) }
	const result = compute(job, shop, { version: '1' })
	expect(result.problems.filter(({ severity }) => severity === 'error')).toEqual([])
	const [print] = printedDecals(result)
	if (!print) throw new Error('no decal was printed')
	const pdf = await pdfOf(print.printed.pages, print.printed.scale)
	return {
		name: print.name,
		orientation: result.decalSheets?.plain?.sheets[0]?.orientation,
		...inked(saved('decals.pdf', pdf, folder())),
	}
}

describe('a decal of 60 x 24 mm on paper', () => {
	test('is as large as that, and high at the end that it was drawn so', async () => {
		const { name, widthMm, heightMm, left, right } = await printedBy(undefined)
		expect(name).toBe('decals.pdf')
		const [w, h] = [Math.max(widthMm, heightMm), Math.min(widthMm, heightMm)]
		expect(w).toBeCloseTo(WIDTH, 0)
		expect(Math.abs(w - WIDTH)).toBeLessThan(2 * PIXEL_MM)
		expect(Math.abs(h - HEIGHT)).toBeLessThan(2 * PIXEL_MM)
		expect(left).toBeGreaterThan(1.5 * right)
	})

	test('is larger in the file where the printer makes it smaller', async () => {
		// 200 mm came out as 199.2 across and 200.6 along: in the file it is 1 / 0.996 and 1 / 1.003 as large.
		const { widthMm, heightMm, orientation } = await printedBy({ across: 199.2, along: 200.6 })
		const [across, along] = [199.2 / 200, 200.6 / 200]
		const [x, y] = orientation === 'portrait' ? [across, along] : [along, across]
		const upright = widthMm > heightMm
		expect(Math.abs(widthMm - (upright ? WIDTH : HEIGHT) / x)).toBeLessThan(2 * PIXEL_MM)
		expect(Math.abs(heightMm - (upright ? HEIGHT : WIDTH) / y)).toBeLessThan(2 * PIXEL_MM)
	})

	test('that is laid face down is printed the other way round', async () => {
		const { name, left, right } = await printedBy(undefined, true)
		expect(name).toBe('decals-mirrored.pdf')
		expect(right).toBeGreaterThan(1.5 * left)
	})
})
