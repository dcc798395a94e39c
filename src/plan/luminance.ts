/** Relative luminance of a colour such as #1f6b4f, 0 for black to 1 for white (W3C, Web Content Accessibility Guidelines 2). */
export function luminance(colour: string): number {
	const [r, g, b] = [1, 3, 5].map((at) => {
		const part = Number.parseInt(colour.slice(at, at + 2), 16) / 255
		return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
	}) as [number, number, number]
	return 0.2126 * r + 0.7152 * g + 0.0722 * b
}
