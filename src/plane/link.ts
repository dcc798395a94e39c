import { meetingOf } from './cuts.ts'
import type { Fit } from './fit.ts'
import type { PlanePoint } from './point.ts'
import type { Span } from './spans.ts'
import { distance } from './vector.ts'

/** A kept stretch of a span; `fit` is that of the whole span. */
export interface Kept {
	readonly span: Span
	from: number
	to: number
	readonly fit?: Fit
}

export interface Chain {
	readonly parts: Kept[]
	readonly closed: boolean
}

/** Runs chained where the cut end of one meets the cut start of another (or its own). */
export function link(
	runs: readonly Chain[],
	spans: readonly Span[],
	toleranceMm: number,
): { chains: Chain[]; loose: { span: Span; t: number }[] } {
	const chains: Chain[] = runs.filter((run) => run.closed)
	const open = runs.filter((run) => !run.closed)
	const pairs: { end: number; start: number; gap: number }[] = []
	open.forEach((before, end) => {
		open.forEach((after, start) => {
			const gap = distance(endOf(before), startOf(after))
			if (gap <= 20 * toleranceMm) pairs.push({ end, start, gap })
		})
	})
	pairs.sort((a, b) => a.gap - b.gap)
	const next = new Map<number, number>()
	const taken = new Set<number>()
	const loose: { span: Span; t: number }[] = []
	for (const { end, start } of pairs) {
		if (next.has(end) || taken.has(start)) continue
		if (!bringTogether(open[end] as Chain, open[start] as Chain, spans, toleranceMm)) continue
		next.set(end, start)
		taken.add(start)
	}
	open.forEach((run, i) => {
		const first = run.parts[0] as Kept
		const last = run.parts[run.parts.length - 1] as Kept
		if (!taken.has(i)) loose.push({ span: first.span, t: first.from })
		if (!next.has(i)) loose.push({ span: last.span, t: last.to })
	})
	const done = new Set<number>()
	const follow = (first: number): Chain => {
		const parts: Kept[] = []
		let at: number | undefined = first
		while (at !== undefined && !done.has(at)) {
			done.add(at)
			parts.push(...(open[at] as Chain).parts)
			at = next.get(at)
		}
		return { parts, closed: at === first }
	}
	open.forEach((_, i) => {
		if (!taken.has(i)) chains.push(follow(i))
	})
	open.forEach((_, i) => {
		if (!done.has(i)) chains.push(follow(i))
	})
	const kept = chains.filter((chain) => chain.closed || extent(chain) > 2 * toleranceMm)
	return { chains: kept, loose }
}

const endOf = (run: Chain): PlanePoint => {
	const part = run.parts[run.parts.length - 1] as Kept
	const { x, y } = part.span.at(part.to)
	return { x, y }
}
const startOf = (run: Chain): PlanePoint => {
	const part = run.parts[0] as Kept
	const { x, y } = part.span.at(part.from)
	return { x, y }
}

/** Cuts an end and a start at their crossing; or leaves a gap that is within the tolerance, to be closed by moving the start. */
function bringTogether(before: Chain, after: Chain, spans: readonly Span[], toleranceMm: number): boolean {
	const a = before.parts[before.parts.length - 1] as Kept
	const b = after.parts[0] as Kept
	const gap = distance(endOf(before), startOf(after))
	if (gap < 1e-9) return true
	const met = meetingOf(spans, { span: spans.indexOf(a.span), t: a.to }, { span: spans.indexOf(b.span), t: b.from })
	if (met) {
		const [p, q] = met
		const isInside = spans[p.span] === a.span && spans[q.span] === b.span && p.t > a.from && q.t < b.to
		if (isInside && distance(a.span.at(p.t), endOf(before)) <= 100 * toleranceMm) {
			a.to = p.t
			b.from = q.t
			return true
		}
	}
	return gap <= toleranceMm / 4
}

function extent(chain: Chain): number {
	const first = startOf(chain)
	return chain.parts.reduce(
		(m, { span, from, to }) => Math.max(m, distance(first, span.at((from + to) / 2)), distance(first, span.at(to))),
		0,
	)
}
