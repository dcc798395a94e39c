/** What is told beside a decal: where it lies, how its film lies down, what is near, both sides; and what each artwork is. */
import type { Artwork } from '../artwork/artwork.ts'
import { NAMES } from '../decal/decal.ts'
import type { Clearance } from '../decal/neighbours.ts'
import type { PanelDecal } from '../decal/panelDecals.ts'
import type { SidesOfDecal } from '../decal/sides.ts'
import type { DecalGround } from '../engine/decalGround.ts'
import type { PanelResult } from '../engine/panel.ts'
import { placeOn } from '../job/place.ts'
import { plural } from '../job/say.ts'
import type { Job } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { simplify } from '../plane/simplify.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type Line, lineOf } from './flatLine.ts'

export interface Told {
	readonly about: string
	readonly says: readonly string[]
	/** something is to be looked at */
	readonly wrong?: true
}

/** One decal on one side. */
export interface DecalView {
	/** its name in the file, and decal/side */
	readonly decal: string
	readonly id: string
	readonly side: string
	readonly told: readonly Told[]
	/** it has a frame and, unless it is painted, film to print */
	readonly frame: string
	readonly mirroredPrint: boolean
	/** where its middle lies, mm: signed girth */
	readonly station: number
	readonly girth: number
	readonly riseDeg: number
}

export interface ArtworkView {
	readonly id: string
	readonly says: string
	readonly lettering: boolean
	readonly width: number
	readonly height: number
	/** mm, y up, its middle at 0, 0 */
	readonly inks: readonly { readonly loops: readonly Line[]; readonly colour: string }[]
}

/** 95 times in 100, in standard deviations. */
const NEARLY_ALWAYS = 1.96
/** Chords of a picture as large as a hand, mm. */
const CHORD_MM = 0.04

const length = (mm: number, unit: Unit) => formatLength(mm, unit, unit === 'in' ? { decimals: 2 } : { decimals: 1 }).text
const percent = (share: number) => `${(100 * share).toFixed(1)} %`
const area = (mm2: number, unit: Unit) =>
	unit === 'in' ? `${(mm2 / 645.16).toFixed(2)} sq in` : mm2 < 1000 ? `${mm2.toFixed(0)} mm²` : `${(mm2 / 100).toFixed(1)} cm²`

const views = new WeakMap<Artwork, Map<Unit, ArtworkView>>()

export function artworkView(artwork: Artwork, unit: Unit): ArtworkView {
	const before = views.get(artwork)?.get(unit)
	if (before) return before
	const { id, width, height, parts, areaMm2, lettering, inks } = artwork
	const made: ArtworkView = {
		...{ id, lettering, width, height },
		says: `${length(width, unit)} wide, ${length(height, unit)} high, ${plural(parts, 'part')}, ${area(areaMm2, unit)}`,
		inks: inks.map(({ region, colour }) => ({ colour, loops: region.map((loop) => lineOf(simplify(loop, CHORD_MM, true))) })),
	}
	views.set(artwork, new Map([...(views.get(artwork) ?? []), [unit, made]]))
	return made
}

export function decalViews(panel: PanelResult, { unit }: Job, tolerances: Shop['tolerances']): readonly DecalView[] {
	const { placed = [], sides = [] } = panel.decals ?? {}
	return placed.map((one) => {
		const decal = panel.panel.decals?.find(({ id }) => id === one.decal)
		const compared = sides.find((each) => each.decal === one.decal)
		return {
			...{ decal: one.decal, id: one.id, side: one.side, frame: `${panel.id}/${one.id}/frame` },
			mirroredPrint: decal?.reverse ?? false,
			...{ station: one.frame.at.s, girth: one.frame.at.g, riseDeg: one.riseDeg },
			told: [
				placeTold(panel, one, unit, tolerances),
				...filmTold(one, unit),
				clearTold(one, unit),
				...(compared ? [sidesTold(compared, unit, tolerances)] : []),
			],
		}
	})
}

