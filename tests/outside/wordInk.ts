/**
 * The ink of the words on a page, told apart from all other ink: the pages' own content is taken to pieces by pdf-lib, and drawn by
 * poppler. No figure of ours about the width or height of a letter comes into it.
 */
import { execFileSync } from 'node:child_process'
import { decodePDFRawStream, PDFDocument, PDFName, PDFRawStream } from 'pdf-lib'

export const DPI = 300
const PIXELS_PER_MM = DPI / 25.4

/** The same pages twice: with words alone, the nth word of a page in a colour that stands for n; and with all else. */
export interface Separated {
	readonly words: Uint8Array
	readonly rest: Uint8Array
	/** how many words are on each page */
	readonly counts: readonly number[]
}

/** A text object (ISO 32000-1, 9.4.1) with its colour, one to a line of the content. */
const TEXT = /^BT [\d.]+ [\d.]+ [\d.]+ rg (.* ET)$/
/** Operators that paint a path (ISO 32000-1, Table 60). */
const PAINT = /^[SfB]$/
/** Never white: the blue is left out. */
const colourOf = (n: number) => `${(Math.floor(n / 256) / 255).toFixed(6)} ${((n % 256) / 255).toFixed(6)} 0 rg`

async function rewritten(bytes: Uint8Array, change: (line: string) => string, newPage = () => {}): Promise<Uint8Array> {
	const doc = await PDFDocument.load(bytes, { updateMetadata: false })
	for (const { node } of doc.getPages()) {
		newPage()
		const stream = node.Contents()
		if (!(stream instanceof PDFRawStream)) throw new Error('content that is not one stream')
		const lines = Buffer.from(decodePDFRawStream(stream).decode()).toString('latin1').split('\n')
		node.set(PDFName.of('Contents'), doc.context.register(doc.context.flateStream(lines.map(change).join('\n'))))
	}
	return doc.save()
}

export async function separated(bytes: Uint8Array): Promise<Separated> {
	const counts: number[] = []
	const last = () => counts.length - 1
	const words = await rewritten(
		bytes,
		(line) => {
			if (PAINT.test(line)) return 'n'
			const text = TEXT.exec(line)
			if (!text) return line
			counts[last()] = (counts[last()] as number) + 1
			return `BT ${colourOf(counts[last()] as number)} ${text[1]}`
		},
		() => counts.push(0),
	)
	const rest = await rewritten(bytes, (line) => (line.startsWith('BT ') ? '' : line))
	return { words, rest, counts }
}

export interface Picture {
	readonly width: number
	readonly height: number
	/** three bytes each, row by row from the top */
	readonly rgb: Uint8Array
}

/** A page without smoothing: each pixel is ink or is not. */
export function picture(pdf: string, page: number): Picture {
	const flat = ['-aa', 'no', '-aaVector', 'no']
	const bytes = execFileSync('pdftoppm', ['-r', `${DPI}`, '-f', `${page}`, '-l', `${page}`, ...flat, pdf], { maxBuffer: 1 << 30 })
	const head = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 64).toString('latin1'))
	if (!head) throw new Error('not a picture')
	return { width: Number(head[1]), height: Number(head[2]), rgb: bytes.subarray(head[0].length) }
}

export interface Touch {
	/** the word's number on its page, from 1 */
	readonly word: number
	/** another word, or 'line' for other ink */
	readonly on: number | 'line'
	/** mm from the left and from the top */
	readonly at: readonly [number, number]
}

/** Words whose ink comes within `marginMm` of another word's ink or of other ink; and the words that have ink on this page at all. */
export function touches(
	words: Picture,
	rest: Picture,
	marginMm: number,
): { readonly touches: readonly Touch[]; readonly seen: ReadonlySet<number> } {
	const { width, height, rgb } = words
	// between the middles of pixels: half a pixel of ink on each side
	const reach = marginMm * PIXELS_PER_MM + 1
	const most = Math.floor(reach)
	const near: (readonly [number, number])[] = []
	for (let dy = -most; dy <= most; dy++) {
		for (let dx = -most; dx <= most; dx++) if (Math.hypot(dx, dy) <= reach) near.push([dx, dy])
	}
	const wordAt = (pixel: number) =>
		rgb[3 * pixel + 2] === 0 ? 256 * (rgb[3 * pixel] as number) + (rgb[3 * pixel + 1] as number) : 0
	const isInk = (pixel: number) =>
		((rest.rgb[3 * pixel] as number) & (rest.rgb[3 * pixel + 1] as number) & (rest.rgb[3 * pixel + 2] as number)) !== 255
	const found = new Map<string, Touch>()
	const seen = new Set<number>()
	for (let y = 0; y < height; y++) {
		for (let x = 0; x < width; x++) {
			const word = wordAt(y * width + x)
			if (word === 0) continue
			seen.add(word)
			for (const [dx, dy] of near) {
				const [u, v] = [x + dx, y + dy]
				if (u < 0 || v < 0 || u >= width || v >= height) continue
				const pixel = v * width + u
				const other = wordAt(pixel)
				const on = isInk(pixel) ? 'line' : other !== 0 && other !== word ? other : undefined
				if (on === undefined || found.has(`${word} ${on}`)) continue
				found.set(`${word} ${on}`, { word, on, at: [u / PIXELS_PER_MM, v / PIXELS_PER_MM] })
			}
		}
	}
	return { touches: [...found.values()], seen }
}
