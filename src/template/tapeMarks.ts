/** Tape on the pieces that it is laid by: at each working edge the numbers of its runs, and where their far side will lie. */
import type { Chart } from '../chart/chart.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { boxOf, grown, overlaps, unionBox } from '../drawing/box.ts'
import type { Box, Item, Stroke } from '../drawing/drawing.ts'
import { textBox, textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { lengthOf, pointInRegion, resample } from '../plane/polyline.ts'
import { clipPolyline } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import type { TapeRun } from '../tape/run.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { type LedWords, leadOut, overlap } from './leadOut.ts'
import { figure, MIDDLE, path, text } from './marks.ts'
import type { Piece, PieceEdge } from './piece.ts'
import { GREY, SMALL_MM } from './style.ts'
import { type Follows, followsOf } from './tapeFollows.ts'

/** Short dashes: unlike overlaps (long ones) and centre lines. */
const FAR_SIDE: Stroke = { widthMm: 0.15, colour: GREY, dashMm: [0.9, 0.7] }
/** Less of a far side on the paper tells nothing, mm. */
const LEAST_MM = 6
/** Words keep this far from all else, and their middle at least this far from the edge that they are about, mm. */
const CLEAR_MM = 0.4
const OFF_MM = 1.9
/** So far off an edge the paper on its one side is told from none on the other, mm. */
const BESIDE_MM = 0.5
/** Where words are tried, off the edge and along it, mm. */
const ACROSS_MM = { step: 0.8, most: 14 }
const ALONG_MM = 2
const ROUGH_MM = 0.1

type Corners = readonly PlanePoint[]

/** The pieces with the tape that is laid by them; those that no run follows as they are. */
export function withTape(chart: Chart, pieces: readonly Piece[], runs: readonly TapeRun[]): readonly Piece[] {
	if (runs.length === 0) return pieces
	const follows = followsOf(chart, runs)
	return pieces.map((piece) => taped(chart, piece, follows))
}

/** Runs along one edge, as they are drawn. */
interface Drawn {
	readonly follows: Follows
	/** the stretch of the edge on paper */
	readonly edge: readonly PlanePoint[]
	/** of the body as the edge runs on paper: +1 to the left */
	readonly side: 1 | -1
	/** where the paper is */
	readonly inside: 1 | -1
	/** its far side, as far as that is on the paper */
	readonly far: readonly (readonly PlanePoint[])[]
}

function taped(chart: Chart, piece: Piece, follows: (edge: PieceEdge) => readonly Follows[]): Piece {
	const drawn = (piece.edges ?? []).flatMap((edge) => follows(edge).map((one) => drawnOf(chart, piece.knife, edge, one)))
	if (drawn.length === 0) return piece
	const room = roomOf(piece)
	const led: LedWords[] = []
	const words = drawn.flatMap((one) => {
		const [long, short] = wordsOf(one)
		const set = room.place(one, long) ?? room.place(one, short)
		if (!set) led.push(ledOut(one, long))
		return set ?? []
	})
	const printed = [...piece.items, ...words]
	const loops = [...piece.knife, ...filledLoops(piece.items)]
	const all = [...words, ...leadOut(led, printed, loops)]
	const texts = [...piece.items, ...all].flatMap((item) => boxesOf(item))
	const lines = drawn.flatMap(({ far, follows: { runs } }) =>
		far.flatMap((line) =>
			besideWords(line, texts).map((part) => path('guide', polyline(part), FAR_SIDE, `far side of ${runWords(runs)}`)),
		),
	)
	const items = [...lines, ...all]
	return {
		...piece,
		bare: piece,
		items: [...piece.items, ...items],
		bounds: grown(unionBox([piece.bounds, boundsOf(items)]) ?? piece.bounds, led.length > 0 ? 1 : 0),
		notes: [...piece.notes, NOTE],
	}
}

function drawnOf(chart: Chart, knife: Region, { on }: PieceEdge, follows: Follows): Drawn {
	const side = (follows.side * chart.orientation) as 1 | -1
	const edge = on.slice(follows.from, follows.to + 1)
	// A bridge crosses the edge: the paper is where most of it is.
	const paper = (off: number) => parallel(edge, off).filter((p) => pointInRegion(p, knife)).length
	const inside = paper(BESIDE_MM) >= paper(-BESIDE_MM) ? 1 : -1
	const far = clipPolyline(parallel(edge, side * (follows.offMm + follows.tape.width)), knife)
		.map(({ points }) => points)
		.filter((points) => lengthOf(points) >= LEAST_MM)
	return { follows, edge, side, inside, far }
}

/** A line so far to the left of another, place by place. Tape bends no tighter than several times its width: nothing folds over. */
function parallel(line: readonly PlanePoint[], off: number): PlanePoint[] {
	return line.map((p, i) => {
		const [a, b] = [line[Math.max(0, i - 1)], line[Math.min(line.length - 1, i + 1)]] as [PlanePoint, PlanePoint]
		const length = Math.hypot(b.x - a.x, b.y - a.y) || 1
		return { x: p.x - (off * (b.y - a.y)) / length, y: p.y + (off * (b.x - a.x)) / length }
	})
}

const runWords = (runs: readonly number[]) => `${runs.length === 1 ? 'run' : 'runs'} ${runs.join(', ')}`

/** At full length and, where there is no room for that, without what the tape is. */
function wordsOf({ follows: { runs, tape, offMm }, side, inside, far }: Drawn): readonly [string, string] {
	const off = offMm > 0 ? `, ${figure(offMm)} mm off` : ''
	const where = side !== inside ? ', other side' : far.length === 0 ? ', this side' : ''
	return [`${runWords(runs)}, ${tapeWords(tape)}${off}${where}`, `${runWords(runs)}${where}`]
}

/** The same on every piece: notes that say the same are printed once for a sheet. */
const NOTE =
	'Runs of tape are numbered as on the stage cards, which say when each is laid. Short dashes: where its far side will lie. "This side": its body lies where the paper is, and past it. "Other side": it lies off the paper.'

function ledOut({ edge, inside }: Drawn, words: string): LedWords {
	const k = Math.max(1, Math.floor(edge.length / 2))
	const [p, q] = [edge[k - 1], edge[k]] as [PlanePoint, PlanePoint]
	return { words, from: q, way: Math.atan2(q.y - p.y, q.x - p.x) - (inside * Math.PI) / 2 }
}

/** Words on a piece, each clear of all that is printed there already. */
function roomOf(piece: Piece) {
	const rough = piece.knife.map((loop) => simplify(loop, ROUGH_MM, true))
	const taken = piece.items.flatMap(boxesOf).map(boxed)
	/** What stood in the way comes to the front of `near`: most often it is in the way of the next place too. */
	const isFree = (corners: Corners, near: typeof taken) => {
		const { box } = boxed(corners)
		const inWay = near.findIndex((other) => overlaps(other.box, box) && overlap(other.corners, corners))
		if (inWay > 0) near.unshift(...near.splice(inWay, 1))
		return inWay < 0 && corners.every((p) => pointInRegion(p, rough))
	}
	return {
		/** Along the edge, on the tape where that is on the paper; undefined where there is no room. */
		place({ edge, side, inside, far, follows: { tape, offMm } }: Drawn, words: string): Item[] | undefined {
			const length = lengthOf(edge)
			const width = textWidth(words, { sizeMm: SMALL_MM })
			if (width > length) return undefined
			const spots = resample(edge, ALONG_MM)
			const middle = (spots.length - 1) / 2
			const order = spots.map((_, i) => i).sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle) || a - b)
			// Within tape that is broad enough for words, else past it.
			const within = far.length > 0 && side === inside ? offMm + tape.width / 2 : OFF_MM
			const first = within - SMALL_MM / 2 > CLEAR_MM ? within : offMm + tape.width + OFF_MM
			const offs = [first]
			for (let off = OFF_MM; off <= ACROSS_MM.most; off += ACROSS_MM.step) offs.push(off)
			// All that words beside this edge could reach.
			const around = grown(boxOf(edge) as Box, Math.max(...offs) + width + SMALL_MM)
			const near = taken.filter(({ box }) => overlaps(box, around))
			for (const off of offs) {
				for (const i of order) {
					const item = textAt(spots, i, inside * off, words)
					const box = item && textBox(item)
					if (!box || !isFree(grownBy(box, CLEAR_MM), near)) continue
					taken.push(boxed(box))
					return [item]
				}
			}
			return undefined
		},
	}
}