function placeTold(
	{ panel }: PanelResult,
	{ place, riseDeg, side }: PanelDecal,
	unit: Unit,
	{ decal, decalDeg }: Shop['tolerances'],
): Told {
	const { point, at } = place.anchor
	const { s, g, side: on, line } = placeOn(panel, at, side)
	// of a decal on both sides each lies on its own
	const counted = (g ?? 0) > 0 && (line !== undefined || side === 'both') ? ` ${line ?? on ?? ''}` : ''
	const middle = Math.hypot(point.x, point.y) < 1e-6
	const where = `${middle ? 'Its middle' : `Its place ${placeWords(point, side, unit)}`} lies at station ${length(s ?? 0, unit)}, girth ${length(g ?? 0, unit)}${counted}`
	const turn =
		side === 'both'
			? Math.abs(riseDeg) < 0.05
				? 'read straight from behind'
				: `turned by ${Math.abs(riseDeg).toFixed(1)} degrees ${riseDeg > 0 ? 'anticlockwise' : 'clockwise'} as read`
			: Math.abs(riseDeg) < 0.05
				? 'its baseline along the panel'
				: `its baseline ${riseDeg > 0 ? 'rises' : 'falls'} by ${Math.abs(riseDeg).toFixed(1)} degrees to the rear`
	const [along, across, angle] = [place.sd.along, place.sd.across, (place.sd.angle * 180) / Math.PI].map(
		(sd) => NEARLY_ALWAYS * sd,
	) as [number, number, number]
	const loose = along > decal || across > decal || angle > decalDeg
	const known = `Known to ± ${length(along, unit)} along it, ± ${length(across, unit)} across it, ± ${angle.toFixed(1)} degrees (95 times in 100)`
	const misses = (place.misses ?? []).map(({ mark, mm }) => `${mark} ${length(mm, unit)}`)
	return {
		about: 'Place',
		says: [
			`${where}, ${turn}.`,
			`${known}; wanted within ${length(decal, unit)} and ${decalDeg} degrees.`,
			...(misses.length > 0 ? [`Its marks miss by ${misses.join(', ')}.`] : []),
			...(place.halves ? [`${length(place.halves[0], unit)} and ${length(place.halves[1], unit)} from its two lines.`] : []),
		],
		...(loose && place.misses ? { wrong: true as const } : {}),
	}
}

/** A place of the decal by two lengths, in words. */
function placeWords({ x, y }: { readonly x: number; readonly y: number }, side: string, unit: Unit): string {
	const along = side === 'both' ? (x > 0 ? 'to the right' : 'to the left') : x > 0 ? 'rearward' : 'to the front'
	const parts = [
		...(Math.abs(x) > 1e-6 ? [`${length(Math.abs(x), unit)} ${along}`] : []),
		...(Math.abs(y) > 1e-6 ? [`${length(Math.abs(y), unit)} ${y > 0 ? 'up' : 'down'}`] : []),
	]
	return `${parts.join(' and ')} from its middle`
}

function filmTold({ material, limits, give, takes, relief }: PanelDecal, unit: Unit): readonly Told[] {
	if (!limits) return [{ about: 'Lies down', says: ['It is masked and sprayed: no film has to give.'] }]
	const lines = [
		['stretch', give.stretch, give.stretchMm, limits.stretch] as const,
		['pucker', give.pucker, give.puckerMm, limits.pucker] as const,
	].flatMap(([what, share, mm, most]) =>
		share < 0.0005
			? []
			: [
					`Its rim must ${what} by ${percent(share)} where it does most, ${length(mm, unit)} all round; a ${NAMES[material]} takes ${most} %.`,
				],
	)
	const [first] = relief
	const ink = relief.filter(({ throughInkMm }) => throughInkMm > 0.05).length
	const cuts = first
		? [
				`${plural(relief.length, 'relief cut')} from its rim let it lie down, each ${first.opensMm > 0 ? `opening by ${length(first.opensMm, unit)}` : `lapping itself by ${length(first.lapsMm, unit)}`}${ink > 0 ? `; ${ink} of them ${ink === 1 ? 'runs' : 'run'} through what is printed` : ''}.`,
			]
		: takes
			? []
			: ['No number of cuts lets it lie down: divide it, take a film that gives more, or have it painted.']
	const flat = lines.length === 0 ? ['It lies down as it is: the panel asks nothing of the film.'] : []
	return [
		{
			about: 'Lies down',
			says: [...flat, ...lines, ...(takes && lines.length > 0 ? ['It takes that.'] : []), ...cuts],
			...(takes ? {} : { wrong: true as const }),
		},
	]
}

/** So many of the nearest are told. */
const NEAREST = 5

function clearTold({ clearances, side }: PanelDecal, unit: Unit): Told {
	const says = clearances.slice(0, NEAREST).map((one) => clearance(one, side === 'both' ? AT_ACROSS : AT, unit))
	const wrong = clearances.some(({ overlapMm2, meant }) => overlapMm2 > 0 && !meant)
	return {
		about: 'Clear of',
		says: says.length > 0 ? says : ['Nothing is within 50 mm of it.'],
		...(wrong ? { wrong: true as const } : {}),
	}
}

