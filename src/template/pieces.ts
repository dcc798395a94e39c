import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { clipPolyline } from '../plane/region.ts'
import type { Band, Scheme } from '../scheme/scheme.ts'
import type { Side } from '../scheme/side.ts'
import { flatPiece } from './flatPiece.ts'
import { edgeGuides } from './guide.ts'
import { handedness } from './handed.ts'
import { girthFigure } from './measured.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece, PieceSide } from './piece.ts'
import { girthStrip } from './strip.ts'
import { stripePiece } from './stripePiece.ts'

export interface PiecesInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly scheme: Scheme
	/** id -> #rrggbb */
	readonly colours: ReadonlyMap<string, string>
	/** where strips are wanted */
	readonly stations: readonly number[]
	/** how well the line of each edge is known (1 sd), by edge id */
	readonly sdOf: (edge: string) => number | undefined
	readonly datums: readonly { readonly id: string; readonly at: ChartPoint }[]
	/** the panel's measured outline, where there is one */
	readonly outline?: ChartRegion
	readonly firstNumber: number
	readonly unit: 'mm' | 'in'
	readonly bodyMm: number
	readonly limitMm: number
	readonly toleranceMm: number
	/** short code of the job as it is, printed on each piece */
	readonly revision?: string
}

/** Under this a band is laid by the width of its tape: one guide for its inner edge places it. */
const BY_TAPE_MM = 6
/** From this on a band of a doubly curved panel is also worth a piece of its own. */
const OWN_PIECE_MM = 20
/** How wide an interruption of the baseline is where the job does not say: a filler neck with its flange, mm. */
const POCKET_MM = 60
/** Farther off the baseline than any panel reaches. */
const FAR_GIRTH_MM = 5000
/** How alike two pieces of a pair must be as mirror images, mm rms. */
const PAIR_MM = 0.05