function textAt(spots: readonly PlanePoint[], i: number, off: number, words: string) {
	const [a, b] = [spots[Math.max(0, i - 1)], spots[Math.min(spots.length - 1, i + 1)]] as [PlanePoint, PlanePoint]
	const heading = Math.atan2(b.y - a.y, b.x - a.x)
	const p = spots[i] as PlanePoint
	const c = { x: p.x - off * Math.sin(heading), y: p.y + off * Math.cos(heading) }
	const angle = Math.cos(heading) < -1e-9 ? heading + Math.PI : heading
	const drop = SMALL_MM * MIDDLE
	return text({ x: c.x + Math.sin(angle) * drop, y: c.y - Math.cos(angle) * drop }, words, { anchor: 'middle', angle })
}

const boxed = (corners: Corners) => ({ corners, box: grown(boxOf(corners) as Box, ROUGH_MM) })

/** What nothing may stand on: words, and every stretch of every line. */
function boxesOf(item: Item): Corners[] {
	if (item.kind === 'text') {
		const box = textBox(item)
		return box ? [box] : []
	}
	if (item.kind === 'group') return item.items.flatMap(boxesOf)
	return polylinesOf(item.segments, ROUGH_MM).flatMap(({ points, closed }) => {
		const rough = simplify(points, ROUGH_MM / 2, closed)
		const all = closed && rough[0] ? [...rough, rough[0]] : rough
		return all.slice(1).map((q, i): Corners => [all[i] as PlanePoint, q])
	})
}

