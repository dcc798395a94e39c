/** Decals as they stand in result.json. */
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import type { PanelDecal } from '../decal/panelDecals.ts'
import type { DecalGround } from '../engine/decalGround.ts'
import type { PanelResult } from '../engine/panelResult.ts'
import type { PanelData } from './resultSchema.ts'

const at = ({ s, g }: ChartPoint): [number, number] => [s, g]
const loops = (region: ChartRegion) => region.map((loop) => loop.map(at))

export function decalsData(
	{ id, decals }: PanelResult,
	grounds: readonly DecalGround[] = [],
): Pick<PanelData, 'decals' | 'decalSides'> {
	if (!decals) return {}
	const groundOf = (decal: string) => grounds.find((each) => each.panel === id && each.id === decal)
	return {
		decals: decals.placed.map((placed) => decalData(placed, groundOf(placed.id))),
		...(decals.sides.length > 0 ? { decalSides: decals.sides.map((each) => ({ ...each })) } : {}),
	}
}

function decalData(placed: PanelDecal, ground: DecalGround | undefined) {
	const { place, give, artwork } = placed
	return {
		...{ id: placed.id, decal: placed.decal, artwork: artwork.id, side: placed.side, material: placed.material },
		...{ widthMm: artwork.width, heightMm: artwork.height, areaMm2: placed.areaMm2 },
		...{ middle: at(placed.frame.at), riseDeg: placed.riseDeg, mirrored: placed.turned.mirrored },
		sd: { alongMm: place.sd.along, acrossMm: place.sd.across, angleDeg: (place.sd.angle * 180) / Math.PI },
		...(place.misses ? { misses: place.misses.map(({ mark, mm }) => ({ mark, mm })) } : {}),
		...(place.halves ? { halvesMm: [...place.halves] as [number, number] } : {}),
		laid: placed.laying.way,
		give: {
			...{ stretch: give.stretch, pucker: give.pucker, stretchMm: give.stretchMm, puckerMm: give.puckerMm },
			takes: placed.takes,
		},
		relief: placed.relief.map(({ from, to, opensMm, lapsMm }) => ({
			...{ from: at(placed.laying.place(from).at), to: at(placed.laying.place(to).at), opensMm, lapsMm },
		})),
		clearances: placed.clearances.map(({ kind, name, gapMm, at: where, towards, overlapMm2 }) => ({
			...{ kind, name, gapMm, at: at(where), towards, overlaps: overlapMm2 > 0 },
		})),
		...(ground ? { ground: groundData(ground) } : {}),
		...{ outline: loops(placed.outline), film: loops(placed.film) },
	}
}

const groundData = ({ on, ridges, clear }: DecalGround) => ({
	on: on.map((each) => ({ ...each })),
	ridges: ridges.map(({ paint, heightUm, lengthMm, kind, line }) => ({ paint, heightUm, lengthMm, kind, line: line.map(at) })),
	clear: { ...clear },
})
