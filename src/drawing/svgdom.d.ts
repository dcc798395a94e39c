declare module 'svgdom' {
	/** A window of its own with an empty SVG document. */
	export function createSVGWindow(): Window & { readonly document: Document }
}
