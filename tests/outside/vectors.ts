/** The lines of a PDF page in paper mm, y up, as poppler's pdftocairo reads them. */

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { PlanePoint } from '../../src/plane/point.ts'
import { folder, run } from '../sheet/files.ts'

export interface ReadPath {
	readonly strokeWidth: number
	readonly dashed: boolean
	/** subpaths as points; cubics by 16 chords each */
	readonly lines: readonly (readonly PlanePoint[])[]
}

const MM_PER_POINT = 25.4 / 72

function linesOf(data: string): PlanePoint[][] {
	const lines: PlanePoint[][] = []
	const tokens = data.trim().split(/[\s,]+/)
	let pen: PlanePoint = { x: 0, y: 0 }
	for (let i = 0; i < tokens.length; ) {
		const order = tokens[i++] as string
		const next = (): PlanePoint => ({ x: Number(tokens[i++]), y: Number(tokens[i++]) })
		if (order === 'M') {
			pen = next()
			lines.push([pen])
		} else if (order === 'L') {
			pen = next()
			lines.at(-1)?.push(pen)
		} else if (order === 'C') {
			const [p0, a, b, p] = [pen, next(), next(), next()]
			for (let k = 1; k <= 16; k++) {
				const [t, u] = [k / 16, 1 - k / 16]
				const mix = (axis: 'x' | 'y') => u ** 3 * p0[axis] + 3 * u * u * t * a[axis] + 3 * u * t * t * b[axis] + t ** 3 * p[axis]
				lines.at(-1)?.push({ x: mix('x'), y: mix('y') })
			}
			pen = p
		} else if (order === 'Z') {
			const line = lines.at(-1)
			if (line?.[0]) line.push(line[0])
		} else throw new Error(`unread path order ${order}`)
	}
	return lines.filter((line) => line.length > 1)
}

/** All stroked paths of one page. Clips are not applied. */
export function strokedPaths(pdf: string, page: number, pageHeightMm: number): readonly ReadPath[] {
	const file = join(folder(), 'page.svg')
	run('pdftocairo', ['-svg', '-noshrink', '-nocenter', '-f', `${page}`, '-l', `${page}`, pdf, file])
	const text = readFileSync(file, 'utf8')
	return [...text.matchAll(/<path style="([^"]*)" d="([^"]*)"(?: transform="matrix\(([^)]*)\)")?\/>/g)].flatMap((match) => {
		const [, style = '', data = '', matrix = '1,0,0,1,0,0'] = match
		const width = /stroke-width:([\d.]+)/.exec(style)
		if (!width) return []
		const [a, b, c, d, e, f] = matrix.split(',').map(Number) as [number, number, number, number, number, number]
		const place = ({ x, y }: PlanePoint) => ({
			x: (a * x + c * y + e) * MM_PER_POINT,
			y: pageHeightMm - (b * x + d * y + f) * MM_PER_POINT,
		})
		return [
			{
				strokeWidth: Number(width[1]) * Math.hypot(a, b) * MM_PER_POINT,
				dashed: style.includes('dasharray'),
				lines: linesOf(data).map((line) => line.map(place)),
			},
		]
	})
}
