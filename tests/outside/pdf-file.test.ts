import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import { pdfOf, run, saved } from '../sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const

const drawingsOn = (paper: string): readonly Drawing[] =>
	(layoutSheets([bentGuide(1), longStrip(2), wavySquare(3)], { paper, margins, job }).value?.sheets ?? []).map(
		({ drawing }) => drawing,
	)

describe('the PDF, read by other programs', () => {
	test('has no fault that qpdf finds', async () => {
		const path = saved('a.pdf', await pdfOf(drawingsOn('A4')))
		expect(run('qpdf', ['--check', path])).toContain('No syntax or stream encoding errors found')
	})

	// ISO 216 in mm; inch sizes of ASME Y14.1 (from memory) times 25.4 exactly
	test.each([
		['A4', 210, 297],
		['A3', 297, 420],
		['A2', 420, 594],
		['Letter', 215.9, 279.4],
		['Legal', 215.9, 355.6],
		['Tabloid', 279.4, 431.8],
		['C', 431.8, 558.8],
		['D', 558.8, 863.6],
	])('has all five boxes of a page equal to %s within 0.01 mm', async (paper, short, long) => {
		const path = saved('a.pdf', await pdfOf(drawingsOn(paper)))
		const boxes = [
			...run('pdfinfo', ['-box', '-l', '99', path]).matchAll(/(\w+)Box:\s+([\d.-]+)\s+([\d.-]+)\s+([\d.-]+)\s+([\d.-]+)/g),
		]
		expect(boxes.length % 5).toBe(0)
		expect(boxes.length).toBeGreaterThan(0)
		for (const box of boxes) {
			const [left, bottom, right, top] = box.slice(2, 6).map((value) => (Number(value) * 25.4) / 72) as [
				number,
				number,
				number,
				number,
			]
			expect([left, bottom]).toEqual([0, 0])
			const size = [right, top].sort((a, b) => a - b)
			expect(Math.abs((size[0] as number) - short)).toBeLessThanOrEqual(0.01)
			expect(Math.abs((size[1] as number) - long)).toBeLessThanOrEqual(0.01)
		}
	})

	test('has its fonts inside, and asks for no scaling and for the right tray', async () => {
		const path = saved('a.pdf', await pdfOf(drawingsOn('A4')))
		const rows = run('pdffonts', [path]).trim().split('\n').slice(2)
		expect(rows.length).toBe(2)
		// the last columns: encoding, embedded, subset, unicode, object
		for (const row of rows) expect(row).toMatch(/Identity-H\s+yes\s+\w+\s+yes\s+\d+\s+\d+$/)
		const qdf = saved('q.pdf', '')
		run('qpdf', ['--qdf', '--object-streams=disable', path, qdf])
		const text = readFileSync(qdf, 'latin1')
		expect(text).toContain('/PrintScaling /None')
		expect(text).toContain('/PickTrayByPDFSize true')
	})

	test('gives back its words', async () => {
		const text = run('pdftotext', ['-layout', saved('a.pdf', await pdfOf(drawingsOn('A4'))), '-'])
		for (const words of [
			'This square: 100 mm',
			'LEFT',
			'Edge guide 2 of 3, upper coach line, outer edge',
			'k7f3a2',
			'±0.40 mm',
		]) {
			expect(text).toContain(words)
		}
	})

	test('is the same to the byte when made twice', async () => {
		expect(Buffer.from(await pdfOf(drawingsOn('A3'))).equals(Buffer.from(await pdfOf(drawingsOn('A3'))))).toBe(true)
	})
})
