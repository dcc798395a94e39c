/** Drawings as a PDF, one to a page, at true size. */
import type { PDFDocument, PDFHexString, PDFOperator, PDFPage, PDFRef } from 'pdf-lib'
import type { Drawing, PathItem, Segment, TextItem } from './drawing.ts'
import { printable, textWidth } from './metrics.ts'
import { polyline } from './path.ts'
import { type FlatItem, flatten, turnOf } from './place.ts'
import { MITER_LIMIT } from './stroke.ts'

type PdfLib = typeof import('pdf-lib')

/** A default user unit is 1/72 inch. ISO 32000-1, 8.3.2.3. */
export const POINTS_PER_MM = 72 / 25.4
/** Content is written to a ten-thousandth of a mm. */
const ROUND = 1e4
/** The file says when the form of the file was settled, not when it was made: the same job gives the same bytes. */
const FIXED_DATE = new Date(Date.UTC(2000, 0, 1))

/** How much larger than true the printer must be told to print, along each axis of the page as it stands. */
export interface PageScale {
	readonly x: number
	readonly y: number
}

export interface PdfOptions {
	readonly title: string
	readonly fonts: { readonly regular: Uint8Array; readonly bold: Uint8Array }
	/** short code of the job's state, so that old and new prints are told apart */
	readonly revision: string
	/** one for all pages, or one for each; 1 where absent */
	readonly scale?: PageScale | readonly PageScale[]
}

/** A font in the file: its reference, and a text as the codes of its glyphs. */
interface Face {
	readonly ref: PDFRef
	readonly encode: (text: string) => PDFHexString
}

interface Faces {
	readonly regular?: Face
	readonly bold?: Face
}

const round = (value: number) => Math.round(value * ROUND) / ROUND

function colourOf(lib: PdfLib, hex: string) {
	const channel = (at: number) => Math.round((Number.parseInt(hex.slice(at, at + 2), 16) / 255) * 1e4) / 1e4
	return lib.rgb(channel(1), channel(3), channel(5))
}

function pathOperators(lib: PdfLib, segments: readonly Segment[]): PDFOperator[] {
	return segments.map((segment) => {
		if (segment.to === 'close') return lib.closePath()
		const { x, y } = segment.p
		if (segment.to === 'move') return lib.moveTo(round(x), round(y))
		if (segment.to === 'line') return lib.lineTo(round(x), round(y))
		const { a, b } = segment
		return lib.appendBezierCurve(round(a.x), round(a.y), round(b.x), round(b.y), round(x), round(y))
	})
}

function paint(lib: PdfLib, item: PathItem): PDFOperator[] {
	const { stroke, fill } = item
	if (item.segments.length === 0 || (!stroke && fill === undefined)) return []
	const state: PDFOperator[] = []
	if (fill !== undefined) state.push(lib.setFillingColor(colourOf(lib, fill)))
	if (stroke) {
		state.push(lib.setStrokingColor(colourOf(lib, stroke.colour)), lib.setLineWidth(round(stroke.widthMm)))
		state.push(lib.setDashPattern((stroke.dashMm ?? []).map(round), 0))
	}
	const end = stroke && fill !== undefined ? lib.fillAndStroke() : stroke ? lib.stroke() : lib.fill()
	return [...state, ...pathOperators(lib, item.segments), end]
}

function write(lib: PdfLib, item: TextItem, faces: Faces): PDFOperator[] {
	const { text } = printable(item.text)
	const font = item.bold ? faces.bold : faces.regular
	if (text.trim() === '' || !font) return []
	const width = textWidth(text, item)
	const back = item.anchor === 'start' ? 0 : item.anchor === 'middle' ? width / 2 : width
	const { cos, sin } = turnOf(item.angle)
	const [c, s] = [Math.round(cos * 1e8) / 1e8, Math.round(sin * 1e8) / 1e8]
	return [
		lib.beginText(),
		lib.setFillingColor(colourOf(lib, item.colour ?? '#000000')),
		lib.setFontAndSize(item.bold ? 'Bold' : 'Regular', round(item.sizeMm)),
		lib.setTextMatrix(c, s, 0 - s, c, round(item.at.x - back * cos), round(item.at.y - back * sin)),
		lib.showText(font.encode(text)),
		lib.endText(),
	]
}

function clipTo(lib: PdfLib, clips: FlatItem['clips']): PDFOperator[] {
	return clips.flatMap((loop) => [...pathOperators(lib, polyline(loop, true)), lib.clip(), lib.endPath()])
}

/** All items in order; neighbours out of one clipped group are written inside one clip. */
function content(lib: PdfLib, items: readonly FlatItem[], faces: Faces): PDFOperator[] {
	const operators: PDFOperator[] = []
	let open: FlatItem['clips'] = []
	const change = (clips: FlatItem['clips']) => {
		if (clips === open) return
		if (open.length > 0) operators.push(lib.popGraphicsState())
		if (clips.length > 0) operators.push(lib.pushGraphicsState(), ...clipTo(lib, clips))
		open = clips
	}
	for (const { item, clips } of items) {
		change(clips)
		operators.push(...(item.kind === 'path' ? paint(lib, item) : write(lib, item, faces)))
	}
	change([])
	return operators
}

