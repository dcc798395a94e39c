import type { PlanePoint } from './point.ts'

export interface Heading {
	readonly x: number
	readonly y: number
	/** radians from +x towards +y, unwrapped */
	readonly heading: number
}

export interface DevelopOptions {
	/** where the curve starts; the origin by default */
	readonly start?: PlanePoint
	/** heading at the start, radians; 0 by default */
	readonly heading?: number
	/** largest error of any place on the curve, mm */
	readonly toleranceMm: number
	/** lengths at which the curvature jumps: panels end there */
	readonly breaks?: readonly number[]
}

export interface Developed {
	readonly length: number
	/** place and heading at a length along the curve; held at its ends */
	at(l: number): Heading
	/** lengths at which the panels of the integration join, 0 and the length included */
	readonly params: readonly number[]
	/** places at those lengths */
	readonly points: readonly PlanePoint[]
	/** estimate of the largest error of any place, mm */
	readonly errorMm: number
	/** false where the depth limit stopped short of the tolerance */
	readonly met: boolean
}

/** Order of the rule: a panel that turns by one radian is then right to 1e-13 of its length. */
const NODES = 8
/** 2^-24 of a length is below the rounding of the result: only a jump in curvature gets there, and is then harmless. */
const MAX_DEPTH = 24
/** Part of the length below which two panels differ by rounding alone. */
const ROUNDING = 1e-15
/** Share of a panel by which its ends are looked at from inside. */
const INSET = 1e-9
/** More panels than a curve of any use needs: curvature that is noise ends here, with `met` false. */
const MAX_PANELS = 20_000

/** One panel: curvature as a Legendre series, so that heading is known everywhere in it. */
interface Panel {
	readonly from: number
	readonly length: number
	readonly x: number
	readonly y: number
	readonly heading: number
	/** of the integral of curvature over the panel's own variable, radians */
	readonly series: readonly number[]
}

/**
 * The curve in the plane that has curvature k(l), 1/mm, at length l: so the development of a line on a surface onto paper
 * (same length, same in-surface curvature; do Carmo, Differential Geometry of Curves and Surfaces, 1-5 exercise 9 and 4-4).
 * Heading is the integral of k, place the integral of (cos, sin) of heading, by Gauss-Legendre panels halved until a panel
 * agrees with its two halves; constant curvature comes out right to rounding.
 * Throws a RangeError for a length or tolerance that is not positive or a curvature that is not finite.
 */
export function curveFromCurvature(k: (l: number) => number, length: number, options: DevelopOptions): Developed {
	if (!(length > 0) || !Number.isFinite(length)) throw new RangeError(`length is ${length}, not above 0`)
	if (!(options.toleranceMm > 0)) throw new RangeError(`toleranceMm is ${options.toleranceMm}, not above 0`)
	const panels: Panel[] = []
	let place = { x: options.start?.x ?? 0, y: options.start?.y ?? 0, heading: options.heading ?? 0 }
	// an error of heading is carried to the end of the curve, an error of place stays as it is
	let errorMm = 0
	let met = true
	const integrate = (from: number, size: number, whole: Panel, depth: number): void => {
		const half = size / 2
		const first = panelFrom(k, from, half, whole)
		const second = panelFrom(k, from + half, half, endOf(first))
		const a = endOf(whole)
		const b = endOf(second)
		const turn = Math.abs(a.heading - b.heading) + unseenTurn(k, first) + unseenTurn(k, second)
		const error = Math.hypot(a.x - b.x, a.y - b.y) + turn * (length - from)
		const share = Math.max((options.toleranceMm * size) / length, ROUNDING * length)
		if (error <= share || depth >= MAX_DEPTH || panels.length >= MAX_PANELS) {
			panels.push(first, second)
			place = b
			errorMm += error
			if (error > share && depth < MAX_DEPTH) met = false
			return
		}
		integrate(from, half, first, depth + 1)
		integrate(from + half, half, panelFrom(k, from + half, half, place), depth + 1)
	}
	const joins = [...new Set([0, ...(options.breaks ?? []).filter((l) => l > 0 && l < length), length])].sort((a, b) => a - b)
	for (let i = 1; i < joins.length; i++) {
		const from = joins[i - 1] as number
		const size = (joins[i] as number) - from
		integrate(from, size, panelFrom(k, from, size, place), 0)
	}
	const at = (l: number): Heading => {
		const held = Math.min(length, Math.max(0, l))
		return placeIn(panelAt(panels, held), held)
	}
	const params = [...panels.map((p) => p.from), length]
	const points = [...panels.map((p): PlanePoint => ({ x: p.x, y: p.y })), { x: place.x, y: place.y }]
	return { length, at, params, points, errorMm, met: met && errorMm <= options.toleranceMm }
}

