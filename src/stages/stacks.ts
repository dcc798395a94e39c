/** Which films lie on each other, and where, once every stage of a panel is sprayed. */
import type { ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Region } from '../plane/point.ts'
import { divide } from '../plane/region.ts'

/** What one stage really left open to the gun: as planned, or as tape and paper came to lie. */
export interface Opened {
	/** of the stage, over the whole vehicle */
	readonly stage: number
	readonly paint: string
	readonly open: ChartRegion
}

/** A place with the same films throughout. */
export interface Stack {
	/** from below, by their place in the list of what was opened; none where nothing was sprayed */
	readonly films: readonly number[]
	/** in the (s, g) plane */
	readonly region: Region
}

/**
 * The panel's area by the films on it: every place in exactly one stack, no two with the same films. Each stage divides what
 * was there into what it reaches and what it does not.
 */
export function stacksOf(area: ChartRegion, opened: readonly Opened[]): readonly Stack[] {
	let stacks: readonly Stack[] = [{ films: [], region: toPlane(area) }]
	for (const [film, { open }] of opened.entries()) {
		const reach = toPlane(open)
		stacks = stacks.flatMap(({ films, region }) => {
			const { within, beyond } = divide(region, reach)
			return [
				{ films, region: beyond },
				{ films: [...films, film], region: within },
			]
		})
		stacks = stacks.filter(({ region }) => region.length > 0)
	}
	return stacks
}