/** The page's mm, about its middle, to points: where the printer's correction comes in, and nowhere else. */
function trueSize(lib: PdfLib, drawing: Drawing, scale: PageScale): PDFOperator {
	const shift = (sizeMm: number, by: number) => ((1 - by) * sizeMm * POINTS_PER_MM) / 2
	return lib.concatTransformationMatrix(
		POINTS_PER_MM * scale.x,
		0,
		0,
		POINTS_PER_MM * scale.y,
		shift(drawing.widthMm, scale.x),
		shift(drawing.heightMm, scale.y),
	)
}

function addBoxes(page: PDFPage, width: number, height: number) {
	page.setMediaBox(0, 0, width, height)
	page.setCropBox(0, 0, width, height)
	page.setBleedBox(0, 0, width, height)
	page.setTrimBox(0, 0, width, height)
	page.setArtBox(0, 0, width, height)
}

/** Laying out a text is slow; without kerning and ligatures (as measured) one sign at a time gives the same, and is kept. */
async function embedFace(lib: PdfLib, doc: PDFDocument, bytes: Uint8Array): Promise<Face> {
	const font = await doc.embedFont(bytes, { subset: true, features: { liga: false } })
	const codes = new Map<string, string>()
	const codeOf = (sign: string) => {
		const code = codes.get(sign) ?? font.encodeText(sign).asString()
		codes.set(sign, code)
		return code
	}
	return { ref: font.ref, encode: (text) => lib.PDFHexString.of([...text].map(codeOf).join('')) }
}

async function embedFaces(
	lib: PdfLib,
	doc: PDFDocument,
	pages: readonly (readonly FlatItem[])[],
	fonts: PdfOptions['fonts'],
): Promise<Faces> {
	const texts = pages.flatMap((items) => items.flatMap(({ item }) => (item.kind === 'text' ? [item] : [])))
	if (texts.length === 0) return {}
	doc.registerFontkit((await import('@pdf-lib/fontkit')).default)
	return {
		...(texts.some(({ bold }) => !bold) ? { regular: await embedFace(lib, doc, fonts.regular) } : {}),
		...(texts.some(({ bold }) => bold) ? { bold: await embedFace(lib, doc, fonts.bold) } : {}),
	}
}

function addInfo(lib: PdfLib, doc: PDFDocument, { title, revision }: PdfOptions) {
	doc.setTitle(title, { showInWindowTitleBar: true })
	doc.setSubject(`Revision ${revision}`)
	doc.setCreator('Stripewright')
	doc.setProducer('Stripewright')
	doc.setCreationDate(FIXED_DATE)
	doc.setModificationDate(FIXED_DATE)
	// a request only (ISO 32000-1, Table 150): hence the check square on every sheet
	const viewer = doc.catalog.getOrCreateViewerPreferences()
	viewer.setPrintScaling(lib.PrintScaling.None)
	viewer.setPickTrayByPDFSize(true)
}

/**
 * The bytes of a PDF with one page for each drawing, every page box the size of the drawing, fonts embedded as far as used.
 * Cubics stay cubics; fills are non-zero. `scale` is the printer's correction, applied about the middle of each page.
 * The same drawings give the same bytes. Rejects only where a font cannot be read.
 */
export async function toPdf(drawings: readonly Drawing[], options: PdfOptions): Promise<Uint8Array> {
	const lib = await import('pdf-lib')
	const doc = await lib.PDFDocument.create({ updateMetadata: false })
	addInfo(lib, doc, options)
	const flat = drawings.map(({ items }) => flatten(items))
	const faces = await embedFaces(lib, doc, flat, options.fonts)
	drawings.forEach((drawing, index) => {
		const [width, height] = [drawing.widthMm * POINTS_PER_MM, drawing.heightMm * POINTS_PER_MM]
		const page = doc.addPage([width, height])
		addBoxes(page, width, height)
		if (faces.regular) page.node.setFontDictionary(lib.PDFName.of('Regular'), faces.regular.ref)
		if (faces.bold) page.node.setFontDictionary(lib.PDFName.of('Bold'), faces.bold.ref)
		const scale = scaleOf(options.scale, index)
		page.pushOperators(lib.pushGraphicsState(), trueSize(lib, drawing, scale), lib.setLineCap(lib.LineCapStyle.Butt))
		page.pushOperators(
			lib.setLineJoin(lib.LineJoinStyle.Miter),
			lib.PDFOperator.of(lib.PDFOperatorNames.SetLineMiterLimit, [lib.PDFNumber.of(MITER_LIMIT)]),
		)
		for (const operator of content(lib, flat[index] as readonly FlatItem[], faces)) page.pushOperators(operator)
		page.pushOperators(lib.popGraphicsState())
	})
	// one go: no pauses between objects, which cost time
	return doc.save({ objectsPerTick: Number.POSITIVE_INFINITY })
}

function scaleOf(scale: PdfOptions['scale'], index: number): PageScale {
	const found = scale && 'x' in scale ? scale : scale?.[index]
	return found ?? { x: 1, y: 1 }
}
