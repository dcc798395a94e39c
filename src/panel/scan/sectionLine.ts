import type { Cut } from './slice.ts'

/** The points of one section in order, from left to right over the top. */
export interface SectionLine {
	/** across, up, across, up, ... */
	readonly xy: Float64Array
	readonly closed: boolean
	/** longest stretch without a point: a hole, mm */
	readonly gapMm: number
	/** lines in this plane that are no part of it (a second sheet, a fitting): their share of all length */
	readonly leftOutShare: number
}

/** Lines on both sides of a hole point at each other within this much. */
const STRAIGHT_COS = Math.cos(Math.PI / 3)
/** A hole wider than this part of the section is the end of the panel. */
const WIDEST_GAP = 0.35
/** A ring with a hole in it closes over at most this part of itself; more is a panel that curls under. */
const WIDEST_OPENING = 0.15
/** Directions at the ends of a line are taken over this part of it. */
const END_SHARE = 0.05
/** More lines than this in one plane are crumbs of a damaged mesh. */
const MOST_LINES = 50

/**
 * One line out of a plane's cuts: the longest, with those that carry it on across holes. Rings begin and end at their lowest
 * point. `toSection` takes y, z of the vehicle to across, up.
 */
export function sectionLine(
	cuts: readonly Cut[],
	toSection: (y: number, z: number) => [number, number],
): SectionLine | undefined {
	const lines = cuts.slice(0, MOST_LINES).map(({ yz, closed, length }) => {
		const xy = new Float64Array(yz.length)
		for (let i = 0; i < yz.length; i += 2) [xy[i], xy[i + 1]] = toSection(yz[i]!, yz[i + 1]!)
		return { xy, closed, length }
	})
	const first = lines.shift()
	if (!first) return undefined
	const total = first.length + lines.reduce((sum, l) => sum + l.length, 0)
	if (first.closed) {
		return { xy: openedLow(first.xy), closed: true, gapMm: 0, leftOutShare: 1 - first.length / total }
	}
	let xy: Float64Array = first.xy
	let length = first.length
	let gapMm = 0
	for (let k = 0; k < MOST_LINES && lines.length > 0; k++) {
		const next = nearestOn(xy, lines, WIDEST_GAP * length)
		if (!next) break
		xy = next.xy
		length += lines[next.index]!.length
		gapMm = Math.max(gapMm, next.gap)
		lines.splice(next.index, 1)
	}
	const leftOutShare = Math.max(0, 1 - length / total)
	const open = closingGap(xy, WIDEST_OPENING * length)
	if (open !== undefined) return { xy: openedLow(xy), closed: true, gapMm: Math.max(gapMm, open), leftOutShare }
	return { xy: leftToRight(xy), closed: false, gapMm, leftOutShare }
}

interface Joined {
	readonly xy: Float64Array
	readonly gap: number
	readonly index: number
}

/** The line that carries `xy` on from either end over the shortest gap, if one does. */
function nearestOn(
	xy: Float64Array,
	lines: readonly { readonly xy: Float64Array; readonly closed: boolean }[],
	widest: number,
): Joined | undefined {
	let best: Joined | undefined
	for (const base of [xy, reversed(xy)]) {
		const n = base.length
		const out = endDirection(base)
		lines.forEach((line, index) => {
			if (line.closed) return
			for (const next of [line.xy, reversed(line.xy)]) {
				const dx = next[0]! - base[n - 2]!
				const dy = next[1]! - base[n - 1]!
				const gap = Math.hypot(dx, dy)
				if (gap > widest || (best && gap >= best.gap)) continue
				const into = endDirection(reversed(next))
				const onward = (out[0] * dx + out[1] * dy) / gap
				const inward = -(into[0] * dx + into[1] * dy) / gap
				if (gap > 0 && (onward < STRAIGHT_COS || inward < STRAIGHT_COS)) continue
				const joined = new Float64Array(n + next.length)
				joined.set(base)
				joined.set(next, n)
				best = { xy: joined, gap, index }
			}
		})
	}
	return best
}

/** How far the ends of a line are apart where they point at each other, as those of a ring do over a hole. */
function closingGap(xy: Float64Array, widest: number): number | undefined {
	const n = xy.length
	const [dx, dy] = [xy[0]! - xy[n - 2]!, xy[1]! - xy[n - 1]!]
	const gap = Math.hypot(dx, dy)
	if (gap > widest || gap === 0) return undefined
	const out = endDirection(xy)
	const into = endDirection(reversed(xy))
	const onward = (out[0] * dx + out[1] * dy) / gap
	const inward = -(into[0] * dx + into[1] * dy) / gap
	return onward >= STRAIGHT_COS && inward >= STRAIGHT_COS ? gap : undefined
}

/** Unit direction in which a line leaves its last point. */
function endDirection(xy: Float64Array): [number, number] {
	const n = xy.length
	const back = Math.max(1, Math.round((n / 2) * END_SHARE))
	const from = Math.max(0, n - 2 - 2 * back)
	const dx = xy[n - 2]! - xy[from]!
	const dy = xy[n - 1]! - xy[from + 1]!
	const length = Math.hypot(dx, dy) || 1
	return [dx / length, dy / length]
}

function reversed(xy: Float64Array): Float64Array {
	const out = new Float64Array(xy.length)
	for (let i = 0; i < xy.length; i += 2) {
		out[i] = xy[xy.length - 2 - i]!
		out[i + 1] = xy[xy.length - 1 - i]!
	}
	return out
}

/** Twice the area that a line and its chord go round, anticlockwise positive. */
function area(xy: Float64Array): number {
	let sum = 0
	for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) sum += xy[j]! * xy[i + 1]! - xy[i]! * xy[j + 1]!
	return sum
}

/** Its ends tell left from right, unless they nearly meet below: then it runs clockwise, up on the left and over the top. */
function leftToRight(xy: Float64Array): Float64Array {
	const n = xy.length
	const run = xy[n - 2]! - xy[0]!
	let widest = 0
	for (let i = 0; i < n; i += 2) widest = Math.max(widest, Math.abs(xy[i]! - xy[0]!))
	const right = Math.abs(run) > 0.5 * widest ? run > 0 : area(xy) < 0
	return right ? xy : reversed(xy)
}

/** A ring run through clockwise from its lowest point; that point is not repeated. */
function openedLow(ring: Float64Array): Float64Array {
	const xy = area(ring) < 0 ? ring : reversed(ring)
	let low = 0
	for (let i = 0; i < xy.length; i += 2) if (xy[i + 1]! < xy[low + 1]!) low = i
	const out = new Float64Array(xy.length)
	out.set(xy.subarray(low))
	out.set(xy.subarray(0, low), xy.length - low)
	return out
}
