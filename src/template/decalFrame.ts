/** The placing frame of a decal: paper with a window, found on the panel by its marks, hinged with tape, worked through. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { NAMES, type PlacedDecal } from '../decal/decal.ts'
import { liesFlat } from '../decal/give.ts'
import { layRegion } from '../decal/lay.ts'
import { placeOn } from '../job/place.ts'
import type { Panel } from '../job/schema.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf, perimeter, pointInRegion, signedArea } from '../plane/polyline.ts'
import { areaOf, clipPolyline, intersect, subtract } from '../plane/region.ts'
import type { Unit } from '../units/length.ts'
import { areaPiece } from './areaPiece.ts'
import { type DrawnLine, flatPiece } from './flatPiece.ts'
import { girthFigure } from './measured.ts'
import type { Piece, PieceSide } from './piece.ts'
import { BOLD, CENTRE, DASHED, THIN } from './style.ts'

export interface DecalFrameInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly placed: PlacedDecal
	readonly corners: boolean
	/** what it is called */
	readonly name: string
	/** what paper may lie on: the panel, less its patches */
	readonly area: Region | undefined
	readonly keepOff: Region
	/** edges of stripes and fields, with their names: the frame is laid to those that cross it */
	readonly lines: readonly { readonly name: string; readonly points: readonly ChartPoint[] }[]
	/** places of it that were measured, in its frame */
	readonly marks: readonly { readonly name: string; readonly at: PlanePoint }[]
	readonly stations: readonly number[]
	readonly datums: readonly { readonly id: string; readonly at: ChartPoint }[]
	readonly number: number
	readonly unit: Unit
	readonly limitMm: number
	readonly toleranceMm: number
	readonly revision?: string
}

/** Paper round the window, mm: wide enough to be hinged with tape and to carry its marks (common practice, no source); less where the panel ends or bends too much. */
const BORDERS = [32, 24, 16, 12, 8, 6, 4]
/** A hinge of tape lies so far in from the outer edge, mm. */
const HINGE_MM = 8
/** Round a transparent carrier, so that its corners are seen against the marks, mm. */
const SEEN_MM = 5
const LOOK_MM = 4
/** Ticks of the marks that it was placed by, mm. */
const MARK_MM = 9
/** A line shorter than this is none, mm. */
const SHORT_MM = 0.5
/** Paper thinner than this is none, mm. */
const THIN_MM = 0.5
/** Less paper than this is no frame, mm^2. */
const LEAST_MM2 = 400

/** As wide as can be laid; undefined where paper cannot be laid there. */
export function decalFrame(input: DecalFrameInput): Piece | undefined {
	const { placed } = input
	const box = boxOf((placed.material === 'paint' ? placed.inFrame.outline : placed.inFrame.film).flat())
	if (!box) return undefined
	for (const most of BORDERS) {
		const frame = bordered(input, box, outerOf(input, box, most))
		if (frame) return frame
	}
	return undefined
}

/** The box with as much paper on each side as the panel has room for, none where it ends there. */
function outerOf({ chart, placed }: DecalFrameInput, box: Box, most: number): Box {
	let outer = box
	for (const side of ['minX', 'maxX', 'minY', 'maxY'] as const) {
		const grown = (mm: number): Box => ({ ...outer, [side]: box[side] + (side.startsWith('min') ? -mm : mm) })
		outer = grown(BORDERS.find((mm) => mm <= most && layRegion(chart, placed.laying, [rectangle(grown(mm), 0)])) ?? 0)
	}
	return outer
}

function bordered(input: DecalFrameInput, box: Box, outer: Box): Piece | undefined {
	const { chart, panel, placed, number, unit } = input
	const laid = layRegion(chart, placed.laying, [rectangle(outer, 0)])
	const window = placed.material === 'paint' ? placed.outline : placed.film
	const hole = input.corners ? layRegion(chart, placed.laying, [rectangle(box, SEEN_MM)]) : window
	if (!laid || !hole) return undefined
	const whole = toPlane(laid)
	// Paper within a hole of what is sprayed would fall out.
	const open = toPlane(hole).filter((loop) => signedArea(loop) > 0)
	const left = subtract(subtract(input.area ? intersect(whole, input.area) : whole, open), input.keepOff)
	// Where it ends with its window nothing is left; two parts do not hold each other in place.
	const paper = left.filter((loop) => signedArea(loop) < 0 || (2 * signedArea(loop)) / perimeter(loop) > THIN_MM)
	if (paper.filter((loop) => signedArea(loop) > 0).length !== 1 || areaOf(paper) < LEAST_MM2) return undefined
	const region = toChart(paper)
	const side: PieceSide = placed.side === 'both' ? 'BOTH' : placed.side === 'left' ? 'LEFT' : 'RIGHT'
	const common = {
		chart,
		id: `${panel.id}/${placed.id}/frame`,
		number,
		panel: panel.id,
		panelTitle: panel.title ?? panel.id,
		side,
		title: `Placing frame, ${input.name}`,
		region,
		working: [],
		stations: input.stations,
		datums: input.datums.map(({ id, at }) => ({ id, s: at.s, g: at.g })),
		unit,
		...(upsideDown(panel, placed) ? { turned: true } : {}),
		drawn: [...ownLines(input, box, outer, paper), ...crossing(input, whole)],
		notes: notesOf(input),
		...(input.revision === undefined ? {} : { revision: input.revision }),
	}
	return chart.developable
		? flatPiece({ ...common, kind: 'frame', toleranceMm: input.toleranceMm })
		: areaPiece({ ...common, kind: 'frame', limitMm: input.limitMm })
}

