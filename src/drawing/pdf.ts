/** Drawings as a PDF, one to a page, at true size. */
import type { PDFDict, PDFDocument, PDFPage, PDFRef } from 'pdf-lib'
import type { PlanePoint } from '../plane/point.ts'
import type { Drawing, PathItem, Segment, TextItem } from './drawing.ts'
import { printable, textWidth } from './metrics.ts'
import { PART_NAMES, PARTS, type Part, partOf } from './parts.ts'
import { polyline } from './path.ts'
import { type FlatItem, flatten, turnOf } from './place.ts'
import { MITER_LIMIT } from './stroke.ts'

type PdfLib = typeof import('pdf-lib')
type Fontkit = Parameters<PDFDocument['registerFontkit']>[0]

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

/** A font in the file: its reference, and a text as the codes of its glyphs in hexadecimal. */
interface Face {
	readonly ref: PDFRef
	readonly encode: (text: string) => string
}

interface Faces {
	readonly regular?: Face
	readonly bold?: Face
}

/** A number as written in a page: never with an exponent. */
const num = (value: number): string => String(Math.round(value * ROUND) / ROUND + 0)

function colour(hex: string): string {
	const channel = (at: number) => num(Number.parseInt(hex.slice(at, at + 2), 16) / 255)
	return `${channel(1)} ${channel(3)} ${channel(5)}`
}

const point = ({ x, y }: PlanePoint) => `${num(x)} ${num(y)}`

function construct(segments: readonly Segment[]): readonly string[] {
	return segments.map((segment) => {
		if (segment.to === 'close') return 'h'
		if (segment.to === 'cubic') return `${point(segment.a)} ${point(segment.b)} ${point(segment.p)} c`
		return `${point(segment.p)} ${segment.to === 'move' ? 'm' : 'l'}`
	})
}

/** The path-painting operators of ISO 32000-1, Table 60: stroke, fill by the non-zero rule, or both. */
function paint({ stroke, fill, segments }: PathItem): readonly string[] {
	if (segments.length === 0 || (!stroke && fill === undefined)) return []
	const style: string[] = []
	if (fill !== undefined) style.push(`${colour(fill)} rg`)
	if (stroke) style.push(`${colour(stroke.colour)} RG ${num(stroke.widthMm)} w [${(stroke.dashMm ?? []).map(num).join(' ')}] 0 d`)
	return [...style, ...construct(segments), stroke && fill !== undefined ? 'B' : stroke ? 'S' : 'f']
}

function write(item: TextItem, faces: Faces): readonly string[] {
	const { text } = printable(item.text)
	const face = item.bold ? faces.bold : faces.regular
	if (text.trim() === '' || !face) return []
	const width = textWidth(text, item)
	const back = item.anchor === 'start' ? 0 : item.anchor === 'middle' ? width / 2 : width
	const { cos, sin } = turnOf(item.angle)
	// eight decimals: four would turn a long text by a tenth of a mm
	const turn = [cos, sin, 0 - sin, cos].map((value) => String(Number(value.toFixed(8)))).join(' ')
	const at = point({ x: item.at.x - back * cos, y: item.at.y - back * sin })
	const font = `/${item.bold ? 'Bold' : 'Regular'} ${num(item.sizeMm)} Tf`
	return [`BT ${colour(item.colour ?? '#000000')} rg ${font} ${turn} ${at} Tm <${face.encode(text)}> Tj ET`]
}

const clipTo = (clips: FlatItem['clips']) => clips.flatMap((loop) => [...construct(polyline(loop, true)), 'W n'])

/**
 * All items in order; neighbours out of one clipped group are written inside one clip, neighbours of one part inside one stretch of
 * optional content (ISO 32000-1, 8.11.3.2), which opens and closes within its clip.
 */
function content(items: readonly FlatItem[], faces: Faces): readonly string[] {
	const lines: string[] = []
	let open: FlatItem['clips'] = []
	let part: Part | undefined
	const change = (clips: FlatItem['clips'], next: Part | undefined) => {
		if (clips === open && next === part) return
		if (part) lines.push('EMC')
		if (clips !== open) {
			if (open.length > 0) lines.push('Q')
			if (clips.length > 0) lines.push('q', ...clipTo(clips))
		}
		if (next) lines.push(`/OC /${next} BDC`)
		open = clips
		part = next
	}
	for (const { item, clips } of items) {
		const painted = item.kind === 'path' ? paint(item) : write(item, faces)
		if (painted.length === 0) continue
		change(clips, partOf(item.role))
		for (const line of painted) lines.push(line)
	}
	change([], undefined)
	return lines
}

/** The page's mm, about its middle, to points: where the printer's correction comes in, and nowhere else. */
function trueSize({ widthMm, heightMm }: Drawing, scale: PageScale): string {
	const shift = (sizeMm: number, by: number) => ((1 - by) * sizeMm * POINTS_PER_MM) / 2
	const whole = (value: number) => value.toFixed(12)
	const [x, y] = [POINTS_PER_MM * scale.x, POINTS_PER_MM * scale.y]
	return `${whole(x)} 0 0 ${whole(y)} ${whole(shift(widthMm, scale.x))} ${whole(shift(heightMm, scale.y))} cm`
}

