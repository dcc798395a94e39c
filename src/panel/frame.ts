import type { SpacePoint } from '../chart/point.ts'

/** How a panel sits on the vehicle: from (along, towards +g, outward) to the vehicle's frame (x rearward, y right, z up). */
export interface PanelFrame {
	readonly id: string
	/** +1 if (s, g, outward) is right-handed: centreline and left-hand panels; right-hand panels -1 */
	readonly orientation: 1 | -1
	place(along: number, across: number, outward: number): SpacePoint
}

export function panelFrame(id: string, hand: 'centre' | 'left' | 'right'): PanelFrame {
	if (hand === 'centre') {
		return { id, orientation: 1, place: (a, c, o) => ({ x: a, y: c, z: o }) }
	}
	// On a panel of one side +g is up; outward is away from the vehicle.
	const out = hand === 'left' ? -1 : 1
	return { id, orientation: hand === 'left' ? 1 : -1, place: (a, c, o) => ({ x: a, y: out * o, z: c }) }
}