/** On the right of a centreline up is against the girth: paper is turned so that its words are read as the decal is. */
const upsideDown = ({ hand }: Panel, { side }: PlacedDecal) => hand === 'centre' && side === 'right'

interface Box {
	readonly minX: number
	readonly minY: number
	readonly maxX: number
	readonly maxY: number
}

const rectangle = ({ minX, minY, maxX, maxY }: Box, by: number): PlanePoint[] => [
	{ x: minX - by, y: minY - by },
	{ x: maxX + by, y: minY - by },
	{ x: maxX + by, y: maxY + by },
	{ x: minX - by, y: maxY + by },
]

/** Its middle, its marks, hinges, marks of the film's corners and places for a tape to check it by. */
function ownLines(input: DecalFrameInput, box: Box, outer: Box, paper: Region): DrawnLine[] {
	const { chart, placed, corners } = input
	const on = (x: number, y: number): ChartPoint | undefined => {
		const laid = placed.laying.place({ x, y })
		return laid.reached ? laid.at : undefined
	}
	const run = (from: PlanePoint, to: PlanePoint): ChartPoint[] => {
		const n = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / LOOK_MM))
		return Array.from({ length: n + 1 }, (_, i) =>
			on(from.x + ((to.x - from.x) * i) / n, from.y + ((to.y - from.y) * i) / n),
		).flatMap((p) => p ?? [])
	}
	const out: DrawnLine[] = []
	const add = (from: PlanePoint, to: PlanePoint, how: Omit<DrawnLine, 'points'>) => {
		const points = run(from, to)
		if (points.length > 1 && Math.hypot(to.x - from.x, to.y - from.y) > SHORT_MM) out.push({ ...how, points })
	}
	const middle = { stroke: CENTRE, title: 'middle of the decal' }
	add({ x: outer.minX, y: 0 }, { x: box.minX, y: 0 }, { ...middle, words: 'middle' })
	add({ x: box.maxX, y: 0 }, { x: outer.maxX, y: 0 }, { ...middle, words: 'middle' })
	add({ x: 0, y: box.maxY }, { x: 0, y: outer.maxY }, { ...middle, words: 'TOP' })
	add({ x: 0, y: outer.minY }, { x: 0, y: box.minY }, middle)
	// What it was placed by: two ticks that meet at each mark.
	for (const { name, at } of input.marks) {
		const tick = { stroke: THIN, title: `mark ${name}` }
		const [x, farX] = at.x <= 0 ? [box.minX, box.minX - MARK_MM] : [box.maxX, box.maxX + MARK_MM]
		const [y, farY] = at.y <= 0 ? [box.minY, box.minY - MARK_MM] : [box.maxY, box.maxY + MARK_MM]
		add({ x, y: at.y }, { x: farX, y: at.y }, { ...tick, words: name })
		add({ x: at.x, y }, { x: at.x, y: farY }, tick)
	}
	for (const [y, wide] of [
		[outer.maxY - HINGE_MM, outer.maxY - box.maxY],
		[outer.minY + HINGE_MM, box.minY - outer.minY],
	] as const) {
		if (wide < 2 * HINGE_MM) continue
		add({ x: outer.minX, y }, { x: outer.maxX, y }, { stroke: DASHED, title: 'hinge', words: 'hinge: tape here' })
	}
	if (corners) {
		for (const [x, sx] of [[box.minX, -1] as const, [box.maxX, 1] as const]) {
			for (const [y, sy] of [[box.minY, -1] as const, [box.maxY, 1] as const]) {
				add({ x, y: y + sy * SEEN_MM }, { x, y: y + sy * (SEEN_MM + 8) }, { stroke: BOLD, title: 'corner of the carrier' })
				add({ x: x + sx * SEEN_MM, y }, { x: x + sx * (SEEN_MM + 8), y }, { stroke: BOLD, title: 'corner of the carrier' })
			}
		}
	}
	// A cross towards either end, below the decal or else above it, with what a tape reads there.
	const seen = corners ? SEEN_MM : 0
	for (const x of [(box.minX - seen + outer.minX) / 2, (box.maxX + seen + outer.maxX) / 2]) {
		const tries = [(box.minY - seen + outer.minY) / 2, (box.maxY + seen + outer.maxY) / 2].flatMap((y) => on(x, y) ?? [])
		const at = tries.find(({ s, g }) => pointInRegion({ x: s, y: g }, paper))
		if (!at) continue
		const { j } = chart.metric(at.s, at.g)
		const words = tapeWords(input, at)
		const cross = { stroke: THIN, title: `register mark: ${words}` }
		out.push({ ...cross, points: [{ s: at.s - 3 / j, g: at.g }, at, { s: at.s + 3 / j, g: at.g }], words })
		out.push({ ...cross, points: [{ s: at.s, g: at.g - 3 }, at, { s: at.s, g: at.g + 3 }] })
	}
	placed.relief.forEach((cut, i) => {
		const { x, y } = cut.from
		// From where the window ends, away from the middle.
		const ends = corners ? Math.min(endsAt(x, box.minX - seen, box.maxX + seen), endsAt(y, box.minY - seen, box.maxY + seen)) : 1
		const beyond = (mm: number) => {
			const times = ends + mm / Math.hypot(x, y)
			return { x: times * x, y: times * y }
		}
		add(beyond(1), beyond(7), { stroke: BOLD, title: `relief cut ${i + 1}`, words: `cut ${i + 1}` })
	})
	return out
}

