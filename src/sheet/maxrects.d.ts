// The package's ES module cannot be imported by its bare name, and the file itself comes without types: what is used of it.
declare module 'maxrects-packer/dist/maxrects-packer.mjs' {
	export interface Placed {
		width: number
		height: number
		x: number
		y: number
		/** turned by a quarter to fit */
		rot?: boolean
	}
	export class MaxRectsBin<T extends Placed> {
		constructor(
			maxWidth: number,
			maxHeight: number,
			padding: number,
			options: { smart: boolean; pot: boolean; square: boolean; allowRotation: boolean; logic: number },
		)
		/** the rectangle with its place, or undefined where there is no room for it */
		add(rect: T): T | undefined
		readonly freeRects: readonly { readonly x: number; readonly y: number; readonly width: number; readonly height: number }[]
	}
	/** by number: shortest side left over, and rows over the whole width */
	export const PACKING_LOGIC: { readonly MAX_EDGE: 1; readonly FILL_WIDTH: 2 }
}
