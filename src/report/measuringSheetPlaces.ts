/** Where the marks of a panel are, or will be: enough to find them by on a picture. */
import type { ChartPoint } from '../chart/point.ts'
import { compute } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import { handOf, readRef, refOf } from '../job/marks.ts'
import { signedGirth } from '../job/place.ts'
import type { Edge, Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { HandSide } from './measuringSheetBlanks.ts'

export interface RoughLine {
	readonly id: string
	readonly side?: HandSide
	readonly at: readonly ChartPoint[]
	readonly closed: boolean
}

export interface RoughPlaces {
	/** the outline, the reach of what is known of the shape, or nothing */
	readonly loops: readonly (readonly ChartPoint[])[]
	/** the outline was measured */
	readonly outlined: boolean
	/** round everything that has a place */
	readonly box: Reach
	readonly lines: readonly RoughLine[]
	/** a mark or datum on one side, or wherever it is */
	of(name: string, side?: HandSide): ChartPoint | undefined
}

interface Reach {
	readonly s: readonly [number, number]
	readonly g: readonly [number, number]
}

/** Room round places where the panel's own reach is not known, mm; and the least that is shown of a panel. */
const AROUND_MM = 40
const LEAST_MM = 100
/** Lines that nothing is known of keep this part of the panel's half clear of its rim, and this part of its length of its ends. */
const WITHIN = 0.85
const CLEAR = 0.06

/**
 * The panels as far as their shape, datums and readings go: what is drawn of a panel before its lines can be. Readings that do not
 * hold together are left aside, and a shape that cannot be had.
 */
export function knownPanels(job: Job, shop: Shop): readonly PanelResult[] {
	const bare = ({ seams: _, outline, ...panel }: Panel, readings: Panel['readings']): Panel => {
		const measured = outline?.points.every((point) => typeof point !== 'string' && !('mark' in point))
		return { ...panel, ...(outline && measured ? { outline } : {}), readings, edges: [], stripes: [], fields: [] }
	}
	const run = (of: (panel: Panel) => Panel['readings']) =>
		compute({ ...job, panels: job.panels.map((panel) => bare(panel, of(panel))) }, shop, { until: 'edges' }).panels
	const whole = run(({ readings }) => readings)
	if (whole.every(({ lines }) => lines)) return whole
	const without = run(() => [])
	return whole.map((panel, i) => (panel.lines ? panel : (without[i] as PanelResult)))
}

/** Measured marks where they are; others between their neighbours on a line, or in order along it where none of it is known. */
export function roughPlaces(panel: Panel, known: PanelResult | undefined): RoughPlaces {
	const places = new Map<string, ChartPoint>()
	for (const { key, at } of Object.values(known?.survey?.survey.marks ?? {})) places.set(key, at)
	for (const datum of panel.datums) {
		const at = { s: datum.station, g: signedGirth(datum.girth, datum.side) }
		if (!places.has(datum.id)) places.set(datum.id, at)
	}
	for (const reading of panel.readings) {
		if (reading.kind !== 'square') continue
		const side = panel.hand === 'pair' ? reading.panel : panel.hand === 'centre' ? reading.side : undefined
		const key = side ? `${side}/${reading.mark}` : reading.mark
		if (!places.has(key)) places.set(key, { s: reading.station, g: signedGirth(reading.girth, reading.side) })
	}
	const find = (name: string, side?: HandSide): ChartPoint | undefined => {
		const own = places.get(side ? `${side}/${name}` : name) ?? places.get(name)
		if (own) return own
		const other = places.get(`left/${name}`) ?? places.get(`right/${name}`)
		const mirrored = panel.hand === 'centre' && side !== undefined && other
		return mirrored ? { s: other.s, g: side === 'left' ? -Math.abs(other.g) : Math.abs(other.g) } : other
	}
	const area = known?.lines?.area
	const loops = area && area.from !== 'marks' ? area.region : []
	const box = reachOf(panel, loops, places)
	const lines: RoughLine[] = []
	for (const [i, edge] of panel.edges.entries()) {
		const part = (i + 1) / (panel.edges.length + 1)
		for (const side of sidesOf(panel, edge)) {
			const at = alongLine(panel, edge, side, part, { loops, box }, find)
			lines.push({ id: edge.id, ...(side ? { side } : {}), at, closed: edge.closed })
			for (const [k, step] of edge.through.entries()) {
				const { name, side: own } = readRef(refOf(step))
				const key = (own ?? side) ? `${own ?? side}/${name}` : name
				if (!places.has(key) && !places.has(name)) places.set(key, at[k] as ChartPoint)
			}
		}
	}
	return { loops, outlined: area?.from === 'outline', box, lines, of: find }
}

function sidesOf(panel: Panel, edge: Edge): readonly (HandSide | undefined)[] {
	if (panel.hand === 'left' || panel.hand === 'right') return [undefined]
	const hand = handOf(panel, edge.hand)
	return hand === 'mirrored' ? ['left', 'right'] : hand === 'across' ? [undefined] : [hand]
}

function reachOf(panel: Panel, loops: RoughPlaces['loops'], places: ReadonlyMap<string, ChartPoint>): Reach {
	const outline = (panel.outline?.points ?? []).flatMap((point) =>
		typeof point !== 'string' && 'station' in point ? [{ s: point.station, g: signedGirth(point.girth, point.side) }] : [],
	)
	const points = loops.length > 0 ? loops.flat() : [...outline, ...places.values()]
	const span = (of: (p: ChartPoint) => number, around: number): [number, number] => {
		const [low, high] = points.reduce(([a, b], p) => [Math.min(a, of(p)), Math.max(b, of(p))], [Infinity, -Infinity])
		if (low > high) return [0, LEAST_MM]
		return [low - around, high + around]
	}
	if (loops.length > 0) return { s: span(({ s }) => s, 0), g: span(({ g }) => g, 0) }
	const s = span((p) => p.s, AROUND_MM)
	// nobody has said how wide it is: about as wide as long, but no more than a tank
	const half = Math.min(150, Math.max(LEAST_MM / 2, (s[1] - s[0]) / 3))
	const g = span((p) => p.g, AROUND_MM)
	const symmetric = panel.hand === 'centre' ? Math.max(half, -g[0], g[1]) : undefined
	return { s, g: symmetric === undefined ? [Math.min(-half, g[0]), Math.max(half, g[1])] : [-symmetric, symmetric] }
}

interface Known {
	readonly loops: RoughPlaces['loops']
	readonly box: Reach
}

/** The places of a line's marks on one side. */
function alongLine(
	panel: Panel,
	edge: Edge,
	side: HandSide | undefined,
	part: number,
	known: Known,
	find: (name: string, side?: HandSide) => ChartPoint | undefined,
): readonly ChartPoint[] {
	const refs = edge.through.map((step) => readRef(refOf(step)))
	const measured = refs.map((ref) => find(ref.name, ref.side ?? side))
	const usual = refs.map((_, i) => usualPlace(panel, edge, side, part, i, refs.length, known))
	return measured.map((at, i) => at ?? between(measured, usual, i))
}

/** Between its nearest measured neighbours; beyond the last of them spread over what is left of the line. */
function between(measured: readonly (ChartPoint | undefined)[], usual: readonly ChartPoint[], i: number): ChartPoint {
	const a = measured.findLastIndex((at, k) => at !== undefined && k < i)
	const b = measured.findIndex((at, k) => at !== undefined && k > i)
	const [p, q, own] = [measured[a], measured[b], usual[i] as ChartPoint]
	if (p && q) return { s: p.s + ((q.s - p.s) * (i - a)) / (b - a), g: p.g + ((q.g - p.g) * (i - a)) / (b - a) }
	const near = p ?? q
	if (!near) return own
	const at = usual[p ? a : b] as ChartPoint
	const end = (p ? usual.at(-1) : usual[0]) as ChartPoint
	// the room that is left between it and the end, where there is any
	const part = (end.s - near.s) / (end.s - at.s)
	return { s: near.s + (own.s - at.s) * (part > 0 && part < 2 ? part : 1), g: near.g + (own.g - at.g) }
}

function usualPlace(
	panel: Panel,
	edge: Edge,
	side: HandSide | undefined,
	part: number,
	i: number,
	count: number,
	{ loops, box }: Known,
): ChartPoint {
	const along = count > 1 ? i / (count - 1) : 0.5
	const across = handOf(panel, edge.hand) === 'across' && panel.hand === 'centre'
	const length = box.s[1] - box.s[0]
	const at = (t: number) => box.s[0] + length * (CLEAR + (1 - 2 * CLEAR) * t)
	if (edge.closed) {
		const middle = at(0.5)
		const [low, high] = girthsAt(middle, loops, box)
		const turn = (2 * Math.PI * i) / count
		const sign = panel.hand !== 'centre' || across ? 0 : side === 'left' ? -1 : 1
		const half = ((high - low) / 2) * (sign === 0 ? 0.6 : 0.3)
		return { s: middle - 0.35 * length * Math.cos(turn), g: (low + high) / 2 + (sign * (high - low)) / 4 + half * Math.sin(turn) }
	}
	if (across) {
		const s = at(part)
		const [low, high] = girthsAt(s, loops, box)
		return { s, g: low + (high - low) * (0.1 + 0.8 * along) }
	}
	const s = at(along)
	const [low, high] = girthsAt(s, loops, box)
	if (panel.hand !== 'centre') return { s, g: high > 0 ? high * (1 - part) * WITHIN : low + (high - low) * part }
	return { s, g: (side === 'left' ? low : high) * (1 - part) * WITHIN }
}

/** How far the panel reaches at a station. */
function girthsAt(s: number, loops: RoughPlaces['loops'], box: Reach): readonly [number, number] {
	let [low, high] = [Infinity, -Infinity]
	for (const loop of loops) {
		for (const [i, p] of loop.entries()) {
			const q = loop[(i + 1) % loop.length] as ChartPoint
			if (p.s === q.s || (p.s - s) * (q.s - s) > 0) continue
			const g = p.g + ((q.g - p.g) * (s - p.s)) / (q.s - p.s)
			low = Math.min(low, g)
			high = Math.max(high, g)
		}
	}
	return low < high ? [low, high] : box.g
}
