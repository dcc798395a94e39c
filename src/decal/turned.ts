/** How the artwork is turned for each side: reading on both, or reflected like a wing. */
import type { Decal } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'

export interface Turned {
	/** from x of the artwork as it is drawn to x of the decal's frame */
	readonly sign: 1 | -1
	/** as one sees it on the panel it is the mirror image of what is drawn */
	readonly mirrored: boolean
	/** the end of the artwork, as drawn, that faces the front; neither across the centreline */
	readonly front?: 'left' | 'right'
}

/** A person at the right side sees the front at their right. */
const seen = (side: Side): 1 | -1 => (side === 'right' ? -1 : 1)

export function turnedOn({ turn, faces }: Pick<Decal, 'turn' | 'faces'>, side: Side): Turned {
	const sign = turn === 'reads' || side === 'both' ? seen(side) : faces === 'right' ? -1 : 1
	return {
		sign,
		mirrored: sign !== seen(side),
		...(side === 'both' ? {} : { front: sign === 1 ? ('left' as const) : ('right' as const) }),
	}
}
