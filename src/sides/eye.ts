/** Where a line was measured: how far along it, and how far off the plan, mm. */
export interface AlongLine {
	readonly alongMm: number
	readonly offMm: number
	/** one standard deviation of that */
	readonly sdMm: number
	/** direction of the plan there, rad, growing as it turns to the side that `offMm` counts to */
	readonly angle: number
}

/** A place where the eye sees that three stations do not lie in one sweep. */
export interface Kink {
	/** place of the middle one in the list */
	readonly at: number
	/** a flat is straighter than the plan bends there; a kink bends more, or the other way */
	readonly kind: 'kink' | 'flat'
	/** between the two chords of the deviations, towards the side that they count to */
	readonly turnDeg: number
	readonly sdDeg: number
	/** beyond what the readings leave by chance (95 times in 100) */
	readonly proven: boolean
}

const SD_95 = 1.96
/** Nearer places have no direction between them, mm. */
const LEAST_MM = 5

/**
 * Kinks and flats, judged over three stations together: the angle between the chord of deviations that comes to the middle one
 * and the chord that leaves it. The eye sees this before it sees a millimetre: 1 mm over 150 mm on both sides is 0.8 degrees.
 */
export function kinksOf(places: readonly AlongLine[], kinkDeg: number): readonly Kink[] {
	const kinks: Kink[] = []
	for (let i = 1; i + 1 < places.length; i++) {
		const [a, b, c] = [places[i - 1]!, places[i]!, places[i + 1]!]
		const [before, after] = [b.alongMm - a.alongMm, c.alongMm - b.alongMm]
		if (Math.min(before, after) < LEAST_MM) continue
		const turn = Math.atan((c.offMm - b.offMm) / after) - Math.atan((b.offMm - a.offMm) / before)
		const turnDeg = degrees(turn)
		if (Math.abs(turnDeg) <= kinkDeg) continue
		const sd = Math.hypot(a.sdMm / before, b.sdMm * (1 / before + 1 / after), c.sdMm / after)
		// The chords of the plan turn half of what its direction turns from end to end.
		const planned = (c.angle - a.angle) / 2
		const straighter = turn * planned < 0 && Math.abs(turn) <= Math.abs(planned) * 2
		kinks.push({
			at: i,
			kind: straighter ? 'flat' : 'kink',
			turnDeg,
			sdDeg: degrees(sd),
			proven: Math.abs(turn) > SD_95 * sd,
		})
	}
	return kinks
}

const degrees = (rad: number) => (rad * 180) / Math.PI
