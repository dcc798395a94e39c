/** In which order the tape of a panel is laid and lifted, and where two would each have to lie on the other. */
import type { Lap, Trim } from './run.ts'

export interface ToOrder {
	readonly id: string
	readonly number: number
	/** the stages that it is laid before and lifted after */
	readonly laid: number
	readonly until: number
}

/** Of two, which is to lie on the other. */
export interface Over {
	readonly under: string
	readonly over: string
}

export interface LayOrder {
	/** ids as they are laid: stage by stage, then by number as far as what lies on what lets it */
	readonly lay: readonly string[]
	/** ids as they are lifted: stage by stage, what was laid last first */
	readonly lift: readonly string[]
	/** the laps as they then come to lie */
	readonly laps: readonly Lap[]
	/** where the upper of two is cut, with a knife over the tape of the lower */
	readonly trims: readonly Trim[]
	/** runs each of which would have to lie on the one before it, and the first on the last */
	readonly cycles: readonly (readonly string[])[]
}

interface Want extends Over {
	/** the other way round is wanted too: whatever is done, one of them is cut */
	readonly both: boolean
	readonly must: boolean
	readonly areaMm2: number
}

/**
 * Of two that share a place, what is laid for an earlier stage lies below, whatever is wanted; of two laid for one stage, what
 * is lifted first lies on top; `musts` come before that. Wants are kept as long as they go together, from the largest lap down:
 * of a cycle it is the least lap that is cut. Ids that are not among the runs are not regarded.
 */
export function layOrder(runs: readonly ToOrder[], laps: readonly Lap[], musts: readonly Over[] = []): LayOrder {
	const byNumber = [...runs].sort((a, b) => a.laid - b.laid || a.number - b.number)
	const byId = new Map(byNumber.map((run, index) => [run.id, { ...run, index }]))
	const known = laps.filter(({ under, over }) => byId.has(under) && byId.has(over))
	const wants = wantsOf(byId, known, musts)
	const { kept, cycles } = keptOf(
		byNumber.map(({ id }) => id),
		stagesOver(byNumber),
		wants,
	)
	const lay = firstByNumber(
		byNumber.map(({ id }) => id),
		kept,
	)
	const at = new Map(lay.map((id, i) => [id, i]))
	const isOver = (a: string, b: string) => (at.get(a) as number) > (at.get(b) as number)
	const untilOf = (id: string) => (byId.get(id) as ToOrder).until
	const lying = known.map((lap): Lap => (isOver(lap.over, lap.under) ? lap : { ...lap, under: lap.over, over: lap.under }))
	const against = wants.filter(({ under, over }) => isOver(under, over))
	const trims = lying.flatMap(({ under, over, at: place }): Trim[] =>
		untilOf(under) < untilOf(over) || against.some((want) => want.over === under && want.under === over)
			? [{ run: over, over: under, at: place }]
			: [],
	)
	const lift = [...lay].sort((a, b) => untilOf(a) - untilOf(b) || (isOver(a, b) ? -1 : 1))
	return { lay, lift, laps: lying, trims, cycles }
}

/** What is to lie on what, most important first. */
function wantsOf(
	byId: ReadonlyMap<string, ToOrder & { readonly index: number }>,
	laps: readonly Lap[],
	musts: readonly Over[],
): readonly Want[] {
	const areaOf = ({ under, over }: Over) =>
		laps
			.filter((lap) => (lap.under === under && lap.over === over) || (lap.under === over && lap.over === under))
			.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)
	const index = (id: string) => byId.get(id)?.index as number
	const given = musts
		.filter(({ under, over }) => under !== over && byId.has(under) && byId.has(over))
		.map(({ under, over }) => ({ under, over, must: true }))
	const byLifting = laps.flatMap((lap) => {
		const [a, b] = [byId.get(lap.under) as ToOrder, byId.get(lap.over) as ToOrder]
		if (a.laid !== b.laid || a.until === b.until) return []
		const [under, over] = a.until > b.until ? [a.id, b.id] : [b.id, a.id]
		return [{ under, over, must: false }]
	})
	const all = [...given, ...byLifting].map((want): Want => {
		const both = [...given, ...byLifting].some(({ under, over }) => under === want.over && over === want.under)
		return { ...want, both, areaMm2: areaOf(want) }
	})
	return all.sort(
		(a, b) =>
			Number(a.both) - Number(b.both) ||
			Number(b.must) - Number(a.must) ||
			b.areaMm2 - a.areaMm2 ||
			index(a.under) - index(b.under) ||
			index(a.over) - index(b.over),
	)
}

/** What is laid for an earlier stage is there before: each run after the last of the stage before its own. */
function stagesOver(byNumber: readonly ToOrder[]): readonly Over[] {
	return byNumber.flatMap((run) =>
		byNumber.filter(({ laid }) => laid < run.laid).map(({ id }): Over => ({ under: id, over: run.id })),
	)
}

/** As many wants as go together, first come first kept; of each other the cycle that it would close. */
function keptOf(ids: readonly string[], fixed: readonly Over[], wants: readonly Want[]) {
	const above = new Map<string, string[]>(ids.map((id) => [id, []]))
	const keep = ({ under, over }: Over) => above.get(under)?.push(over)
	for (const each of fixed) keep(each)
	const cycles: (readonly string[])[] = []
	for (const want of wants) {
		const path = pathUp(above, want.over, want.under)
		if (path) cycles.push(path)
		else keep(want)
	}
	return { kept: above, cycles }
}

/** The shortest way up from one run to another; undefined where there is none. */
function pathUp(above: ReadonlyMap<string, readonly string[]>, from: string, to: string): readonly string[] | undefined {
	const ways: (readonly string[])[] = [[from]]
	const seen = new Set([from])
	for (let way = ways.shift(); way; way = ways.shift()) {
		const last = way[way.length - 1] as string
		if (last === to) return way
		for (const next of above.get(last) ?? []) {
			if (seen.has(next)) continue
			seen.add(next)
			ways.push([...way, next])
		}
	}
	return undefined
}

/** Lowest first; of those that may come next always the one that comes first in the list. */
function firstByNumber(ids: readonly string[], above: ReadonlyMap<string, readonly string[]>): readonly string[] {
	const below = new Map(ids.map((id) => [id, 0]))
	for (const list of above.values()) for (const id of list) below.set(id, (below.get(id) as number) + 1)
	const left = [...ids]
	const out: string[] = []
	while (left.length > 0) {
		const next = left.findIndex((id) => below.get(id) === 0)
		if (next < 0) throw new Error('tape that lies on itself')
		const [id] = left.splice(next, 1) as [string]
		out.push(id)
		for (const over of above.get(id) ?? []) below.set(over, (below.get(over) as number) - 1)
	}
	return out
}