function addBoxes(page: PDFPage, width: number, height: number) {
	page.setMediaBox(0, 0, width, height)
	page.setCropBox(0, 0, width, height)
	page.setBleedBox(0, 0, width, height)
	page.setTrimBox(0, 0, width, height)
	page.setArtBox(0, 0, width, height)
}

/** Fonts whose texts are laid out as they are measured: each sign its glyph, without kerning and ligatures. */
function plainLayout({ create }: Fontkit): Fontkit {
	return {
		create: (bytes, name) => {
			const font = create(bytes, name)
			const glyph = (sign: string) => font.glyphForCodePoint(sign.codePointAt(0) as number)
			return Object.assign(font, { layout: (text: string) => ({ glyphs: [...text].map(glyph) }) })
		},
	}
}

async function embedFace(doc: PDFDocument, bytes: Uint8Array): Promise<Face> {
	const font = await doc.embedFont(bytes, { subset: true })
	const codes = new Map<string, string>()
	const codeOf = (sign: string) => {
		const code = codes.get(sign) ?? font.encodeText(sign).asString()
		codes.set(sign, code)
		return code
	}
	return { ref: font.ref, encode: (text) => [...text].map(codeOf).join('') }
}

async function embedFaces(doc: PDFDocument, pages: readonly (readonly FlatItem[])[], fonts: PdfOptions['fonts']): Promise<Faces> {
	const texts = pages.flatMap((items) => items.flatMap(({ item }) => (item.kind === 'text' ? [item] : [])))
	if (texts.length === 0) return {}
	doc.registerFontkit(plainLayout((await import('@pdf-lib/fontkit')).default))
	return {
		...(texts.some(({ bold }) => !bold) ? { regular: await embedFace(doc, fonts.regular) } : {}),
		...(texts.some(({ bold }) => bold) ? { bold: await embedFace(doc, fonts.bold) } : {}),
	}
}

/**
 * The optional-content groups of the parts that the pages use, all shown, in the viewer's list in a settled order (ISO 32000-1,
 * 8.11.2 and 8.11.4); gives the property list by which the pages' content names them.
 */
function addParts(lib: PdfLib, doc: PDFDocument, pages: readonly (readonly FlatItem[])[]): PDFDict | undefined {
	const used = new Set(pages.flatMap((items) => items.map(({ item }) => partOf(item.role))))
	const parts = PARTS.filter((part) => used.has(part))
	if (parts.length === 0) return undefined
	const { context } = doc
	const refs = parts.map((part) =>
		context.register(context.obj({ Type: 'OCG', Name: lib.PDFHexString.fromText(PART_NAMES[part]) })),
	)
	const shown = { Name: lib.PDFHexString.fromText('Parts of the print'), BaseState: 'ON', Order: refs }
	doc.catalog.set(lib.PDFName.of('OCProperties'), context.obj({ OCGs: refs, D: shown }))
	return context.obj(Object.fromEntries(parts.map((part, index) => [part, refs[index] as PDFRef])))
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
 * Knife lines, guide lines and ticks, labels and register marks are optional-content groups, all shown, to be switched off in a viewer.
 * The same drawings give the same bytes. Rejects only where a font cannot be read.
 */
export async function toPdf(drawings: readonly Drawing[], options: PdfOptions): Promise<Uint8Array> {
	const lib = await import('pdf-lib')
	const doc = await lib.PDFDocument.create({ updateMetadata: false })
	addInfo(lib, doc, options)
	const flat = drawings.map(({ items }) => flatten(items))
	const faces = await embedFaces(doc, flat, options.fonts)
	const parts = addParts(lib, doc, flat)
	drawings.forEach((drawing, index) => {
		const [width, height] = [drawing.widthMm * POINTS_PER_MM, drawing.heightMm * POINTS_PER_MM]
		const page = doc.addPage([width, height])
		addBoxes(page, width, height)
		if (faces.regular) page.node.setFontDictionary(lib.PDFName.of('Regular'), faces.regular.ref)
		if (faces.bold) page.node.setFontDictionary(lib.PDFName.of('Bold'), faces.bold.ref)
		if (parts) page.node.Resources()?.set(lib.PDFName.of('Properties'), parts)
		const scale = scaleOf(options.scale, index)
		const lines = [trueSize(drawing, scale), `0 J 0 j ${MITER_LIMIT} M`, ...content(flat[index] as readonly FlatItem[], faces)]
		const stream = doc.context.flateStream(lines.join('\n'))
		page.node.set(lib.PDFName.of('Contents'), doc.context.register(stream))
	})
	// one go: no pauses between objects, which cost time
	return doc.save({ objectsPerTick: Number.POSITIVE_INFINITY })
}

function scaleOf(scale: PdfOptions['scale'], index: number): PageScale {
	const found = scale && 'x' in scale ? scale : scale?.[index]
	return found ?? { x: 1, y: 1 }
}