export function makePieces(input: PiecesInput): Outcome<readonly Piece[]> {
	const { chart, panel, scheme } = input
	const problems: Problem[] = []
	const pieces: Piece[] = []
	const next = () => input.firstNumber + pieces.length
	const common = {
		chart,
		panel: panel.id,
		panelTitle: panel.title ?? panel.id,
		unit: input.unit,
		toleranceMm: input.toleranceMm,
		stations: input.stations,
		...(input.revision === undefined ? {} : { revision: input.revision }),
	}
	const datums = input.datums.map((d) => ({ id: d.id, s: d.at.s, g: d.at.g }))
	const edges = paintEdges(input)

	for (const [i, station] of input.stations.entries()) {
		const interruption = panel.baseline.interruptions.find((i) => station > i.from && station < i.to)
		const strip = girthStrip({
			...common,
			id: `${panel.id}/strip/${i + 1}`,
			number: next(),
			side: panel.hand === 'centre' ? 'BOTH' : chart.orientation === 1 ? 'LEFT' : 'RIGHT',
			halves: panel.hand === 'centre' ? ['RIGHT', 'LEFT'] : ['ABOVE', 'BELOW'],
			station,
			from: fromDatum(datums, station),
			edges,
			features: featuresAt(input, station),
			...(interruption ? { interruption: { ...interruption, width: interruption.width ?? POCKET_MM } } : {}),
		})
		if (!strip) problems.push(...crossesNothing(input, station))
		else
			pieces.push(
				chart.orientation === -1
					? { ...strip, id: `${strip.id}/right` }
					: panel.hand === 'pair'
						? { ...strip, id: `${strip.id}/left` }
						: strip,
			)
	}

	for (const band of scheme.bands) {
		const name = bandName(panel, band)
		const sdMm = input.sdOf(edgeOf(panel, band))
		if (chart.developable && widthOf(panel, band) >= BY_TAPE_MM) {
			pieces.push(
				flatPiece({
					...common,
					id: `${panel.id}/${band.id}/piece`,
					number: next(),
					kind: 'stripe',
					side: label(band.side),
					title: `Stripe piece, ${name}`,
					region: band.region,
					working: [...band.near, ...band.far],
					datums,
					sdMm,
				}),
			)
			continue
		}
		if (!chart.developable && widthOf(panel, band) >= OWN_PIECE_MM && band.spine) {
			const piece = stripePiece({
				...common,
				id: `${panel.id}/${band.id}/piece`,
				number: next(),
				side: label(band.side),
				name,
				region: band.region,
				edges: [...band.near, ...band.far],
				spine: band.spine,
				limitMm: input.limitMm,
				sdMm,
			})
			if (piece) pieces.push(piece)
			else {
				problems.push({
					code: 'STRIPE_PIECE_LEFT_OUT',
					severity: 'note',
					path: input.path,
					place: { panel: panel.id, side: band.side },
					found: `${band.id} has a corner, or would need too many slits, to lie flat as one piece`,
					expected: 'a piece that can be laid',
					fix: 'tape it from its two edge guides',
				})
			}
		}
		for (const edge of edges.filter((e) => e.id.startsWith(`${band.id}/`) && !e.byTape)) {
			pieces.push(...guidesFor(edge))
		}
	}
	for (const field of scheme.fields) {
		if (chart.developable) {
			pieces.push(
				flatPiece({
					...common,
					id: `${panel.id}/${field.id}/piece`,
					number: next(),
					kind: 'area',
					side: label(field.side),
					title: `Field piece, ${panel.fields.find((f) => f.id === field.field)?.what ?? field.field}`,
					region: field.region,
					working: field.boundaries.map((b) => b.curve),
					datums,
				}),
			)
			continue
		}
		for (const edge of edges.filter((e) => e.id.startsWith(`${field.id}/`))) pieces.push(...guidesFor(edge))
	}
	if (panel.hand === 'centre') problems.push(...checkPairs(pieces, panel, input.path))
	return { value: pieces, problems }

	function guidesFor(edge: PaintEdge): Piece[] {
		const guides = edgeGuides({
			...common,
			path: input.path,
			edge,
			side: label(edge.side),
			firstNumber: next(),
			bodyMm: input.bodyMm,
			limitMm: input.limitMm,
		})
		// Who chose the stations knows how many dots there are; the guide itself says what to do with them.
		const chosen = panel.strips?.stations !== undefined
		problems.push(...guides.problems.filter((p) => !(chosen && p.code === 'GUIDE_FEW_DOTS')))
		return [...(guides.value ?? [])]
	}
}

/** A strip that no line crosses is not made: said of each that was asked for, and of a planned one too. */
function crossesNothing({ chart, panel, path, unit }: PiecesInput, station: number): Problem[] {
	// Both of a pair have the same strips.
	if (panel.hand === 'pair' && chart.orientation === -1) return []
	const asked = panel.strips?.stations?.findIndex((s) => Math.abs(s - station) < 1e-9) ?? -1
	return [
		{
			code: 'STRIP_CROSSES_NOTHING',
			severity: asked < 0 ? 'note' : 'warning',
			path: asked < 0 ? path : `${path}/strips/stations/${asked}`,
			place: { panel: panel.id, s: station },
			found: `no line crosses station ${girthFigure(station, unit)}, so there is no girth strip there`,
			expected: 'a station between the front and the rear ends of the lines',
			fix:
				asked < 0
					? 'ask for stations under "strips" where the lines are'
					: 'move this station to where a line is, or leave it out',
		},
	]
}

/** Those of the painted edges that get guides: on a panel that lies flat whole, wide bands and fields are pieces instead. */
export function guidedEdges(input: Pick<PiecesInput, 'chart' | 'panel' | 'scheme'>, edges: readonly PaintEdge[]): PaintEdge[] {
	const { chart, panel, scheme } = input
	if (!chart.developable) return edges.filter((e) => !e.byTape)
	const narrow = scheme.bands.filter((b) => widthOf(panel, b) < BY_TAPE_MM)
	return edges.filter((e) => !e.byTape && narrow.some((b) => e.id.startsWith(`${b.id}/`)))
}