const filledLoops = (items: readonly Item[]): (readonly PlanePoint[])[] =>
	items.flatMap((item) =>
		item.kind === 'path' && item.fill ? polylinesOf(item.segments, ROUGH_MM).map(({ points }) => points) : [],
	)

function grownBy(corners: Corners, by: number): Corners {
	const [a, b, , d] = corners as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
	const unit = (p: PlanePoint, q: PlanePoint) => {
		const length = Math.hypot(q.x - p.x, q.y - p.y) || 1
		return { x: (by * (q.x - p.x)) / length, y: (by * (q.y - p.y)) / length }
	}
	const [u, v] = [unit(a, b), unit(a, d)]
	const signs = [
		[-1, -1],
		[1, -1],
		[1, 1],
		[-1, 1],
	] as const
	return corners.map((p, i) => {
		const [su, sv] = signs[i] as (typeof signs)[number]
		return { x: p.x + su * u.x + sv * v.x, y: p.y + su * u.y + sv * v.y }
	})
}

/** A far side where no words stand. */
function besideWords(line: readonly PlanePoint[], texts: readonly Corners[]): PlanePoint[][] {
	const words = texts.filter((corners) => corners.length === 4).map((corners) => grownBy(corners, CLEAR_MM))
	const parts: PlanePoint[][] = []
	let part: PlanePoint[] = []
	for (const p of resample(line, 0.5)) {
		if (words.some((corners) => pointInRegion(p, [corners]))) {
			if (part.length > 1) parts.push(part)
			part = []
		} else part.push(p)
	}
	if (part.length > 1) parts.push(part)
	return parts
}
