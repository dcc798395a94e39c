/** The colour names of CSS Color 4, 6.1, with their red, green and blue of 0 to 255 (the package ships no types). */
declare module 'color-name' {
	const names: Readonly<Record<string, readonly [number, number, number]>>
	// biome-ignore lint/style/noDefaultExport: the package is one object
	export default names
}