/** Where the girth line of a station meets the panel's rim, and datums that lie on it. */
function featuresAt(input: PiecesInput, station: number) {
	const line = [
		{ x: station, y: -FAR_GIRTH_MM },
		{ x: station, y: FAR_GIRTH_MM },
	]
	const rims = (input.outline ? clipPolyline(line, toPlane(input.outline)) : []).flatMap((piece) =>
		[piece.points[0], piece.points[piece.points.length - 1]].map((p) => ({ name: 'rim', g: (p as { y: number }).y })),
	)
	const datums = input.datums
		.filter((d) => Math.abs(d.at.s - station) < 0.25 && Math.abs(d.at.g) > 1)
		.map((d) => ({ name: d.id, g: d.at.g }))
	return [...rims, ...datums]
}

const label = (side: Side): PieceSide => (side === 'left' ? 'LEFT' : side === 'right' ? 'RIGHT' : 'BOTH')

/** The datum on the baseline to measure a station from: the last before it, else the first behind it. */
function fromDatum(datums: readonly { id: string; s: number; g: number }[], station: number) {
	const on = datums.filter((d) => Math.abs(d.g) < 1).sort((a, b) => a.s - b.s)
	const from = on.findLast((d) => d.s <= station + 1e-9) ?? on[0]
	return from && { name: from.id, distance: station - from.s }
}

function edgeOf(panel: Panel, band: Band): string {
	return panel.stripes.find((s) => s.id === band.stripe)?.edge ?? ''
}

function bandName(panel: Panel, band: Band): string {
	const stripe = panel.stripes.find((s) => s.id === band.stripe)
	const painted = stripe?.bands.filter((b) => 'paint' in b).length ?? 1
	const number = band.id.slice(band.id.lastIndexOf('/') + 1)
	return `${stripe?.what ?? band.stripe}${painted > 1 ? `, band ${number}` : ''}`
}

/** The width a band was given, at its widest. */
function widthOf(panel: Panel, band: Band): number {
	const painted = panel.stripes.find((s) => s.id === band.stripe)?.bands.filter((b) => 'paint' in b) ?? []
	const given = painted[Number(band.id.slice(band.id.lastIndexOf('/') + 1)) - 1]
	if (!given || !('paint' in given)) throw new RangeError(`${band.id} is no band of its panel`)
	return typeof given.width === 'number' ? given.width : Math.max(...given.width.map((w) => w.width))
}

/** Every line to tape along: both edges of each band, and colour breaks that are no band's edge. */
export function paintEdges(input: Pick<PiecesInput, 'panel' | 'scheme' | 'colours' | 'sdOf'>): PaintEdge[] {
	const { panel, scheme } = input
	const out: PaintEdge[] = []
	for (const band of scheme.bands) {
		const sdMm = input.sdOf(edgeOf(panel, band))
		const colour = input.colours.get(band.paint) ?? '#888888'
		const inner = innerIsNear(panel, band)
		const narrow = widthOf(panel, band) < BY_TAPE_MM
		const add = (curves: readonly Curve[], isNear: boolean) =>
			curves.forEach((curve, i) => {
				const isInner = isNear === inner
				const which = panel.hand === 'centre' ? (isInner ? 'inner' : 'outer') : isInner ? 'lower' : 'upper'
				out.push({
					id: `${band.id}/${isNear ? 'near' : 'far'}${curves.length > 1 ? `/${i + 1}` : ''}`,
					name: `${bandName(panel, band)}, ${which} edge${narrow && isInner ? ` (the other edge by ${(Math.round(widthOf(panel, band) * 10) / 10).toString()} mm tape)` : ''}`,
					short: `${band.stripe}${band.id.endsWith('/1') ? '' : ` ${band.id.slice(band.id.lastIndexOf('/') + 1)}`} ${which}`,
					side: band.side,
					curve,
					open: isNear ? band.sign : (-band.sign as 1 | -1),
					colour,
					sdMm,
					...(narrow && !isInner ? { byTape: true } : {}),
				})
			})
		add(band.near, true)
		add(band.far, false)
	}
	const striped = new Set(
		scheme.bands.flatMap((band) => (servesLine(panel, band) ? [`${edgeOf(panel, band)}/${band.side}`] : [])),
	)
	const seen = new Set<string>()
	for (const field of scheme.fields) {
		for (const b of field.boundaries) {
			// A band whose edge lies on this line, or hides it, has guides already; two fields that share a break need one.
			const key = `${b.edge}/${b.side}`
			if (striped.has(key) || seen.has(key)) continue
			seen.add(key)
			// A field across the centreline has the line of either side.
			const across = b.side !== field.side
			const where = across && b.side !== 'both' ? `, ${b.side}` : ''
			out.push({
				id: `${field.id}/${b.edge}${across ? `/${b.side}` : ''}`,
				name: `colour break ${panel.edges.find((e) => e.id === b.edge)?.what ?? b.edge}${where}`,
				short: b.edge,
				side: b.side,
				curve: b.curve,
				open: b.sign,
				colour: input.colours.get(field.paint) ?? '#888888',
				sdMm: input.sdOf(b.edge),
			})
		}
	}
	return out
}

