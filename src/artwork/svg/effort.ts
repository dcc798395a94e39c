/** Whether areas can be worked out in reasonable time: a scribble of long crossing lines has more crossings than points. */
import type { PlanePoint, Region } from '../../plane/point.ts'

/** Corners of all outlines at the tolerance: worked out in some seconds. */
const MOST_POINTS = 300_000
/** Crossings of outlines; a drawing has some hundred. */
const MOST_CROSSINGS = 200_000
/** Edges that lie side by side at a height, summed over all heights at which a corner lies: what a sweep looks at. */
const MOST_SWEPT = 3e8
/** Pairs of edges that are looked at for crossings; where as few as 20 of them cross the estimate is good to a quarter. */
const LOOKS = 200_000

/** What is too much; undefined where nothing is. */
export function tooMuch(loops: Region): string | undefined {
	const points = loops.reduce((sum, loop) => sum + loop.length, 0)
	if (points > MOST_POINTS) return `outlines with more than ${MOST_POINTS} corners`
	const edges = loops.flatMap((loop) => loop.map((p, i): Edge => [p, loop[(i + 1) % loop.length] as PlanePoint]))
	if (crossings(edges) > MOST_CROSSINGS) return 'outlines that cross each other in more places than can be counted'
	if (swept(edges) > MOST_SWEPT) return 'more edges side by side than can be sorted'
	return undefined
}

type Edge = readonly [PlanePoint, PlanePoint]

/** About how many pairs of edges cross, from pairs at regular steps through all of them. */
function crossings(edges: readonly Edge[]): number {
	const n = edges.length
	const pairs = (n * (n - 1)) / 2
	let found = 0
	let looked = 0
	// a linear congruence with these figures goes through all residues (Knuth, TAOCP 2, 3.2.1.2, and Numerical Recipes, 7.1)
	let seed = 1
	const next = () => {
		seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0
		return Math.floor((seed / 2 ** 32) * n)
	}
	for (; looked < Math.min(LOOKS, pairs); looked++) {
		const [i, j] = [next(), next()]
		if (i !== j && cross(edges[i] as Edge, edges[j] as Edge)) found++
	}
	return looked === 0 ? 0 : (found / looked) * pairs
}

function cross([a, b]: Edge, [c, d]: Edge): boolean {
	const side = (p: PlanePoint, q: PlanePoint, r: PlanePoint) => (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)
	return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
}

function swept(edges: readonly Edge[]): number {
	const levels = Float64Array.from(edges, ([a]) => a.y).sort()
	const below = (y: number) => {
		let [low, high] = [0, levels.length]
		while (low < high) {
			const middle = (low + high) >> 1
			if ((levels[middle] as number) < y) low = middle + 1
			else high = middle
		}
		return low
	}
	return edges.reduce((sum, [a, b]) => sum + Math.abs(below(a.y) - below(b.y)), 0)
}
