/** The largest deviation is drawn about so large, mm: seen at once, and small beside a panel. */
const SEEN_MM = 10
const MOST = 100

/** A round number (1, 2, 5, 10, 20 ...) of times that makes the largest of some deviations (mm) plain on a page. */
export function exaggerationOf(deviationsMm: readonly number[]): number {
	const most = deviationsMm.reduce((worst, mm) => Math.max(worst, Math.abs(mm)), 0)
	if (!(most > SEEN_MM / MOST)) return MOST
	const times = SEEN_MM / most
	const decade = 10 ** Math.floor(Math.log10(times))
	const first = [5, 2, 1].find((round) => round * decade <= times) ?? 1
	return Math.max(1, first * decade)
}
