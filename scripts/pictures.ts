// Draws the pictures of docs/pictures/ from what the tool itself wrote for the demo.
import { execFileSync } from 'node:child_process'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Resvg } from '@resvg/resvg-js'

const root = fileURLToPath(new URL('..', import.meta.url))
const source = join(root, 'out', 'tarn-350')
const target = join(root, 'docs', 'pictures')

type Picture =
	| { readonly to: string; readonly pdf: string; readonly page: number; readonly dpi: number }
	| { readonly to: string; readonly svg: string; readonly widthPx: number }

const pictures: readonly Picture[] = [{ to: 'first-sheet.png', pdf: 'sheets.pdf', page: 1, dpi: 80 }]

function draw(picture: Picture): void {
	const file = join(target, picture.to)
	if ('pdf' in picture) drawPage(join(source, picture.pdf), picture.page, picture.dpi, file)
	else drawSvg(join(source, picture.svg), picture.widthPx, file)
}

function drawPage(pdf: string, page: number, dpi: number, file: string): void {
	// pdftoppm adds the ending itself.
	const stem = file.replace(/\.png$/, '')
	execFileSync('pdftoppm', ['-png', '-r', `${dpi}`, '-f', `${page}`, '-l', `${page}`, '-singlefile', pdf, stem])
}

function drawSvg(svg: string, widthPx: number, file: string): void {
	const renderer = new Resvg(readFileSync(svg, 'utf8'), { fitTo: { mode: 'width', value: widthPx }, background: 'white' })
	writeFileSync(file, renderer.render().asPng())
}

mkdirSync(target, { recursive: true })
for (const picture of pictures) {
	draw(picture)
	console.log(`docs/pictures/${picture.to}`)
}
