/** What can be taken hold of in the picture of a panel: bands of a stripe, or a decal. */
import type { Scene } from './scene.ts'

/** Something that was taken hold of. */
export interface Held {
	/** moves it to a place of the flat spread, and answers what it is now in words */
	to(x: number, y: number): string
	/** lets go */
	end(): void
}

export interface PictureDrag {
	/** JSON pointer to what is open */
	readonly path: string | undefined
	/** the pointer over what can be dragged */
	readonly cursor: string
	/** what lies at a place, within reach, mm */
	begin(scene: Scene, x: number, y: number, reachMm: number): Held | undefined
	/** a touch that is no drag; true where it was meant for this */
	tapped?(scene: Scene, x: number, y: number): boolean
	/** a key while the picture has the focus: what it made of it in words, undefined where it is none of its keys */
	pressed?(key: string, large: boolean): string | undefined
	/** what the keys do, in words */
	readonly keys?: string
}