/** Less than this apart two lines are one, mm. */
const SAME_LINE_MM = 1e-6

/** A colour break this far below a band's edge on both sides does not show (hidden lap 1 to 3 mm: common practice, no source). */
const HIDDEN_MM = 1

/**
 * Whether the line that a band's stripe is laid from needs no guide of its own: an edge of the band lies on it, and has one; or
 * the band hides it, so that it may be masked anywhere below.
 */
function servesLine(panel: Panel, band: Band): boolean {
	const stripe = panel.stripes.find((s) => s.id === band.stripe)
	if (!stripe) return false
	const widths = stripe.bands.map((part): unknown => ('gap' in part ? part.gap : part.width))
	// With a width that changes nothing keeps to one distance.
	if (!widths.every((w) => typeof w === 'number')) return false
	const total = widths.reduce((sum, w) => sum + w, 0)
	let at = stripe.lay === 'centred' ? stripe.offset - total / 2 : stripe.offset
	let number = 0
	for (const [i, part] of stripe.bands.entries()) {
		const near = at
		at += widths[i] as number
		if ('gap' in part) continue
		number++
		if (!band.id.endsWith(`/${number}`)) continue
		return [near, at].some((w) => Math.abs(w) < SAME_LINE_MM) || (near <= -HIDDEN_MM && at >= HIDDEN_MM)
	}
	return false
}

/** Whether the near edge is the inner one, nearer the centreline half-way along; on a panel of one side, the lower one. */
function innerIsNear(panel: Panel, band: Band): boolean {
	const height = (curves: readonly Curve[]) => {
		const c = curves[0]
		const g = c?.cubics[Math.floor(c.cubics.length / 2)]?.[0].g ?? 0
		return panel.hand === 'centre' ? Math.abs(g) : g
	}
	return height(band.near) <= height(band.far)
}

/**
 * Left and right pieces must be mirror images, and not copies of each other unless their shape is its own mirror image. Of a
 * pair of panels pieces the twin is made from another chart: ask with the pieces of both.
 */
export function checkPairs(pieces: readonly Piece[], panel: Panel, path: string): Problem[] {
	const problems: Problem[] = []
	for (const left of pieces.filter((p) => p.side === 'LEFT')) {
		const id = left.id.replace(/\/left(?=\/|$)/, '/right')
		const right = pieces.find((p) => p.side === 'RIGHT' && p.id === id)
		const [a, b] = [longest(left.working), right && longest(right.working)]
		if (!right || !a || !b) continue
		const fit = handedness(a, b)
		if (fit.mirroredMm <= PAIR_MM) continue
		problems.push({
			code: 'PIECES_NOT_MIRRORED',
			severity: fit.sameMm < PAIR_MM ? 'error' : 'note',
			path,
			place: { panel: panel.id },
			found: `pieces ${left.number} (left) and ${right.number} (right) differ by ${fit.mirroredMm.toFixed(2)} mm as mirror images`,
			expected: `mirror images within ${PAIR_MM} mm on a panel that is alike on both sides`,
			fix: 'if the panel itself differs from side to side this is right; else look at its profile',
		})
	}
	return problems
}

const longest = (lines: Piece['working']) =>
	lines.reduce<Piece['working'][number] | undefined>(
		(best, line) => (best && best.length >= line.length ? best : line),
		undefined,
	)