/** How many times a place's own distance from the middle a window ends that reaches from one to the other. */
const endsAt = (x: number, from: number, to: number) => (x === 0 ? Number.POSITIVE_INFINITY : (x > 0 ? to : from) / x)

/** A girth nearer the baseline than this is on it, mm. */
const ON_MM = 0.05

/** What a tape reads at a place, and to which side of the baseline; on a ring stations begin anew at the seam. */
function tapeWords({ chart, panel, unit }: DecalFrameInput, { s, g }: ChartPoint): string {
	const { sMin, periodS } = chart
	const station = periodS === undefined ? s : s - periodS * Math.floor((s - sMin) / periodS)
	const { side, line } = placeOn(panel, { s, g })
	const which = Math.abs(g) < ON_MM ? '' : ` ${line ?? side}`
	return `station ${girthFigure(station, unit)}, girth ${girthFigure(Math.abs(g), unit)}${which}`
}

/** Painted edges that cross the frame: it is laid to them. */
function crossing({ chart, lines }: DecalFrameInput, whole: Region): DrawnLine[] {
	const turned = chart.periodS === undefined ? [0] : [0, -chart.periodS, chart.periodS]
	return lines.flatMap(({ name, points }) =>
		turned.flatMap((by) => {
			const here = by === 0 ? points : points.map(({ s, g }) => ({ s: s + by, g }))
			const crosses = clipPolyline(toPlane([here])[0] ?? [], whole).length > 0
			return crosses ? [{ points: here, stroke: { ...BOLD, widthMm: 0.3 }, title: name, words: name }] : []
		}),
	)
}

function notesOf(input: DecalFrameInput): string[] {
	const { placed, corners } = input
	const { give, limits, relief, frame } = placed
	const percent = (share: number) => `${(100 * share).toFixed(1)} %`
	const what = NAMES[placed.material]
	const at = `Its middle: ${tapeWords(input, frame.at)}.`
	const film =
		placed.material === 'paint'
			? []
			: liesFlat(give)
				? [`The ${what} lies flat here.`]
				: [
						`The ${what} ${give.stretch >= give.pucker ? `stretches by ${percent(give.stretch)}, ${give.stretchMm.toFixed(1)} mm` : `puckers by ${percent(give.pucker)}, ${give.puckerMm.toFixed(1)} mm`} all round its rim${limits ? `; it takes ${give.stretch >= give.pucker ? limits.stretch : limits.pucker} %` : ''}.`,
					]
	const cuts =
		relief.length === 0
			? []
			: [
					`Relief cuts at ${relief.length} places, from the rim inwards by at most ${Math.max(...relief.map(({ from, to }) => Math.hypot(from.x - to.x, from.y - to.y))).toFixed(0)} mm: cut the film on the bench, before it is wet.`,
				]
	return [
		'Lay it to its marks and lines and check its crosses by tape; tape it along one hinge, step back and look, then lay the other hinge. TOP is up.',
		corners
			? 'Bring the corners of the transparent carrier to the corner marks.'
			: placed.material === 'paint'
				? 'Its window is the outline of what is sprayed.'
				: 'The film fills the window. Lift the paper on its hinge before the film is pressed down.',
		at,
		...film,
		...cuts,
	]
}