const AT: Readonly<Record<Clearance['towards'], string>> = {
	...{ front: 'in front', rear: 'behind', left: 'to its left', right: 'to its right', top: 'above', bottom: 'below' },
}
/** Across the centreline its top is to the front. */
const AT_ACROSS: typeof AT = { ...AT, top: 'in front', bottom: 'behind' }

function clearance({ kind, name, gapMm, towards, overlapMm2, meant }: Clearance, at: typeof AT, unit: Unit): string {
	if (overlapMm2 > 0) {
		const over =
			kind === 'rim'
				? `${area(overlapMm2, unit)} of it off the panel`
				: kind === 'field'
					? `across the edge of ${name}`
					: `over ${name}, ${area(overlapMm2, unit)}`
		return meant ? `${over}, as is meant` : over
	}
	return `${length(gapMm, unit)} to ${kind === 'field' ? `the edge of ${name}` : name}, ${at[towards]}`
}

function sidesTold(
	{ alongMm, upMm, apartMm, turnDeg, sdMm, sdDeg, within }: SidesOfDecal,
	unit: Unit,
	{ decal, decalDeg }: Shop['tolerances'],
): Told {
	const way = [
		...(Math.abs(alongMm) >= 0.05 ? [`${length(Math.abs(alongMm), unit)} ${alongMm > 0 ? 'rearward' : 'to the front'}`] : []),
		...(Math.abs(upMm) >= 0.05 ? [`${length(Math.abs(upMm), unit)} ${upMm > 0 ? 'higher' : 'lower'}`] : []),
	]
	const turn =
		Math.abs(turnDeg) >= 0.05
			? `, its baseline ${turnDeg > 0 ? 'rising' : 'falling'} by ${Math.abs(turnDeg).toFixed(1)} degrees more`
			: ''
	return {
		about: 'Left and right',
		says: [
			`As measured, the right one lies ${way.length > 0 ? way.join(' and ') : 'as the left one does'}${turn}: ${length(apartMm, unit)} in all, known to ± ${length(NEARLY_ALWAYS * sdMm, unit)} and ± ${(NEARLY_ALWAYS * sdDeg).toFixed(1)} degrees.`,
			within
				? `Alike within ${length(decal, unit)} and ${decalDeg} degrees.`
				: `More than ${length(decal, unit)} or ${decalDeg} degrees: measure both again.`,
		],
		...(within ? {} : { wrong: true as const }),
	}
}

/** What it lies on, once paint is planned. */
export interface GroundView {
	readonly panel: string
	/** decal/side */
	readonly id: string
	readonly told: readonly Told[]
}

export function groundView(
	{ panel, id, on, ridges, clear }: DecalGround,
	paintName: (id: string) => string,
	unit: Unit,
): GroundView {
	const all = on.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)
	const seen = on.map(({ paint, areaMm2 }) =>
		on.length === 1 ? paintName(paint) : `${paintName(paint)} ${Math.round((100 * areaMm2) / all)} %`,
	)
	// an edge in several stretches is one thing to flat
	const felt = new Map<string, { heightUm: number; lengthMm: number }>()
	for (const { paint, heightUm, lengthMm } of ridges) {
		const before = felt.get(paint) ?? { heightUm: 0, lengthMm: 0 }
		felt.set(paint, { heightUm: Math.max(before.heightUm, heightUm), lengthMm: before.lengthMm + lengthMm })
	}
	const under = clear.way === 'under'
	return {
		...{ panel, id },
		told: [
			{
				about: 'Lies on',
				says: [
					seen.length > 0
						? `${seen.join(', ')}${clear.coatsBelow > 0 ? `, under ${plural(clear.coatsBelow, 'coat')} of clear` : ''}.`
						: 'No paint is planned there.',
				],
			},
			{
				about: 'Ridges below',
				says:
					felt.size === 0
						? ['No edge of paint below it that is felt.']
						: [
								...[...felt].map(
									([paint, { heightUm, lengthMm }]) =>
										`${paintName(paint)}: up to ${heightUm.toFixed(0)} um high, ${length(lengthMm, unit)} in all`,
								),
								'Flat them under clear before it goes down.',
							],
				...(felt.size > 0 ? { wrong: true as const } : {}),
			},
			{
				about: 'Clear over it',
				says: [
					clear.decided
						? `The owner chose: ${under ? `under ${plural(clear.coatsOver, 'coat')} of clear` : 'over the clear, with none on it'}.`
						: `The owner has not chosen yet: planned ${under ? `under ${plural(clear.coatsOver, 'coat')} of clear` : 'over the clear'}. The choice is made under Paint.`,
				],
				...(clear.decided ? {} : { wrong: true as const }),
			},
		],
	}
}
