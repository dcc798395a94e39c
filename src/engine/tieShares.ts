/** Who gives how much where lines miss each other over a seam, so that lines that are alike on both sides stay so. */

/** One panel's part in a meeting. */
export interface TiePart {
	/** what moves as one: a place of a line, with its mirror image */
	readonly place: string
	/** how much of the miss it is asked to give, 0 to 1 */
	readonly share: number
	/** along the seam, for each millimetre that the place is moved */
	readonly alongByMove: number
	/** towards larger angles with the seam as one looks at it, for each radian that the place is turned */
	readonly angleByTurn: 1 | -1
}

export interface TieMiss {
	readonly parts: readonly [TiePart, TiePart]
	/** what the second panel's line is farther along the seam, mm, and by what its angle with it is larger */
	readonly alongMm: number
	readonly angle: number
}

export interface Given {
	/** to the plus side of the line, mm */
	moveMm: number
	/** from +s towards +g */
	turn: number
}

/** What mirrored sides cannot take is taken by the other panel at once; chains of seams settle more slowly. */
const PASSES = 20
const SETTLED_MM = 1e-9

/**
 * What each place gives: its shares of the misses that it is part of, as a mean where it is part of several (left and right of a
 * mirrored line), then what of them is left. Of a miss that differs on two mirrored sides on both panels the difference remains.
 */
export function shareMisses(misses: readonly TieMiss[]): ReadonlyMap<string, Given> {
	const given = new Map<string, Given>()
	for (const { parts } of misses) for (const { place } of parts) given.set(place, { moveMm: 0, turn: 0 })
	const gives = ({ place, alongByMove, angleByTurn }: TiePart) => {
		const { moveMm, turn } = given.get(place) as Given
		return { alongMm: moveMm * alongByMove, angle: turn * angleByTurn }
	}
	const left = ({ parts: [own, theirs], alongMm, angle }: TieMiss) => ({
		alongMm: alongMm - gives(own).alongMm + gives(theirs).alongMm,
		angle: angle - gives(own).angle + gives(theirs).angle,
	})
	const asked = misses.map(({ alongMm, angle }) => ({ alongMm, angle }))
	for (const half of [0, 1] as const) take(half, asked, (part) => part.share)
	for (let i = 0; i < PASSES; i++) {
		let most = 0
		for (const half of [0, 1] as const) {
			most = Math.max(
				most,
				take(half, misses.map(left), (part) => (part.share > 0 ? 1 : 0)),
			)
		}
		if (most < SETTLED_MM) break
	}
	return given

	/** Each place of one half takes the mean of what is asked of it; how much was taken at most. */
	function take(half: 0 | 1, wanted: readonly { alongMm: number; angle: number }[], part: (p: TiePart) => number): number {
		const way = half === 0 ? 1 : -1
		const asks = new Map<string, Given[]>()
		for (const [i, { parts }] of misses.entries()) {
			const own = parts[half]
			const { alongMm, angle } = wanted[i] as (typeof wanted)[number]
			const ask = { moveMm: (way * part(own) * alongMm) / own.alongByMove, turn: way * part(own) * angle * own.angleByTurn }
			asks.set(own.place, [...(asks.get(own.place) ?? []), ask])
		}
		let most = 0
		for (const [place, all] of asks) {
			const to = given.get(place) as Given
			const mean = (of: keyof Given) => all.reduce((sum, ask) => sum + ask[of], 0) / all.length
			const [moveMm, turn] = [mean('moveMm'), mean('turn')]
			to.moveMm += moveMm
			to.turn += turn
			most = Math.max(most, Math.abs(moveMm), Math.abs(turn))
		}
		return most
	}
}
