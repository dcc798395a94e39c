/** The part of opentype.js 2 that the tests ask (it ships no types). */
declare module 'opentype.js' {
	interface Font {
		readonly unitsPerEm: number
		charToGlyph(sign: string): { getBoundingBox(): { x1: number; y1: number; x2: number; y2: number } }
		getAdvanceWidth(text: string, size: number, options: object): number
	}
	const opentype: { parse(bytes: ArrayBufferLike): Font }
	// biome-ignore lint/style/noDefaultExport: the library is one object
	export default opentype
}
