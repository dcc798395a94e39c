/** Edges, outline, stripes and fields of one panel: names, sides, hands. */
import { checkRefSide, checkSpot } from './checkReadings.ts'
import { checkUnique, type Findings, find, unknownName } from './findings.ts'
import { handOf, readRef, refOf } from './marks.ts'
import { listed, listedShort, mm, quoteValue } from './say.ts'
import type { Edge, Field, Hand, Panel, Stripe } from './schema.ts'

export interface LinesToCheck {
	readonly panel: Panel
	/** pointer to the panel */
	readonly path: string
	readonly marks: ReadonlyMap<string, ReadonlySet<'left' | 'right'>>
	/** names of the job's paints */
	readonly paints: ReadonlySet<string>
}

/** The same with the panel's lines and stripes by name. */
interface Named extends LinesToCheck {
	readonly edges: ReadonlyMap<string, Edge>
	readonly stripes: ReadonlySet<string>
}

/** Names that fields use for what is not an edge. */
const OUTLINE = 'outline'
const CENTRELINE = 'centreline'

export function checkLines(findings: Findings, { panel, path, marks, paints }: LinesToCheck): void {
	const edges = new Map([...panel.edges, ...emblemEdges(panel)].map((edge) => [edge.id, edge]))
	const about: Named = { panel, path, marks, paints, edges, stripes: new Set(panel.stripes.map(({ id }) => id)) }
	checkUnique(findings, panel.edges, `${path}/edges`, 'edge', panel.id)
	checkUnique(findings, panel.stripes, `${path}/stripes`, 'stripe', panel.id)
	checkUnique(findings, panel.fields, `${path}/fields`, 'field', panel.id)
	for (const [index, edge] of panel.edges.entries()) checkEdge(findings, about, edge, `${path}/edges/${index}`)
	for (const [index, stripe] of panel.stripes.entries()) checkStripe(findings, about, stripe, `${path}/stripes/${index}`)
	for (const [index, field] of panel.fields.entries()) checkField(findings, about, field, `${path}/fields/${index}`)
	for (const [index, point] of (panel.outline?.points ?? []).entries()) {
		const here = `${path}/outline/points/${index}`
		if (typeof point === 'string') checkRef(findings, about, point, here)
		else if ('mark' in point) checkRef(findings, about, point.mark, `${here}/mark`)
		else checkSpot(findings, panel, point, here)
	}
}

/** Stripes are laid off the outline of a painted emblem, and fields bounded by it, as if it were an edge of the panel. */
const emblemEdges = ({ decals = [] }: Panel): readonly Edge[] =>
	decals.flatMap(({ id, hand, material }) =>
		material === 'paint'
			? [{ id, through: [], closed: true, front: 'at-mark' as const, rear: 'at-mark' as const, ...(hand ? { hand } : {}) }]
			: [],
	)

function checkEdge(findings: Findings, about: Named, edge: Edge, path: string): void {
	const { panel } = about
	const place = { panel: panel.id }
	if (edge.id === OUTLINE || edge.id === CENTRELINE) {
		find(findings, () => ({
			...{ code: 'NAME_RESERVED', path: `${path}/id`, place, found: `an edge called "${edge.id}"` },
			...{ expected: 'another name: fields use this one for the panel itself', fix: `Call it "${edge.id}-line" or such.` },
		}))
	}
	checkHand(findings, panel, edge.hand, `${path}/hand`)
	checkSides(findings, about, edge, `${path}/sides`)
	const across = edge.hand === 'across'
	for (const [index, step] of edge.through.entries()) {
		const ref = refOf(step)
		const here = typeof step === 'string' ? `${path}/through/${index}` : `${path}/through/${index}/mark`
		checkRef(findings, about, ref, here, across)
		const before = edge.through[index - 1]
		if (before !== undefined && refOf(before) === ref) {
			find(findings, () => ({
				...{ code: 'SAME_MARK', path: here, place, found: `"${ref}" twice in a row` },
				...{ expected: 'each mark once on its way', fix: 'Take one of the two away, or correct its name.' },
			}))
		}
	}
	if (!edge.closed) return
	const first = refOf(edge.through[0]!)
	const comesBack = refOf(edge.through.at(-1)!) === first
	if (comesBack) {
		find(findings, () => ({
			...{ code: 'SAME_MARK', path: `${path}/through/${edge.through.length - 1}`, place },
			found: `"${first}" at both ends of a closed line`,
			expected: 'each mark once: a closed line comes back of itself',
			fix: 'Take the last one away.',
		}))
	}
	if (new Set(edge.through.map(refOf)).size < 3) {
		find(findings, () => ({
			...{ code: 'TOO_FEW', path: `${path}/through`, place },
			found: `a closed line through ${listed([...new Set(edge.through.map(refOf))].map(quoteValue), 'and')}`,
			expected: 'at least 3 marks',
			fix: 'Add marks, or take `closed` away.',
		}))
	}
	if (edge.front !== 'at-mark' || edge.rear !== 'at-mark') {
		find(findings, () => ({
			...{ code: 'CLOSED_WITH_END', path, place, found: 'a closed line that runs off the panel' },
			...{ expected: 'no ends on a closed line', fix: 'Take `front` and `rear` away, or `closed`.' },
		}))
	}
}

