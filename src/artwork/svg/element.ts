/** One element of a drawing's text, with what stands in it. */
export interface Element {
	/** local name; with its prefix where it is not SVG's own */
	readonly name: string
	/** whether it is one of SVG's; the others say nothing about what is seen */
	readonly svg: boolean
	/** by local name; of other namespaces only xlink's */
	readonly attributes: ReadonlyMap<string, string>
	readonly children: Element[]
	readonly line: number
	/** of style sheets */
	text: string
}
