/**
 * Heights moved apart to at least `step` and out of the strip |y| < `without`, each as near its own as can be, in the order
 * given (ascending but for small crossings, which are kept). Those below 0 go down, the others up.
 */
export function spread(wanted: readonly number[], step: number, without: number): number[] {
	const below = wanted.filter((w) => w < 0).length
	const up = stacked(wanted.slice(below), step, without + step / 2)
	const down = stacked(
		wanted
			.slice(0, below)
			.map((w) => -w)
			.reverse(),
		step,
		without + step / 2,
	)
	return [...down.map((w) => -w).reverse(), ...up]
}

/** Pool neighbours that are too near, each pool about the mean of what its members want (isotonic regression, Barlow et al. 1972). */
function stacked(wanted: readonly number[], step: number, floor: number): number[] {
	const pools: { sum: number; count: number }[] = []
	wanted.forEach((w, i) => {
		// Less its own share of steps, so that equal values are exactly a step apart.
		pools.push({ sum: Math.max(floor, w) - i * step, count: 1 })
		for (;;) {
			const last = pools[pools.length - 1]
			const before = pools[pools.length - 2]
			if (!last || !before || before.sum / before.count <= last.sum / last.count) break
			pools.splice(-2, 2, { sum: before.sum + last.sum, count: before.count + last.count })
		}
	})
	const out = pools.flatMap(({ sum, count }) => Array.from({ length: count }, () => sum / count))
	const lift = Math.max(0, floor - (out[0] ?? floor))
	return out.map((y, i) => Math.max(y, (out[0] ?? floor) + lift) + i * step)
}
