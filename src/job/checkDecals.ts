/** Decals of one panel: names, sides, and what goes with what. */
import { checkHand, checkRef } from './checkLines.ts'
import { checkSpot } from './checkReadings.ts'
import { checkUnique, type Findings, find, unknownName } from './findings.ts'
import { handOf } from './marks.ts'
import { listed } from './say.ts'
import type { Decal, Job, Panel } from './schema.ts'

export interface DecalsToCheck {
	readonly job: Job
	readonly panel: Panel
	/** pointer to the panel */
	readonly path: string
	readonly marks: ReadonlyMap<string, ReadonlySet<'left' | 'right'>>
}

const SIDED = ['front', 'rear', 'top-front', 'top-rear', 'bottom-front', 'bottom-rear']
const ACROSS = ['left', 'right', 'top-left', 'top-right', 'bottom-left', 'bottom-right']

export function checkDecals(findings: Findings, about: DecalsToCheck): void {
	const { panel, path } = about
	checkUnique(findings, panel.decals ?? [], `${path}/decals`, 'decal', panel.id)
	for (const [i, decal] of (panel.decals ?? []).entries()) checkDecal(findings, about, decal, `${path}/decals/${i}`)
}

function checkDecal(findings: Findings, about: DecalsToCheck, decal: Decal, path: string): void {
	const { job, panel } = about
	checkHand(findings, panel, decal.hand, `${path}/hand`)
	const artwork = (job.artwork ?? []).map(({ id }) => id)
	if (!artwork.includes(decal.artwork)) {
		const otherwise = 'add it to the artwork of the job'
		unknownName(findings, {
			kind: 'ARTWORK',
			name: decal.artwork,
			known: artwork,
			path: `${path}/artwork`,
			panel: panel.id,
			otherwise,
		})
	}
	checkPlace(findings, about, decal, path)
	checkMaterial(findings, about, decal, path)
	const known = [
		...panel.stripes.map(({ id }) => id),
		...panel.fields.map(({ id }) => id),
		...(panel.patches ?? []).map(({ id }) => id),
		...(panel.decals ?? []).flatMap(({ id }) => (id === decal.id ? [] : [id])),
		...(panel.holes.length > 0 ? ['holes'] : []),
	]
	for (const [i, name] of (decal.over ?? []).entries()) {
		if (known.includes(name)) continue
		unknownName(findings, {
			kind: 'NEIGHBOUR',
			name,
			known,
			path: `${path}/over/${i}`,
			panel: panel.id,
			otherwise: 'take it away',
		})
	}
	if (decal.faces !== undefined && decal.turn !== 'reflects') {
		find(findings, () => ({
			...{ code: 'FACES_OF_TEXT', path: `${path}/faces`, place: { panel: panel.id } },
			found: 'an end that faces the front, on a decal that reads',
			expected: '"faces" only with "turn": "reflects"',
			fix: 'Take it away: what reads starts at the front on the left and at the rear on the right.',
		}))
	}
}