/** A mark that was read, on the side that is named. */
export function checkRef(
	findings: Findings,
	about: Pick<LinesToCheck, 'panel' | 'marks'>,
	ref: string,
	path: string,
	across = false,
): void {
	const { panel, marks } = about
	const { name, side } = readRef(ref)
	const sides = marks.get(name)
	if (!sides) {
		const otherwise = 'add a reading of this mark'
		unknownName(findings, { kind: 'MARK', name, known: marks.keys(), path, panel: panel.id, otherwise })
		return
	}
	checkRefSide(findings, panel, ref, path)
	const place = { panel: panel.id }
	const handed = panel.hand === 'centre' || panel.hand === 'pair'
	if (side && handed && !sides.has(side)) {
		const other = side === 'left' ? 'right' : 'left'
		find(findings, () => ({
			...{ code: 'SIDE_NOT_READ', path, place },
			found: `"${ref}", but ${sides.has(other) ? `"${name}" was only measured on the ${other}` : `no side was measured of "${name}"`}`,
			expected: sides.has(other) ? `"${name}" or "${other}/${name}"` : `"${name}"`,
			fix: `Add the reading on the ${side}, or write ${sides.has(other) ? `"${other}/${name}"` : `"${name}"`}.`,
		}))
	}
	if (across && !side && sides.size > 1) {
		find(findings, () => ({
			...{ code: 'SIDE_MISSING', path, place, found: `"${name}" in a line across the centreline, measured on both sides` },
			...{ expected: `"left/${name}" or "right/${name}"`, fix: 'Say which of the two.' },
		}))
	}
}

export /** Only a line that is on both sides follows one of them. */
function checkSides(findings: Findings, { panel, marks }: Named, edge: Edge, path: string): void {
	if (edge.sides === undefined) return
	const { sides } = edge
	const place = { panel: panel.id }
	const hand = handOf(panel, edge.hand)
	if (hand !== 'mirrored') {
		find(findings, () => ({
			...{ code: 'SIDES_WRONG', path, place, found: `"sides": "${sides}" on a line whose hand is "${hand}"` },
			...{ expected: 'a line on both sides alike', fix: 'Take it away.' },
		}))
		return
	}
	const lacking = (side: 'left' | 'right') =>
		edge.through.every((step) => {
			const { name, side: own } = readRef(refOf(step))
			return own !== side && !marks.get(name)?.has(side)
		})
	const missing = (['left', 'right'] as const).filter((side) => (sides === side || sides === 'each') && lacking(side))
	for (const side of missing) {
		find(findings, () => ({
			...{ code: 'SIDE_NOT_READ', path, place },
			found: `a line that is to follow what was measured on the ${side}, where none of its marks was`,
			expected: `readings of its marks on the ${side}`,
			fix: `Measure them on the ${side}, or take \`sides\` away.`,
		}))
	}
}

export function checkHand(findings: Findings, panel: Panel, hand: Hand | undefined, path: string): void {
	if (hand === undefined) return
	const own = panel.hand === 'left' || panel.hand === 'right' ? [panel.hand] : (['mirrored', 'left', 'right'] as const)
	const allowed: readonly Hand[] = panel.hand === 'centre' ? [...own, 'across'] : own
	if (allowed.includes(hand)) return
	find(findings, () => ({
		...{ code: 'HAND_WRONG', path, place: { panel: panel.id } },
		found: `"hand": "${hand}" on a panel whose hand is "${panel.hand}"`,
		expected: listed(allowed.map((each) => `"${each}"`)),
		fix: hand === 'across' ? 'Only a panel on the centreline has lines across it: write another hand.' : 'Take it away.',
	}))
}

function checkStripe(findings: Findings, about: Named, stripe: Stripe, path: string): void {
	const { panel, paints, edges, stripes } = about
	const place = { panel: panel.id }
	checkHand(findings, panel, stripe.hand, `${path}/hand`)
	const edge = edges.get(stripe.edge)
	if (edge) checkLay(findings, panel, stripe, edge, path)
	else {
		const known = edges.keys()
		const otherwise = 'add an edge of this name to the panel'
		unknownName(findings, { kind: 'EDGE', name: stripe.edge, known, path: `${path}/edge`, panel: panel.id, otherwise })
	}
	for (const [index, band] of stripe.bands.entries()) {
		if (!('paint' in band)) continue
		checkPaint(findings, paints, band.paint, `${path}/bands/${index}/paint`, panel.id)
		if (typeof band.width !== 'number') checkTaper(findings, band.width, `${path}/bands/${index}/width`, panel.id)
	}
	if (!stripe.bands.some((band) => 'paint' in band)) {
		find(findings, () => ({
			...{ code: 'NO_BAND', path: `${path}/bands`, place, found: 'gaps and no band' },
			...{ expected: 'at least one band with its paint', fix: 'Add { "paint": ..., "width": ... }.' },
		}))
	}
	for (const [index, name] of (stripe.over ?? []).entries()) {
		if (name !== stripe.id && stripes.has(name)) continue
		const known = [...stripes].filter((id) => id !== stripe.id)
		const otherwise = 'take it away'
		unknownName(findings, { kind: 'STRIPE', name, known, path: `${path}/over/${index}`, panel: panel.id, otherwise })
	}
}

