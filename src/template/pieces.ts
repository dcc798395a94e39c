import { curvatureSdOf } from '../chart/curvatureSd.ts'
import type { ChartRegion, Curve } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Stripe, TemplateWay } from '../job/schema.ts'
import { bandLength } from '../scheme/areas.ts'
import type { Band, PlacedField } from '../scheme/scheme.ts'
import type { Side } from '../scheme/side.ts'
import { areaPiece } from './areaPiece.ts'
import { BY_TAPE_MM, bandName, edgeOf, widthOf } from './bands.ts'
import { askedOf, type Choice, otherSide, ownerOf, WHY_NOT_OVER_CROWN, wantsOverCrown } from './choose.ts'
import { flatPiece } from './flatPiece.ts'
import { edgeGuides } from './guide.ts'
import { type PiecePart, partsOutside, roundNote } from './keepOff.ts'
import { overCrown } from './overCrown.ts'
import type { PaintEdge } from './paintEdge.ts'
import { paintEdges } from './paintEdges.ts'
import { checkPairs } from './pairs.ts'
import type { Piece, PieceSide } from './piece.ts'
import { type StripePiece, stripePiece } from './stripePiece.ts'
import { stripsOf } from './strips.ts'
import { type Common, commonOf, datumsOf, type PiecesInput } from './told.ts'

/** From this on a band of a doubly curved panel may be worth a piece of its own. */
const OWN_PIECE_MM = 20
/** The pieces of a panel seen from one hand, and how each stripe and field is made. */
export interface Templates {
	readonly pieces: readonly Piece[]
	readonly choices: readonly Choice[]
}

