import type { Lap, Trim } from './run.ts'

export interface ToOrder {
	readonly id: string
	readonly number: number
	readonly laid: number
	readonly until: number
}

/** Laid by number, lifted the other way round; a run that lies on one which is lifted before it is cut there. */
export function layOrder(
	runs: readonly ToOrder[],
	laps: readonly Lap[],
): { readonly lay: readonly string[]; readonly lift: readonly string[]; readonly trims: readonly Trim[] } {
	const byId = new Map(runs.map((run) => [run.id, run]))
	const lay = [...runs].sort((a, b) => a.laid - b.laid || a.number - b.number).map(({ id }) => id)
	const trims = laps.flatMap(({ under, over, at }): Trim[] => {
		const [a, b] = [byId.get(under), byId.get(over)]
		return a && b && a.until < b.until ? [{ run: over, over: under, at }] : []
	})
	return { lay, lift: [...lay].reverse(), trims }
}
