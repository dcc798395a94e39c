/**
 * Boxes of a polyline's segments, of each two neighbours, each four and so on: level k holds runs of 2^k. Neighbours lie
 * together, so this is a good tree with nothing to sort.
 */
export interface SegmentTree {
	/** four numbers a box: minX, minY, maxX, maxY; level by level */
	readonly boxes: Float64Array
	/** number of the first box of each level, and of the one after the last */
	readonly starts: readonly number[]
}

/** @param ends four numbers a segment: x and y of its start, x and y of its end */
export function segmentTree(ends: Float64Array, count = ends.length / 4): SegmentTree {
	const starts = [0]
	let total = 0
	for (let n = count; ; n = (n + 1) >> 1) {
		total += n
		starts.push(total)
		if (n <= 1) break
	}
	const boxes = new Float64Array(4 * total)
	for (let o = 0; o < 4 * count; o += 4) {
		const [x0, y0, x1, y1] = [ends[o] as number, ends[o + 1] as number, ends[o + 2] as number, ends[o + 3] as number]
		boxes[o] = Math.min(x0, x1)
		boxes[o + 1] = Math.min(y0, y1)
		boxes[o + 2] = Math.max(x0, x1)
		boxes[o + 3] = Math.max(y0, y1)
	}
	for (let level = 1; level + 1 < starts.length; level++) {
		const end = starts[level] as number
		let to = 4 * end
		for (let k = starts[level - 1] as number; k < end; k += 2, to += 4) {
			const a = 4 * k
			const b = k + 1 < end ? a + 4 : a
			boxes[to] = Math.min(boxes[a] as number, boxes[b] as number)
			boxes[to + 1] = Math.min(boxes[a + 1] as number, boxes[b + 1] as number)
			boxes[to + 2] = Math.max(boxes[a + 2] as number, boxes[b + 2] as number)
			boxes[to + 3] = Math.max(boxes[a + 3] as number, boxes[b + 3] as number)
		}
	}
	return { boxes, starts }
}

/** The box of the whole: minX, minY, maxX, maxY. Empty for no segments. */
export const wholeBox = ({ boxes }: SegmentTree): Float64Array => boxes.subarray(boxes.length - 4)

/** Calls `pair` with the numbers of every two segments, one of each tree, whose boxes meet, until it says true. */
export function meetingBoxes(
	one: SegmentTree,
	two: SegmentTree,
	pair: (s: number, t: number) => boolean,
	levelA = one.starts.length - 2,
	a = 0,
	levelB = two.starts.length - 2,
	b = 0,
): boolean {
	const i = (one.starts[levelA] as number) + a
	const k = (two.starts[levelB] as number) + b
	if (i >= (one.starts[levelA + 1] as number) || k >= (two.starts[levelB + 1] as number)) return false
	const [p, q] = [one.boxes, two.boxes]
	const [o, w] = [4 * i, 4 * k]
	if ((p[o + 2] as number) < (q[w] as number) || (q[w + 2] as number) < (p[o] as number)) return false
	if ((p[o + 3] as number) < (q[w + 1] as number) || (q[w + 3] as number) < (p[o + 1] as number)) return false
	if (levelA === 0 && levelB === 0) return pair(a, b)
	if (levelA >= levelB) {
		return (
			meetingBoxes(one, two, pair, levelA - 1, 2 * a, levelB, b) || meetingBoxes(one, two, pair, levelA - 1, 2 * a + 1, levelB, b)
		)
	}
	return (
		meetingBoxes(one, two, pair, levelA, a, levelB - 1, 2 * b) || meetingBoxes(one, two, pair, levelA, a, levelB - 1, 2 * b + 1)
	)
}

/** As `meetingBoxes`, within one tree, s < t. */
export function meetingBoxesWithin(
	tree: SegmentTree,
	pair: (s: number, t: number) => boolean,
	level = tree.starts.length - 2,
	k = 0,
): boolean {
	if (level <= 0 || (tree.starts[level] as number) + k >= (tree.starts[level + 1] as number)) return false
	return (
		meetingBoxesWithin(tree, pair, level - 1, 2 * k) ||
		meetingBoxesWithin(tree, pair, level - 1, 2 * k + 1) ||
		meetingBoxes(tree, tree, pair, level - 1, 2 * k, level - 1, 2 * k + 1)
	)
}