export function makePieces(input: PiecesInput): Outcome<Templates> {
	const { chart, panel, scheme } = input
	const problems: Problem[] = []
	const pieces: Piece[] = []
	const choices: Choice[] = []
	/** lines that a piece across the crown has made already */
	const made = new Set<string>()
	const next = () => input.firstNumber + pieces.length
	const common = commonOf(input)
	const datums = datumsOf(input)
	const edges = paintEdges(input)
	const choose = (of: string, what: string, way: TemplateWay, why: string) => {
		if (!choices.some((c) => c.of === of && c.way === way)) choices.push({ of, what, way, why })
	}

	pieces.push(...stripsOf(input, common, edges, problems))

	if (input.proof) {
		for (const edge of edges) if (!edge.byTape) pieces.push(...guidesFor(edge).map(asProof))
		return { value: { pieces, choices }, problems }
	}
	for (const band of scheme.bands) {
		const stripe = panel.stripes.find((s) => s.id === band.stripe) as Stripe
		const name = stripe.what ?? stripe.id
		const asked = stripe.templates
		const whole = chart.developable
			? asked === 'piece' || (asked === undefined && widthOf(panel, band) >= BY_TAPE_MM)
			: asked === 'piece' || (asked === undefined && widthOf(panel, band) >= OWN_PIECE_MM)
		if (whole && chart.developable) {
			for (const part of outside(band.region, [...band.near, ...band.far])) {
				pieces.push(flatBand(input, common, next(), band, part))
			}
			choose(stripe.id, name, 'piece', 'the panel bends one way at most: a piece is true all over')
			continue
		}
		const driftMm = ((band.spine ? curvatureSdOf(chart, band.spine.line) : chart.curvatureSd) * bandLength(chart, band) ** 2) / 8
		if (whole && asked === undefined && driftMm > input.limitMm) {
			choose(stripe.id, name, 'guides', `one piece ${mightDrift(driftMm)}`)
		} else if (whole) {
			const parts = outside(band.region, [...band.near, ...band.far])
			const made = parts.map((part, i) => bandPiece(input, common, next() + i, band, part))
			const not = made.find((p) => !p.ok || (asked !== 'piece' && (p.slits > 0 || p.driftMm > input.limitMm)))
			if (!not && made.length > 0) {
				const slits = made.reduce((sum, p) => sum + (p.ok ? p.slits : 0), 0)
				pieces.push(...made.flatMap((p) => (p.ok ? [p.piece] : [])))
				const why = slits === 0 ? 'it lies down without a slit' : `asked for; it needs ${slits} slits`
				choose(stripe.id, name, 'piece', why)
				continue
			}
			const why = not ? whyNoPiece(not) : 'has no part clear of patches'
			if (asked === 'piece') problems.push(pieceLeftOut(input, band, why))
			else choose(stripe.id, name, 'guides', `one piece ${why}`)
		}
		for (const edge of edges.filter((e) => e.id.startsWith(`${band.id}/`) && !e.byTape)) alongLine(edge, name)
	}
	for (const field of scheme.fields) {
		const source = panel.fields.find((f) => f.id === field.field)
		const name = source?.what ?? field.field
		const fieldParts = outside(
			field.region,
			field.boundaries.map((b) => b.curve),
		)
		if (chart.developable && (source?.templates ?? 'piece') === 'piece') {
			for (const part of fieldParts) {
				pieces.push(
					flatPiece({
						...common,
						...partOf(`${panel.id}/${field.id}/piece`, `Field piece, ${name}`, part),
						number: next(),
						kind: 'area',
						side: label(field.side),
						datums,
					}),
				)
			}
			choose(field.field, name, 'piece', 'the panel bends one way at most: a piece is true all over')
			continue
		}
		if (source?.templates === 'piece') {
			const made = fieldParts.map((part, i) =>
				areaPiece({
					...common,
					...partOf(`${panel.id}/${field.id}/piece`, `Field piece, ${name}`, part),
					number: next() + i,
					side: label(field.side),
					datums,
					limitMm: input.limitMm,
				}),
			)
			if (made.length > 0 && made.every((piece) => piece !== undefined)) {
				pieces.push(...made)
				choose(field.field, name, 'piece', 'asked for')
				continue
			}
			problems.push(fieldPieceLeftOut(input, field))
		}
		for (const edge of edges.filter((e) => e.id.startsWith(`${field.id}/`))) alongLine(edge, name)
	}
	if (panel.hand === 'centre') problems.push(...checkPairs(pieces, panel, input.path))
	return { value: { pieces, choices }, problems }

	/** A band or field in the parts that patches leave of it. */
	function outside(region: ChartRegion, edges: readonly Curve[]): readonly NumberedPart[] {
		const parts = partsOutside(chart, region, edges, common.keepOff)
		return parts.map((part, i) => ({ ...part, index: i, count: parts.length }))
	}

	/** The templates of one line: across the crown together with its other side, or guides of its own. */
	function alongLine(edge: PaintEdge, what: string) {
		if (made.has(edge.id)) return
		const owner = ownerOf(panel, edge)?.id ?? edge.id
		const other = otherSide(edges, edge)
		if (other && wantsOverCrown(chart, panel, edges, edge)) {
			const [left, right] = edge.side === 'left' ? [edge, other] : [other, edge]
			const both = overCrown({
				...common,
				left,
				right,
				firstNumber: next(),
				interruptions: [...panel.baseline.interruptions, ...(common.keepOff?.interruptions ?? [])],
				bodyMm: input.bodyMm,
				limitMm: input.limitMm,
			})
			if (both.ok) {
				pieces.push(...both.pieces)
				made.add(other.id)
				choose(owner, what, 'over-crown', 'both sides lie near the crown: one piece places them together')
				return
			}
			const why = WHY_NOT_OVER_CROWN[both.why]
			if (askedOf(panel, edge)) problems.push(overCrownLeftOut(input, edge, why))
			else choose(owner, what, 'guides', `not across the crown: ${why}`)
		}
		pieces.push(...guidesFor(edge))
		const asked = askedOf(panel, edge) === 'guides' && 'asked for'
		choose(
			owner,
			what,
			'guides',
			asked ||
				(chart.developable
					? 'it is as narrow as its tape: one guide sets it'
					: 'a narrow guide lies true along its edge on any panel'),
		)
	}

	function guidesFor(edge: PaintEdge): Piece[] {
		const twin = otherSide(edges, edge)
		const guides = edgeGuides({
			...common,
			path: input.path,
			edge,
			...(twin ? { twin } : {}),
			side: label(edge.side),
			firstNumber: next(),
			bodyMm: input.bodyMm,
			limitMm: input.limitMm,
			...(input.proof ? { proof: true } : {}),
		})
		// Who chose the stations knows how many dots there are; the guide itself says what to do with them.
		const chosen = panel.strips?.stations !== undefined
		if (guides.value?.length === 0) problems.push(noGuides(input, edge))
		problems.push(...guides.problems.filter((p) => !(chosen && p.code === 'GUIDE_FEW_DOTS')))
		return [...(guides.value ?? [])]
	}
}