function panelFrom(k: (l: number) => number, from: number, length: number, start: Heading): Panel {
	const { nodes, weights } = GAUSS
	const series = new Array<number>(NODES).fill(0)
	for (let j = 0; j < NODES; j++) {
		const l = from + (length * ((nodes[j] as number) + 1)) / 2
		const value = k(l)
		if (!Number.isFinite(value)) throw new RangeError(`curvature at ${l} mm is ${value}, not finite`)
		const p = LEGENDRE[j] as readonly number[]
		for (let n = 0; n < NODES; n++) {
			series[n] = (series[n] as number) + ((weights[j] as number) * (p[n] as number) * value * length) / 4
		}
	}
	return { from, length, x: start.x, y: start.y, heading: start.heading, series }
}

/**
 * Turn that a jump in curvature between the outermost node and the panel's end would hide from every node: what k is there
 * beyond what the series says, over that stretch. Asked for just inside, since a break lies on the end itself.
 */
function unseenTurn(k: (l: number) => number, panel: Panel): number {
	const stretch = (panel.length * ((GAUSS.nodes[0] as number) + 1)) / 2
	const inset = INSET * panel.length
	let start = 0
	let end = 0
	panel.series.forEach((value, n) => {
		const part = ((2 * n + 1) * 2 * value) / panel.length
		start += n % 2 === 0 ? part : -part
		end += part
	})
	return stretch * (Math.abs(k(panel.from + inset) - start) + Math.abs(k(panel.from + panel.length - inset) - end))
}

/** Heading at v in -1..1 of the panel: the integral of the series, by (2n+1) P_n = P'_(n+1) - P'_(n-1). */
function headingIn(panel: Panel, v: number): number {
	let sum = (panel.series[0] as number) * (v + 1)
	// P_(n-1), P_n and P_(n+1) in turn, by Bonnet's recursion: this is asked for most of all.
	let below = 1
	let here = v
	for (let n = 1; n < NODES; n++) {
		const above = ((2 * n + 1) * v * here - n * below) / (n + 1)
		sum += (panel.series[n] as number) * (above - below)
		below = here
		here = above
	}
	return panel.heading + sum
}

function placeIn(panel: Panel, l: number): Heading {
	const reach = (2 * (l - panel.from)) / panel.length
	let x = 0
	let y = 0
	for (let j = 0; j < NODES; j++) {
		const heading = headingIn(panel, -1 + (reach * ((GAUSS.nodes[j] as number) + 1)) / 2)
		x += (GAUSS.weights[j] as number) * Math.cos(heading)
		y += (GAUSS.weights[j] as number) * Math.sin(heading)
	}
	const half = (l - panel.from) / 2
	return { x: panel.x + half * x, y: panel.y + half * y, heading: headingIn(panel, reach - 1) }
}

const endOf = (panel: Panel): Heading => placeIn(panel, panel.from + panel.length)

function panelAt(panels: readonly Panel[], l: number): Panel {
	let low = 0
	let high = panels.length - 1
	while (low < high) {
		const mid = (low + high + 1) >> 1
		if ((panels[mid] as Panel).from <= l) low = mid
		else high = mid - 1
	}
	return panels[low] as Panel
}

/** P_0 .. P_n at v, by Bonnet's recursion. */
function legendre(v: number, n: number): number[] {
	const p = [1, v]
	for (let i = 1; i < n; i++) p.push(((2 * i + 1) * v * (p[i] as number) - i * (p[i - 1] as number)) / (i + 1))
	return p
}

/** Nodes and weights by Newton's method on P_n (Press et al., Numerical Recipes, 4.6). */
function gaussLegendre(n: number): { nodes: number[]; weights: number[] } {
	const nodes: number[] = []
	const weights: number[] = []
	for (let i = 0; i < n; i++) {
		let v = -Math.cos((Math.PI * (i + 0.75)) / (n + 0.5))
		let slope = 1
		for (let step = 0; step < 20; step++) {
			const p = legendre(v, n)
			slope = (n * (v * (p[n] as number) - (p[n - 1] as number))) / (v * v - 1)
			v -= (p[n] as number) / slope
		}
		nodes.push(v)
		weights.push(2 / ((1 - v * v) * slope * slope))
	}
	return { nodes, weights }
}

const GAUSS = gaussLegendre(NODES)
/** P_0 .. P_8 at each node. */
const LEGENDRE = GAUSS.nodes.map((node) => legendre(node, NODES))
