/** Stretches of lines put end to end, with what is covered on their plus side. */
import { endOf, reversed, startOf } from '../chart/curve.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import type { Border } from './parts.ts'

/** A border as a stage goes along it: the covered part on the plus side. */
export interface Directed {
	readonly border: Border
	readonly curve: Curve
	/** the part on the covered side, and the one on the other */
	readonly covered: number
	readonly open: number
}

export interface Chain {
	readonly curve: Curve
	readonly links: readonly Directed[]
}

/** Ends within this are one place, mm: found to a ten-thousandth on each of the two lines that meet there. */
const MEETS_MM = 0.02

/** The border so that the part that `isCovered` is on its plus side; undefined where both are or neither is. */
export function directed(border: Border, isCovered: (part: number) => boolean): Directed | undefined {
	const [plus, minus] = [isCovered(border.plus), isCovered(border.minus)]
	if (plus === minus) return undefined
	return plus
		? { border, curve: border.curve, covered: border.plus, open: border.minus }
		: { border, curve: reversed(border.curve), covered: border.minus, open: border.plus }
}

/** Borders end to end as far as they go; those that come round are closed. In the order of their first borders. */
export function chainsOf(links: readonly Directed[]): Chain[] {
	const free = new Set(links)
	const take = (link: Directed) => {
		free.delete(link)
		return link
	}
	const chains: Chain[] = []
	for (const link of links) {
		if (!free.has(link)) continue
		const list = [take(link)]
		if (!link.curve.closed) {
			for (let next = meeting(free, endOf(link.curve), startOf); next; next = meeting(free, endOf(next.curve), startOf)) {
				list.push(take(next))
			}
			for (let before = meeting(free, startOf(link.curve), endOf); before; before = meeting(free, startOf(before.curve), endOf)) {
				list.unshift(take(before))
			}
		}
		chains.push({ curve: joined(list), links: list })
	}
	return chains
}

const meeting = (free: ReadonlySet<Directed>, at: ChartPoint, end: (curve: Curve) => ChartPoint): Directed | undefined =>
	[...free].find(({ curve }) => !curve.closed && apart(end(curve), at) < MEETS_MM)

const apart = (a: ChartPoint, b: ChartPoint) => Math.hypot(a.s - b.s, a.g - b.g)

function joined(list: readonly Directed[]): Curve {
	const [first, last] = [list[0] as Directed, list[list.length - 1] as Directed]
	const closed = first.curve.closed || (list.length > 1 && apart(startOf(first.curve), endOf(last.curve)) < MEETS_MM)
	const cubics = list.flatMap(({ curve }) => curve.cubics)
	return { id: first.border.id, cubics, closed, maxErrorMm: Math.max(...list.map(({ curve }) => curve.maxErrorMm)) }
}
