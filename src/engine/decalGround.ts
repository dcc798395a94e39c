/** What each decal lies on: colours, ridges of film, clear. */

import { area } from '../chart/area.ts'
import type { ChartPoint } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { PanelDecal } from '../decal/panelDecals.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { plural } from '../job/say.ts'
import type { Ridge } from '../paint/ridges.ts'
import { intersect } from '../plane/region.ts'
import { onceRound } from '../scheme/outline.ts'
import { feltRidges } from './feltRidges.ts'
import type { Paintwork, PanelPaintwork } from './paintwork.ts'
import type { PanelResult } from './panelResult.ts'

export interface DecalGround {
	readonly panel: string
	/** decal/side */
	readonly id: string
	/** paints that are seen where it lies, the largest first */
	readonly on: readonly { readonly paint: string; readonly areaMm2: number }[]
	/** films that end below it and would show, the highest first */
	readonly ridges: readonly Ridge[]
	/** the owner's choice, and whether it was made */
	readonly clear: {
		readonly way: 'under' | 'over'
		readonly decided: boolean
		readonly coatsBelow: number
		readonly coatsOver: number
	}
}

/** Less of a colour than this is rounding, mm^2. */
const LEAST_MM2 = 0.5

export function decalGrounds(panels: readonly PanelResult[], paintwork: Paintwork) {
	const grounds: DecalGround[] = []
	const problems: Problem[] = []
	for (const panel of panels) {
		for (const placed of panel.decals?.placed ?? []) {
			if (placed.material === 'paint') continue
			const work = paintwork.panels.find((each) => each.id === panel.id && each.hand === placed.hand)
			const ground = groundOf(panel, placed, work, paintwork)
			grounds.push(ground)
			problems.push(...ridgeProblem(panel, placed, ground))
		}
	}
	return { grounds, problems }
}

function groundOf(panel: PanelResult, placed: PanelDecal, work: PanelPaintwork | undefined, paintwork: Paintwork): DecalGround {
	const film = work ? onceRound(work.seen.chart, placed.film) : placed.film
	const own = toPlane(film)
	const seen = new Map<string, number>()
	for (const { coats, region } of work?.seen.parts ?? []) {
		const paint = coats.at(-1)
		if (!work || paint === undefined) continue
		const mm2 = area(work.seen.chart, toChart(intersect(own, toPlane(region))))
		if (mm2 > LEAST_MM2) seen.set(paint, (seen.get(paint) ?? 0) + mm2)
	}
	const plan = paintwork.clears.get(panel.id)?.plan
	const coats = (where: string) => plan?.films.find((film) => film.where === where)?.coats ?? 0
	const way = plan?.decals ?? 'under'
	return {
		...{ panel: panel.id, id: placed.id },
		on: [...seen].map(([paint, areaMm2]) => ({ paint, areaMm2 })).sort((a, b) => b.areaMm2 - a.areaMm2),
		ridges: work ? feltRidges(work, placed.film) : [],
		clear: {
			...{ way, decided: plan?.decals !== undefined },
			coatsBelow: coats('below-decals'),
			coatsOver: way === 'under' ? coats('over-decals') : 0,
		},
	}
}

function ridgeProblem({ panel }: PanelResult, placed: PanelDecal, { ridges }: DecalGround): readonly Problem[] {
	const [highest] = ridges
	if (!highest) return []
	const length = ridges.reduce((sum, { lengthMm }) => sum + lengthMm, 0)
	return [
		{
			code: 'DECAL_OVER_RIDGE',
			severity: 'warning',
			path: placed.path,
			place: placeOn(panel, highest.line[0] as ChartPoint, placed.side),
			found: `${plural(ridges.length, 'edge')} of paint below the decal, ${length.toFixed(0)} mm in all, up to ${highest.heightUm.toFixed(0)} um high (${highest.paint})`,
			expected: 'a level ground: a paint edge shows through film',
			fix: 'flat them under a coat of clear before the decal goes down (P1500 to P2000), or move the decal clear of them',
		},
	]
}