/** A guide for the old paint. */
const asProof = (guide: Piece): Piece => ({
	...guide,
	title: guide.title.replace('Edge guide', 'Proof guide'),
	notes: [
		'Lay it along the ORIGINAL line before stripping. Where the line leaves its working edge, write how far into the blank of the nearest tick (on the last pages where it has none), and ring inb, towards the baseline, or outb.',
		...guide.notes.filter((note) => !note.startsWith('Leave no black')),
	],
})

interface NumberedPart extends PiecePart {
	readonly index: number
	readonly count: number
}

/** What a piece of such a part is called, covers, and says. */
const partOf = (id: string, title: string, { region, edges, round, index, count }: NumberedPart) => ({
	id: count > 1 ? `${id}/${index + 1}` : id,
	title: count > 1 ? `${title}, part ${index + 1} of ${count}` : title,
	region,
	working: edges,
	notes: roundNote(round),
})

/** A band of a panel that lies flat whole. */
function flatBand(input: PiecesInput, common: Common, number: number, band: Band, part: NumberedPart): Piece {
	const { panel } = input
	return flatPiece({
		...common,
		...partOf(`${panel.id}/${band.id}/piece`, `Stripe piece, ${bandName(panel, band)}`, part),
		number,
		kind: 'stripe',
		side: label(band.side),
		datums: datumsOf(input),
		sdMm: input.sdOf(edgeOf(panel, band)),
	})
}

/** A band of a doubly curved panel in one piece. */
function bandPiece(input: PiecesInput, common: Common, number: number, band: Band, part: NumberedPart): StripePiece {
	const { panel } = input
	const { id, notes, region, working } = partOf(`${panel.id}/${band.id}/piece`, '', part)
	const { index, count } = part
	return band.spine
		? stripePiece({
				...common,
				id,
				number,
				side: label(band.side),
				name: `${bandName(panel, band)}${count > 1 ? `, part ${index + 1} of ${count}` : ''}`,
				region,
				edges: working,
				notes,
				spine: band.spine,
				limitMm: input.limitMm,
				sdMm: input.sdOf(edgeOf(panel, band)),
			})
		: { ok: false, why: 'corner' }
}

/** A line of which no part is clear of patches. */
const noGuides = ({ panel, path }: PiecesInput, edge: PaintEdge): Problem => ({
	code: 'LINE_IN_PATCH',
	severity: 'note',
	path,
	place: { panel: panel.id, side: edge.side },
	found: `${edge.name}, which lies in a patch all along: no guide is made for it`,
	expected: 'a line that paper can lie along',
	fix: 'set it out by hand, or take the patch away if paper lies there after all',
})

const mightDrift = (mm: number) => `might drift by ${mm.toFixed(1)} mm, since the panel's shape is not known better`

function whyNoPiece(piece: StripePiece): string {
	if (!piece.ok) return piece.why === 'corner' ? 'has a corner to go round' : 'would need too many slits'
	if (piece.slits > 0) return `would need ${piece.slits} slits`
	return mightDrift(piece.driftMm)
}

const pieceLeftOut = ({ panel, path }: PiecesInput, band: Band, why: string): Problem => ({
	code: 'STRIPE_PIECE_LEFT_OUT',
	severity: 'note',
	path,
	place: { panel: panel.id, side: band.side },
	found: `${band.id}, of which one piece ${why}`,
	expected: 'a piece that can be laid',
	fix: 'tape it from its two edge guides',
})

const fieldPieceLeftOut = ({ panel, path }: PiecesInput, field: PlacedField): Problem => ({
	code: 'FIELD_PIECE_LEFT_OUT',
	severity: 'note',
	path,
	place: { panel: panel.id, side: field.side },
	found: `${field.id}, of which one piece would need too many slits to lie flat`,
	expected: 'a piece that can be laid',
	fix: 'mask it from its edge guides, or divide the field',
})

const overCrownLeftOut = ({ panel, path }: PiecesInput, edge: PaintEdge, why: string): Problem => ({
	code: 'OVER_CROWN_LEFT_OUT',
	severity: 'note',
	path,
	place: { panel: panel.id, side: edge.side },
	found: `${edge.name}, which cannot be laid across the crown: ${why}`,
	expected: 'a line that both sides have alike, not too near the centreline and not too far from it',
	fix: 'tape it from its edge guides',
})

const label = (side: Side): PieceSide => (side === 'left' ? 'LEFT' : side === 'right' ? 'RIGHT' : 'BOTH')
