/** Mixes too small to be measured and mixed well. */
import type { Session } from './days.ts'

export interface SmallMix {
	readonly session: number
	readonly paint: string
	/** of one mix as it is needed, and the least that is sensible */
	readonly ml: number
	readonly leastMl: number
	/** other sessions of the same paint, that it could be sprayed together with */
	readonly together: readonly number[]
}

export const smallMixes = (sessions: readonly Session[], leastMl: number): readonly SmallMix[] =>
	sessions.flatMap(({ number, paint, quantity, mixes = 1 }) => {
		const ml = (quantity?.ml ?? 0) / mixes
		if (ml === 0 || ml >= leastMl) return []
		const together = sessions.filter((other) => other.paint === paint && other.number !== number && other.quantity)
		return [{ session: number, paint, ml, leastMl, together: together.map((other) => other.number) }]
	})