function checkPlace(findings: Findings, { panel, marks }: DecalsToCheck, decal: Decal, path: string): void {
	const { place } = decal
	const across = handOf(panel, decal.hand) === 'across'
	const points = place.kind === 'marks' ? place.marks.map(({ point }) => point) : 'point' in place ? [place.point] : []
	const [allowed, wrong] = across ? [ACROSS, SIDED] : [SIDED, ACROSS]
	for (const point of points) {
		if (typeof point !== 'string' || !wrong.includes(point)) continue
		find(findings, () => ({
			...{ code: 'POINT_WRONG', path: `${path}/place`, place: { panel: panel.id } },
			found: `"${point}" of a decal ${across ? 'across the centreline' : 'on one side'}`,
			expected: listed(['"middle"', '"top"', '"bottom"', ...allowed.map((each) => `"${each}"`)]),
			fix: across ? 'Write left and right, as it reads from behind.' : 'Write front and rear: they hold on either side.',
		}))
	}
	if (place.kind === 'marks') {
		for (const [i, { mark }] of place.marks.entries())
			checkRef(findings, { panel, marks }, mark, `${path}/place/marks/${i}/mark`, across)
		return
	}
	if (place.kind === 'spot') {
		// The side of a decal on both sides is that of its hand.
		const { side, ...rest } = place
		checkSpot(findings, panel, panel.hand === 'centre' && !across ? { ...rest, side: side ?? 'right' } : place, `${path}/place`)
		return
	}
	if (across) {
		find(findings, () => ({
			...{ code: 'PLACE_BY_LINE_ACROSS', path: `${path}/place/kind`, place: { panel: panel.id } },
			found: `a decal across the centreline that is placed by ${place.kind === 'between' ? 'lines' : 'a line'}`,
			expected: '"marks" or "spot"',
			fix: 'Measure two places of it as marks, or one place and its angle.',
		}))
		return
	}
	const edges = panel.edges.map(({ id }) => id)
	const named =
		place.kind === 'between' ? place.edges.map((name, i) => [name, `edges/${i}`] as const) : [[place.edge, 'edge'] as const]
	for (const [name, key] of named) {
		if (edges.includes(name)) {
			const hand = handOf(panel, panel.edges.find(({ id }) => id === name)?.hand)
			if (hand !== 'across') continue
			find(findings, () => ({
				...{ code: 'LINE_ACROSS', path: `${path}/place/${key}`, place: { panel: panel.id } },
				found: `"${name}", a line across the centreline`,
				expected: 'a line that runs along the panel and crosses the station of the decal',
				fix: 'Place the decal by marks or by a spot.',
			}))
			continue
		}
		const otherwise = 'add an edge of this name to the panel'
		unknownName(findings, { kind: 'EDGE', name, known: edges, path: `${path}/place/${key}`, panel: panel.id, otherwise })
	}
	if (place.kind === 'between' && place.edges[0] === place.edges[1]) {
		find(findings, () => ({
			...{
				code: 'SAME_EDGE',
				path: `${path}/place/edges/1`,
				place: { panel: panel.id },
				found: `"${place.edges[1]}" a second time`,
			},
			...{ expected: 'two lines that the decal lies between', fix: 'Write the other line.' },
		}))
	}
}

function checkMaterial(findings: Findings, { job, panel }: DecalsToCheck, decal: Decal, path: string): void {
	const paints = job.paints.map(({ id }) => id)
	if (decal.material === 'paint' && decal.paint === undefined) {
		find(findings, () => ({
			...{
				code: 'EMBLEM_NO_PAINT',
				path: `${path}/material`,
				place: { panel: panel.id },
				found: 'a painted emblem with no paint',
			},
			...{ expected: `"paint": ${listed(paints.map((id) => `"${id}"`))}`, fix: 'Say what it is sprayed with.' },
		}))
	}
	const taken = panel.edges.some(({ id }) => id === decal.id)
		? 'an edge'
		: panel.fields.some(({ id }) => id === decal.id) && 'a field'
	if (decal.material === 'paint' && taken) {
		find(findings, () => ({
			...{
				code: 'EMBLEM_NAME_TAKEN',
				path: `${path}/id`,
				place: { panel: panel.id },
				found: `"${decal.id}", a painted emblem, and ${taken} of the same name`,
			},
			...{
				expected: 'a name of its own: its outline is an edge and a field of that name',
				fix: 'Give one of them another name.',
			},
		}))
	}
	if (decal.paint === undefined) return
	if (!paints.includes(decal.paint)) {
		const otherwise = 'add it to the paints of the job'
		unknownName(findings, { kind: 'PAINT', name: decal.paint, known: paints, path: `${path}/paint`, panel: panel.id, otherwise })
	}
	if (decal.material !== 'paint') {
		find(findings, () => ({
			...{
				code: 'PAINT_OF_FILM',
				path: `${path}/paint`,
				place: { panel: panel.id },
				found: `a paint of a decal of ${decal.material}`,
			},
			...{ expected: '"paint" only with "material": "paint"', fix: 'Take it away, or write "material": "paint".' },
		}))
	}
}
