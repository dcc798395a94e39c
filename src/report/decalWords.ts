/** What is said of each decal: where it goes and how well that is known, how its film lies down, what it lies beside and on. */

import { NAMES } from '../decal/decal.ts'
import { liesFlat } from '../decal/give.ts'
import type { Clearance } from '../decal/neighbours.ts'
import type { PanelDecal } from '../decal/panelDecals.ts'
import type { SidesOfDecal } from '../decal/sides.ts'
import type { Result } from '../engine/compute.ts'
import type { DecalGround } from '../engine/decalGround.ts'
import type { PanelResult } from '../engine/panelResult.ts'
import { placeOn } from '../job/place.ts'
import { listed, plural } from '../job/say.ts'
import { DECAL_CHOICE } from '../paint/decalChoice.ts'
import { formatLength, lengthsIn, placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

/** One decal on one side, in sentences, each with what it is about. */
export interface DecalSaid {
	readonly id: string
	readonly name: string
	readonly side: string
	readonly lines: readonly {
		readonly about: 'place' | 'film' | 'beside' | 'ground' | 'clear'
		readonly text: string
		readonly wrong?: boolean
	}[]
}

/** A gap to the rim below this lifts first, mm (common practice, no source). */
const NEAR_RIM_MM = 3
const SD_95 = 1.96
const MOST_BESIDE = 4
/** A girth nearer the baseline than this is on it, mm. */
const ON_MM = 0.05

/** Small lengths, to a tenth of a millimetre. */
const fine = (mm: number, unit: Unit) => lengthsIn(`${mm.toFixed(1)} mm`, unit)
const size = (mm: number, unit: Unit) =>
	unit === 'mm' ? `${Number(mm.toFixed(1))}` : formatLength(mm, unit, { fraction: 64 }).text
const percent = (share: number) => `${(100 * share).toFixed(1)} %`

export function decalsSaid(result: Result, panel: PanelResult): readonly DecalSaid[] {
	const { unit } = result.job
	return (panel.decals?.placed ?? []).map((placed) => {
		const decal = panel.panel.decals?.find(({ id }) => id === placed.decal)
		const ground = result.grounds?.find((each) => each.panel === panel.id && each.id === placed.id)
		return {
			...{ id: placed.id, name: decal?.what ?? placed.artwork.title },
			side: placed.side === 'both' ? 'across' : placed.side,
			lines: [
				{ about: 'place' as const, text: placeWords(placed, panel, unit) },
				...filmWords(placed, unit),
				...besideWords(placed, unit),
				...groundWords(result, ground),
				...clearWords(ground),
			],
		}
	})
}

function placeWords({ frame, place, artwork, riseDeg, material, side }: PanelDecal, { panel }: PanelResult, unit: Unit): string {
	const at = placeOn(panel, frame.at, side)
	const where = [at.s, at.g].map((mm) => size(mm as number, unit))
	const which = Math.abs(frame.at.g) < ON_MM ? '' : (at.line ?? (side === 'both' ? at.side : ''))
	const turned =
		Math.abs(riseDeg) < 0.05
			? ''
			: side === 'both'
				? `, turned ${Math.abs(riseDeg).toFixed(1)} degrees ${riseDeg > 0 ? 'anticlockwise' : 'clockwise'}`
				: `, ${riseDeg > 0 ? 'rising' : 'falling'} ${Math.abs(riseDeg).toFixed(1)} degrees to the rear`
	const known = Math.max(0.1, SD_95 * Math.max(place.sd.along, place.sd.across))
	const angle = Math.max(0.1, (SD_95 * place.sd.angle * 180) / Math.PI)
	const laid = `${size(artwork.width, unit)} x ${size(artwork.height, unit)}${unit === 'mm' ? ' mm' : ''} ${NAMES[material]}`
	return `${laid}, its middle at station ${where[0]}, girth ${where[1]}${which ? ` ${which}` : ''}${turned}; known to ±${fine(known, unit)} and ±${angle.toFixed(1)} degrees, 95 times in 100`
}

function filmWords({ give, limits, takes, relief, material }: PanelDecal, unit: Unit): DecalSaid['lines'] {
	if (material === 'paint') return []
	if (liesFlat(give)) return [{ about: 'film', text: 'lies flat' }]
	const stretches = give.stretch >= give.pucker
	const [share, mm] = stretches ? [give.stretch, give.stretchMm] : [give.pucker, give.puckerMm]
	const what = `${stretches ? 'stretches' : 'puckers'} by ${percent(share)} at most, ${fine(mm, unit)} all round its rim`
	const takesIt = limits ? `; it takes ${stretches ? limits.stretch : limits.pucker} %` : ''
	const cuts = relief.length > 0 ? `: ${plural(relief.length, 'relief cut')} from the rim, marked on its frame` : ''
	return [
		{
			about: 'film',
			text: `${what}${takesIt}${takes ? '' : cuts || ': too much for any number of cuts'}`,
			...(takes ? {} : { wrong: true }),
		},
	]
}

const AT: Readonly<Record<Clearance['towards'], string>> = {
	...{ front: 'at its front', rear: 'at its rear', left: 'at its left', right: 'at its right', top: 'above', bottom: 'below' },
}
/** Across the centreline its top is to the front. */
const AT_ACROSS: typeof AT = { ...AT, top: 'in front', bottom: 'behind' }

function besideWords({ clearances, side }: PanelDecal, unit: Unit): DecalSaid['lines'] {
	const over = clearances.filter(({ overlapMm2 }) => overlapMm2 > 0)
	const near = clearances.filter(({ overlapMm2 }) => overlapMm2 === 0).slice(0, MOST_BESIDE)
	const rim = near.find(({ kind, gapMm }) => kind === 'rim' && gapMm < NEAR_RIM_MM)
	return [
		...(over.length > 0
			? [
					{
						about: 'beside' as const,
						text: `lies over ${listed(
							over.map(({ name, meant }) => `${name}${meant ? '' : ' (not said)'}`),
							'and',
						)}`,
						...(over.some(({ meant }) => !meant) ? { wrong: true } : {}),
					},
				]
			: []),
		...(near.length > 0
			? [
					{
						about: 'beside' as const,
						text: `keeps ${near.map(({ gapMm, name, towards }) => `${fine(gapMm, unit)} from ${name} ${(side === 'both' ? AT_ACROSS : AT)[towards]}`).join(', ')}`,
					},
				]
			: []),
		...(rim
			? [{ about: 'beside' as const, text: `${fine(rim.gapMm, unit)} from the rim: an edge of film so near to it lifts first` }]
			: []),
	]
}

function groundWords({ job }: Result, ground: DecalGround | undefined): DecalSaid['lines'] {
	if (!ground) return []
	const named = (id: string) => job.paints.find((paint) => paint.id === id)?.name ?? id
	const on =
		ground.on.length > 0
			? `lies on ${listed(
					ground.on.map(({ paint }) => named(paint)),
					'and',
				)}`
			: 'lies on paint that is left as it is'
	const { ridges } = ground
	if (ridges.length === 0) return [{ about: 'ground', text: `${on}; no edge of paint below it` }]
	const each = ridges
		.slice(0, MOST_BESIDE)
		.map(({ paint, heightUm, lengthMm }) => `${named(paint)} ${heightUm.toFixed(0)} um over ${placeText(lengthMm, job.unit)}`)
	return [{ about: 'ground', text: `${on}; edges of paint below it, to be flatted first: ${each.join(', ')}`, wrong: true }]
}

function clearWords(ground: DecalGround | undefined): DecalSaid['lines'] {
	if (!ground) return []
	const { way, decided, coatsBelow, coatsOver } = ground.clear
	const goes =
		way === 'under'
			? `goes down after ${plural(coatsBelow, 'coat')} of clear, and ${plural(coatsOver, 'coat')} over it`
			: `goes down last, on ${plural(coatsBelow, 'coat')} of clear`
	const fuel = DECAL_CHOICE[way].find(({ code }) => code === 'KEEPS_FUEL_OFF' || code === 'FUEL_REACHES_IT')
	return [
		{
			about: 'clear',
			text: `${goes}${decided ? '' : ' (usual: the owner has not chosen)'}. ${fuel?.sentence ?? ''}`.trim(),
			...(decided ? {} : { wrong: true }),
		},
	]
}

/** "Decals" of every panel that has some; empty where there are none. */
export function decalText(result: Result): string {
	const blocks = result.panels.flatMap((panel) => {
		const said = decalsSaid(result, panel)
		if (said.length === 0) return []
		const sides = decalSidesSaid(result, panel).map((text) => `  ${text}`)
		return [
			[
				panel.title,
				...said.flatMap(({ name, side, lines }) => [`  ${name}, ${side}`, ...lines.map(({ text }) => `    ${text}`)]),
				...sides,
			].join('\n'),
		]
	})
	return blocks.length > 0 ? `Decals\n\n${blocks.join('\n\n')}\n` : ''
}

/** Those that were measured on both sides, right against left. */
export const decalSidesSaid = ({ job }: Result, panel: PanelResult): readonly string[] =>
	(panel.decals?.sides ?? []).map((each) => sidesWords(each, panel, job.unit))

function sidesWords(sides: SidesOfDecal, { panel }: PanelResult, unit: Unit): string {
	const { decal, alongMm, upMm, turnDeg, within, sdMm, sdDeg } = sides
	const name = panel.decals?.find(({ id }) => id === decal)?.what ?? decal
	const said = (value: number, words: string) => (Math.abs(value) >= 0.05 ? [words] : [])
	const parts = [
		...said(alongMm, `${fine(Math.abs(alongMm), unit)} farther ${alongMm > 0 ? 'rearward' : 'forward'}`),
		...said(upMm, `${fine(Math.abs(upMm), unit)} ${upMm > 0 ? 'higher' : 'lower'}`),
		...said(turnDeg, `${Math.abs(turnDeg).toFixed(1)} degrees ${turnDeg > 0 ? 'more' : 'less'} risen`),
	]
	const known = `known to ±${fine(SD_95 * sdMm, unit)} and ±${(SD_95 * sdDeg).toFixed(1)} degrees`
	return `${name}: right against left ${parts.length > 0 ? listed(parts, 'and') : 'no different'}, ${known}: ${within ? 'alike, as far as that tells' : 'NOT alike'}.`
}
