/** The edges of a stripe's bands as one takes hold of them in the picture, and what a drag makes of the figure behind each. */
import { formatLength } from '../units/format.ts'
import { readLength, type Unit } from '../units/length.ts'
import { typedLength } from './ledger.ts'
import type { Area, Line } from './scene.ts'

/** A band or a gap of a stripe, away from its line; `mm` is absent of a taper and of what cannot be read. */
export interface Part {
	readonly kind: 'band' | 'gap'
	readonly mm?: number
}
export interface Parts {
	/** half of it lies to each side of its line */
	readonly centred: boolean
	readonly offsetMm: number
	readonly parts: readonly Part[]
}

/** The edge of a band that was taken hold of. */
export interface Grip {
	/** the figure that it changes, below its stripe: ["bands", 0, "width"] */
	readonly key: readonly (string | number)[]
	/** what that figure is called */
	readonly what: string
	/** as it was, and the least that it can be, mm */
	readonly startMm: number
	readonly leastMm: number
	/** where it was taken, mm on the flat spread, and the direction away from the line there */
	readonly x: number
	readonly y: number
	readonly awayX: number
	readonly awayY: number
	/** mm of the figure for each mm that is dragged away from the line */
	readonly per: number
}

/** To so much a width is dragged: half a millimetre, or 1/32 in. */
export const stepMm = (unit: Unit) => (unit === 'mm' ? 0.5 : 25.4 / 32)

/** Where edges run together (at a point) the picture says nothing of its own scale: it is taken as true, less this share. */
const RUN_TOGETHER = 0.5

/** A stripe of the job file as it is written. */
export function partsOf(stripe: Readonly<Record<string, unknown>>, unit: Unit): Parts {
	const mm = (value: unknown) => {
		const answer = typeof value === 'number' || typeof value === 'string' ? readLength(value, unit) : undefined
		return answer?.ok ? { mm: answer.mm } : {}
	}
	const bands = Array.isArray(stripe.bands) ? (stripe.bands as readonly Readonly<Record<string, unknown>>[]) : []
	return {
		centred: stripe.lay === 'centred',
		offsetMm: mm(stripe.offset ?? 0).mm ?? 0,
		parts: bands.map((b) => ('gap' in b ? { kind: 'gap', ...mm(b.gap) } : { kind: 'band', ...mm(b.width) })),
	}
}

/** The band edge nearest to a place of the picture, within reach, mm; undefined where there is none that can be dragged. */
export function gripAt(
	{ centred, offsetMm, parts }: Parts,
	bands: readonly Area[],
	x: number,
	y: number,
	reachMm: number,
): Grip | undefined {
	const edges = edgesOf(parts, bands)
	const [hit] = edges
		.map((edge) => ({ ...edge, ...nearestOn(edge.line, x, y) }))
		.filter(({ mm }) => mm <= reachMm)
		.toSorted((a, b) => a.mm - b.mm)
	if (!hit) return undefined
	const figure = figureAt(centred, offsetMm, parts, hit.at)
	// The other edge of the stripe that lies farthest off says how large it is drawn here.
	const lever = edges
		.flatMap(({ at, side, line }) => {
			const true_ = side === hit.side ? between(parts, at, hit.at) : undefined
			return true_ === undefined || true_ === 0 ? [] : [{ true_, foot: nearestOn(line, hit.x, hit.y) }]
		})
		.toSorted((a, b) => Math.abs(b.true_) - Math.abs(a.true_))[0]
	if (!figure || !lever || lever.foot.mm === 0) return undefined
	const { true_, foot } = lever
	const away = Math.sign(true_)
	const scale = foot.mm < RUN_TOGETHER * Math.abs(true_) ? 1 : Math.abs(true_) / foot.mm
	return {
		...figure.says,
		...{ x, y },
		awayX: (away * (hit.x - foot.x)) / foot.mm,
		awayY: (away * (hit.y - foot.y)) / foot.mm,
		per: figure.times * scale,
	}
}

/** What the figure becomes with the edge dragged to a place: to whole steps, and as it was until the first of them. */
export function dragged(grip: Grip, x: number, y: number, unit: Unit): { readonly mm: number; readonly value: number | string } {
	const step = stepMm(unit)
	const by = grip.per * ((x - grip.x) * grip.awayX + (y - grip.y) * grip.awayY)
	const snapped = Math.abs(by) < step / 2 ? grip.startMm : Math.round((grip.startMm + by) / step) * step
	const mm = Math.max(grip.leastMm, snapped)
	const { text } = formatLength(mm, unit, unit === 'mm' ? { decimals: 3 } : { fraction: 32 })
	const typed = typedLength(text.replace(/ (mm|in)$/, ''), unit)
	return 'why' in typed ? { mm, value: text } : { mm: typed.mm, value: typed.value }
}

/** From one edge to another, away from the line, mm; undefined over a taper. Edge k lies before part k. */
function between(parts: readonly Part[], from: number, to: number): number | undefined {
	const over = parts.slice(Math.min(from, to), Math.max(from, to))
	const sum = over.reduce<number | undefined>((s, { mm }) => (s === undefined || mm === undefined ? undefined : s + mm), 0)
	return sum === undefined ? undefined : Math.sign(to - from) * sum
}

/**
 * The figure that moves an edge: of the first edge the offset, of all others the part before it. Of a stripe that is centred on its
 * line both sides of a part move, each by half, and its first edge moves with its first band.
 */
function figureAt(centred: boolean, offsetMm: number, parts: readonly Part[], at: number) {
	if (at === 0 && !centred) {
		const says = { key: ['offset'], what: 'offset from the line', startMm: offsetMm, leastMm: Number.NEGATIVE_INFINITY }
		return { says, times: 1 }
	}
	const index = Math.max(0, at - 1)
	const part = parts[index]
	if (part?.mm === undefined) return undefined
	const gap = part.kind === 'gap'
	const says = {
		key: ['bands', index, gap ? 'gap' : 'width'],
		what: gap ? 'gap' : 'width',
		startMm: part.mm,
		// a band has a width, a gap may close
		leastMm: gap ? 0 : Math.min(part.mm, 0.5),
	}
	return { says, times: centred ? (at === 0 ? -2 : 2) : 1 }
}

interface Edge {
	readonly at: number
	readonly side: string
	readonly line: Line
}

/** Every edge that is drawn, with its place in the stripe. */
function edgesOf(parts: readonly Part[], bands: readonly Area[]): readonly Edge[] {
	const places = parts.flatMap(({ kind }, i) => (kind === 'band' ? [i] : []))
	return bands.flatMap(({ side, edges }) => {
		const place = edges && places[edges.number - 1]
		if (place === undefined || !edges) return []
		return [...edges.near.map((line) => ({ at: place, side, line })), ...edges.far.map((line) => ({ at: place + 1, side, line }))]
	})
}

/** The place of a line nearest to a place, and how far off it is. */
export function nearestOn(line: Line, x: number, y: number): { readonly x: number; readonly y: number; readonly mm: number } {
	let best = { x: line[0] ?? x, y: line[1] ?? y, mm: Number.POSITIVE_INFINITY }
	for (let i = 0; i + 3 < line.length; i += 2) {
		const [ax, ay, bx, by] = line.slice(i, i + 4) as [number, number, number, number]
		const [dx, dy] = [bx - ax, by - ay]
		const square = dx * dx + dy * dy
		const t = square > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / square)) : 0
		const [px, py] = [ax + t * dx, ay + t * dy]
		const mm = Math.hypot(x - px, y - py)
		if (mm < best.mm) best = { x: px, y: py, mm }
	}
	return best
}
