import { inflateSync } from 'node:zlib'
import { PDFDocument, PDFRawStream } from 'pdf-lib'
import { describe, expect, test } from 'vitest'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { circle, line, rect } from '../../src/drawing/path.ts'
import { toCutterSvg, toSvg } from '../../src/drawing/svg.ts'
import { pdfOf } from '../sheet/files.ts'

const black = { widthMm: 0.2, colour: '#000000' }
const drawing: Drawing = {
	widthMm: 100,
	heightMm: 80,
	title: 'Guide <1> & "2"',
	items: [
		{
			kind: 'group',
			id: 'tank/left 1',
			title: 'Edge guide',
			at: { x: 50, y: 10 },
			angle: Math.PI / 2,
			clip: { minX: 0, minY: 0, maxX: 40, maxY: 30 },
			items: [
				{
					kind: 'path',
					role: 'knife',
					segments: circle({ x: 10, y: 10 }, 5),
					stroke: { ...black, dashMm: [3, 1] },
					fill: '#ff8000',
				},
				{ kind: 'path', role: 'knife', segments: line({ x: 0, y: 0 }, { x: 9, y: 0 }), stroke: black },
				{ kind: 'text', role: 'label', at: { x: 1, y: 2 }, text: 'A <b> 中', sizeMm: 4, anchor: 'middle', angle: 0, bold: true },
			],
		},
		{ kind: 'path', role: 'guide', segments: rect({ minX: 1, minY: 1, maxX: 2, maxY: 2 }), stroke: black },
		{ kind: 'group', id: 'tank/left 1', items: [] },
	],
}

describe('SVG', () => {
	const svg = toSvg(drawing)

	test('is in mm, titled, and the same each time', () => {
		expect(svg).toContain('width="100mm" height="80mm" viewBox="0 0 100 80"')
		expect(svg).toContain('<title>Guide &lt;1&gt; &amp; &quot;2&quot;</title>')
		expect(toSvg(drawing)).toBe(svg)
	})

	test('turns y down, places groups, and says roles', () => {
		// by hand: (0,0)-(9,0) turned a quarter and shifted stands at x 50, y 10 to 19; downwards 70 to 61
		expect(svg).toMatch(/<path d="M50 70L50 61" class="knife" fill="none"/)
		expect(svg).toContain('fill="#ff8000"')
		expect(svg).toContain('stroke-dasharray="3 1"')
		expect(svg).toMatch(/<text x="48" y="69" class="label"[^>]*transform="rotate\(-90 48 69\)">A &lt;b&gt; \?<\/text>/)
		expect(svg).toContain('clip-path="url(#clip)"')
	})

	test('has no id twice', () => {
		const ids = [...svg.matchAll(/ id="([^"]+)"/g)].map((match) => match[1])
		expect(ids).toContain('tank/left-1')
		expect(new Set(ids).size).toBe(ids.length)
	})

	test('writes no number with more than four decimals', () => {
		expect(svg).not.toMatch(/\d\.\d{5}/)
		expect(svg).not.toMatch(/\de[-+]?\d|NaN|Infinity|"-0"| -0 /)
	})

	test('leaves text out when asked', () => {
		expect(toSvg(drawing, { embedText: false })).not.toContain('<text')
	})

	test('for a cutter has knife lines alone, all in one style, slits and labels apart', () => {
		const cutter = toCutterSvg(drawing)
		const paths = [...cutter.matchAll(/<path ([^>]*?)\/?>/g)].map((match) => match[1] as string)
		expect(paths.length).toBe(2)
		for (const path of paths) expect(path).toMatch(/ class="knife" fill="none" stroke="#000000" stroke-width="0.1"$/)
		const groupOf = (id: string) => new RegExp(`<g id="${id}">.*?</g>`).exec(cutter)?.[0] ?? ''
		expect(groupOf('slits')).toMatch(/<path d="M50 70L50 61"/)
		expect(groupOf('knife').match(/<path /g)?.length).toBe(1)
		expect(groupOf('knife')).toMatch(/<path d="M[^"]*Z"/)
		expect(groupOf('knife') + groupOf('slits')).not.toContain('<text')
		expect(groupOf('labels')).toContain('A &lt;b&gt; ?')
		expect(cutter).not.toContain('clip')
	})
})

async function contentOf(bytes: Uint8Array): Promise<string> {
	const doc = await PDFDocument.load(bytes, { updateMetadata: false })
	const streams = doc.context.enumerateIndirectObjects().flatMap(([, object]) => (object instanceof PDFRawStream ? [object] : []))
	return (
		streams
			.map((stream) => {
				try {
					return inflateSync(stream.getContents()).toString('latin1')
				} catch {
					return ''
				}
			})
			.find((text) => text.includes(' cm')) ?? ''
	)
}

describe('PDF', () => {
	test('keeps cubics, dashes, clips and fills', async () => {
		const content = await contentOf(await pdfOf([drawing]))
		expect(content.match(/ c$/gm)?.length).toBe(8)
		expect(content).toContain('[3 1] 0 d')
		expect(content).toMatch(/^W n$/m)
		// fill and stroke by the non-zero rule, ISO 32000-1 Table 60
		expect(content).toMatch(/^B$/m)
		expect(content).toContain('1 0.502 0 rg')
		expect((content.match(/^q$/gm) ?? []).length).toBe((content.match(/^Q$/gm) ?? []).length)
	})

	test('applies the printer correction about the middle of the page', async () => {
		const content = await contentOf(await pdfOf([drawing], { x: 1.01, y: 0.99 }))
		const matrix = /([-\d.]+) 0 0 ([-\d.]+) ([-\d.]+) ([-\d.]+) cm/.exec(content)?.slice(1, 5).map(Number) ?? []
		const [a = 0, d = 0, e = 0, f = 0] = matrix
		expect(a).toBeCloseTo((72 / 25.4) * 1.01, 9)
		expect(d).toBeCloseTo((72 / 25.4) * 0.99, 9)
		expect(a * 50 + e).toBeCloseTo((50 * 72) / 25.4, 9)
		expect(d * 40 + f).toBeCloseTo((40 * 72) / 25.4, 9)
	})

	test('is the same to the byte when made twice, and without text needs no font', async () => {
		expect(await pdfOf([drawing, drawing])).toEqual(await pdfOf([drawing, drawing]))
		const bare = await pdfOf([{ ...drawing, items: [drawing.items[1] as Drawing['items'][number]] }])
		expect(bare.length).toBeLessThan(3000)
	})

	test('says what the file is', async () => {
		const doc = await PDFDocument.load(await pdfOf([drawing]), { updateMetadata: false })
		expect(doc.getTitle()).toBe('Test')
		expect(doc.getSubject()).toContain('abc123')
		expect(doc.getCreationDate()?.getTime()).toBe(doc.getModificationDate()?.getTime())
	})
})
