import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { PDFArray, PDFDict, PDFDocument, PDFHexString, PDFName, type PDFRef } from 'pdf-lib'
import { describe, expect, test } from 'vitest'
import type { Drawing, Item, Role } from '../../src/drawing/drawing.ts'
import { circle, line, rect } from '../../src/drawing/path.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import { folder, pdfOf, run, saved } from '../sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'

// Optional content as ISO 32000-1, 8.11 has it, read back by qpdf and shown by poppler.

const NAMES = ['Knife lines', 'Guide lines and ticks', 'Labels', 'Register marks']
const ROLES: Readonly<Record<string, readonly Role[]>> = {
	'Knife lines': ['knife'],
	'Guide lines and ticks': ['guide', 'tick'],
	Labels: ['label'],
	'Register marks': ['register'],
}
const stroke = { widthMm: 0.4, colour: '#103060' }
const all: readonly Role[] = ['knife', 'working', 'guide', 'tick', 'label', 'register', 'bar', 'fill', 'frame']

/** Each role as a line, a shape and a word, one over the other, inside and outside clipped groups that lean. */
const marks = (from: number): readonly Item[] =>
	all.flatMap((role, i): readonly Item[] => [
		{ kind: 'path', role, segments: line({ x: from, y: 5 + 4 * i }, { x: from + 60, y: 50 - 4 * i }), stroke },
		{ kind: 'path', role, segments: circle({ x: from + 10 + 4 * i, y: 20 }, 5), fill: '#e0c080', stroke },
		{ kind: 'text', role, at: { x: from, y: 5 + 4 * i }, text: `of ${role}`, sizeMm: 5, anchor: 'start', angle: 0 },
	])
const mixed: Drawing = {
	widthMm: 160,
	heightMm: 130,
	title: 'every role',
	items: [
		...marks(5),
		{
			kind: 'group',
			at: { x: 90, y: 50 },
			angle: 0.3,
			clip: { minX: 0, minY: 3, maxX: 55, maxY: 42 },
			items: [
				...marks(0),
				{ kind: 'group', clip: { minX: 20, minY: 10, maxX: 40, maxY: 60 }, items: marks(10) },
				{ kind: 'path', role: 'knife', segments: rect({ minX: 1, minY: 1, maxX: 30, maxY: 30 }), stroke },
			],
		},
		...marks(70),
	],
}

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
const sheets = (layoutSheets([bentGuide(1), longStrip(2), wavySquare(3)], { paper: 'A4', margins, job }).value?.sheets ?? []).map(
	({ drawing }) => drawing,
)

const without = (items: readonly Item[], roles: readonly Role[]): readonly Item[] =>
	items.flatMap((item): readonly Item[] => {
		if (item.kind === 'group') return [{ ...item, items: without(item.items, roles) }]
		return roles.includes(item.role) ? [] : [item]
	})

/** The file with the groups of these names switched off in its default configuration. */
async function switchedOff(bytes: Uint8Array, names: readonly string[]): Promise<Uint8Array> {
	const doc = await PDFDocument.load(bytes, { updateMetadata: false })
	const properties = doc.catalog.lookup(PDFName.of('OCProperties'), PDFDict)
	const refs = properties.lookup(PDFName.of('OCGs'), PDFArray).asArray() as PDFRef[]
	const off = refs.filter((ref) => {
		const name = doc.context.lookup(ref, PDFDict).lookup(PDFName.of('Name'), PDFHexString)
		return names.includes(name.decodeText())
	})
	expect(off.length).toBe(names.length)
	properties.lookup(PDFName.of('D'), PDFDict).set(PDFName.of('OFF'), doc.context.obj(off))
	return doc.save()
}

/** The pages as pictures, and how much of them is not white. */
function pictures(bytes: Uint8Array, pages: number): readonly { readonly pixels: Buffer; readonly ink: number }[] {
	const into = folder()
	const pdf = saved('a.pdf', bytes, into)
	run('pdftoppm', ['-r', '80', pdf, join(into, 'page')])
	const digits = String(pages).length
	return Array.from({ length: pages }, (_, i) => {
		const pixels = readFileSync(join(into, `page-${String(i + 1).padStart(digits, '0')}.ppm`))
		return { pixels, ink: pixels.filter((value) => value < 250).length }
	})
}

interface QpdfJson {
	readonly qpdf: readonly [unknown, Readonly<Record<string, { readonly value?: Readonly<Record<string, never>> }>>]
}

describe('the parts of a print, as optional content', () => {
	test('are four groups in plain words, listed and shown, as qpdf reads them', async () => {
		const path = saved('a.pdf', await pdfOf([mixed]))
		expect(run('qpdf', ['--check', path])).toContain('No syntax or stream encoding errors found')
		const [, objects] = (JSON.parse(run('qpdf', ['--json', '--json-key=qpdf', path])) as QpdfJson).qpdf
		const value = (ref: string) => objects[`obj:${ref}`]?.value as unknown as Record<string, string>
		const catalog = Object.values(objects).find((one) => one.value?.['/Type'] === '/Catalog')?.value as unknown as {
			'/OCProperties': { '/OCGs': string[]; '/D': Record<string, unknown> }
		}
		const { '/OCGs': groups, '/D': shown } = catalog['/OCProperties']
		expect(groups.map((ref) => value(ref)['/Type'])).toEqual(Array(4).fill('/OCG'))
		expect(groups.map((ref) => value(ref)['/Name'])).toEqual(NAMES.map((name) => `u:${name}`))
		expect(shown['/Order']).toEqual(groups)
		expect(shown['/BaseState']).toBe('/ON')
		expect(shown['/OFF']).toBeUndefined()
	})

	test('switched off one by one leave the picture that a print without them gives', async () => {
		for (const drawings of [[mixed], sheets]) {
			const bytes = await pdfOf(drawings)
			const whole = pictures(bytes, drawings.length)
			for (const name of NAMES) {
				const hidden = pictures(await switchedOff(bytes, [name]), drawings.length)
				const roles = ROLES[name] as readonly Role[]
				const bare = await pdfOf(drawings.map((one) => ({ ...one, items: without(one.items, roles) })))
				pictures(bare, drawings.length).forEach(({ pixels }, page) => {
					expect(hidden[page]?.pixels.equals(pixels), `${name}, page ${page + 1}`).toBe(true)
				})
				// and something has gone from one page at least
				const ink = (list: typeof whole) => list.reduce((sum, one) => sum + one.ink, 0)
				expect(ink(hidden), name).toBeLessThan(ink(whole))
			}
		}
	})

	test('all switched off, check squares, frames, fills and the edges to tape along stay', async () => {
		const kept = without(mixed.items, Object.values(ROLES).flat())
		const [hidden] = pictures(await switchedOff(await pdfOf([mixed]), NAMES), 1)
		const [bare] = pictures(await pdfOf([{ ...mixed, items: kept }]), 1)
		expect(hidden?.ink).toBeGreaterThan(0)
		expect(bare && hidden?.pixels.equals(bare.pixels)).toBe(true)
	})

	test('are named only where they are used', async () => {
		const plain: Drawing = { ...mixed, items: without(mixed.items, ['label', 'register', 'knife', 'guide', 'tick']) }
		const doc = await PDFDocument.load(await pdfOf([plain]))
		expect(doc.catalog.get(PDFName.of('OCProperties'))).toBeUndefined()
	})
})