/** The side that a stripe is laid to, and its hand, against those of its line. */
function checkLay(findings: Findings, panel: Panel, stripe: Stripe, edge: Edge, path: string): void {
	const place = { panel: panel.id }
	const hand = handOf(panel, edge.hand)
	const across = hand === 'across'
	const lays = across ? ['front', 'rear', 'centred'] : ['inboard', 'outboard', 'centred']
	if (!lays.includes(stripe.lay)) {
		find(findings, () => ({
			...{ code: 'LAY_WRONG', path: `${path}/lay`, place },
			found: `"lay": "${stripe.lay}" on the line "${edge.id}", which ${across ? 'crosses the centreline' : 'does not cross the centreline'}`,
			expected: listed(lays.map((lay) => `"${lay}"`)),
			fix: 'Write one of these.',
		}))
	}
	const sides = hand === 'mirrored' ? ['mirrored', 'left', 'right'] : [hand]
	if (stripe.hand !== undefined && !sides.includes(stripe.hand)) {
		find(findings, () => ({
			...{ code: 'HAND_WRONG', path: `${path}/hand`, place },
			found: `"hand": "${stripe.hand}" on the line "${edge.id}", whose hand is "${hand}"`,
			expected: listed(sides.map((each) => `"${each}"`)),
			fix: 'Take it away, or change the hand of the line.',
		}))
	}
	if (edge.closed && (stripe.front || stripe.rear)) {
		find(findings, () => ({
			...{ code: 'CLOSED_WITH_END', path: `${path}/${stripe.front ? 'front' : 'rear'}`, place },
			found: `an end to a stripe on the closed line "${edge.id}"`,
			expected: 'no ends on a closed line',
			fix: 'Take `front` and `rear` away.',
		}))
	}
}

function checkTaper(findings: Findings, taper: readonly { along: number; width: number }[], path: string, panel: string): void {
	const place = { panel }
	const back = taper.findIndex((at, index) => index > 0 && !(at.along > taper[index - 1]!.along))
	if (back >= 0) {
		find(findings, () => ({
			...{ code: 'TAPER_ORDER', path: `${path}/${back}/along`, place },
			found: `a width at ${mm(taper[back]!.along)} after one at ${mm(taper[back - 1]!.along)}`,
			expected: 'lengths along the line that grow',
			fix: 'Put the widths in order from the front end.',
		}))
	}
	if (taper.every(({ width }) => width === 0)) {
		find(findings, () => ({
			...{ code: 'NO_BAND', path, place, found: 'a taper with no width anywhere' },
			...{ expected: 'a width above 0 at one place or more', fix: 'Write the widths that were measured.' },
		}))
	}
}

function checkField(findings: Findings, about: Named, field: Field, path: string): void {
	const { panel, paints, edges } = about
	const place = { panel: panel.id }
	checkHand(findings, panel, field.hand, `${path}/hand`)
	checkPaint(findings, paints, field.paint, `${path}/paint`, panel.id)
	if (field.seed) checkSpot(findings, panel, field.seed, `${path}/seed`)
	for (const [index, name] of (field.over ?? []).entries()) {
		const known = panel.fields.flatMap(({ id }) => (id === field.id ? [] : [id]))
		if (known.includes(name)) continue
		const otherwise = 'take it away'
		unknownName(findings, { kind: 'FIELD', name, known, path: `${path}/over/${index}`, panel: panel.id, otherwise })
	}
	for (const [index, name] of field.between.entries()) {
		const here = `${path}/between/${index}`
		if (field.between.indexOf(name) < index) {
			find(findings, () => ({
				...{ code: 'SAME_EDGE', path: here, place, found: `"${name}" a second time` },
				...{ expected: 'each line once', fix: 'Take it away, or correct its name.' },
			}))
		} else if (name === CENTRELINE && panel.hand !== 'centre') {
			find(findings, () => ({
				...{ code: 'CENTRELINE_MISSING', path: here, place },
				found: `a field up to the centreline on a panel whose hand is "${panel.hand}"`,
				expected: listedShort([...edges.keys(), OUTLINE]),
				fix: 'Bound the field by lines or by the outline.',
			}))
		} else if (name !== OUTLINE && name !== CENTRELINE && !edges.has(name)) {
			const known = [...edges.keys(), OUTLINE, ...(panel.hand === 'centre' ? [CENTRELINE] : [])]
			const otherwise = 'add an edge of this name to the panel'
			unknownName(findings, { kind: 'EDGE', name, known, path: here, panel: panel.id, otherwise })
		}
	}
}

function checkPaint(findings: Findings, paints: ReadonlySet<string>, name: string, path: string, panel: string): void {
	if (paints.has(name)) return
	unknownName(findings, { kind: 'PAINT', name, known: paints, path, panel, otherwise: 'add it to the paints of the job' })
}
