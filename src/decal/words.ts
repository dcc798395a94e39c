/** Problems of decals: where in the job, on which panel and side. */
import type { ChartPoint } from '../chart/point.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'

/** What all problems of one decal on one side have in common. */
export interface DecalWords {
	readonly panel: Panel
	readonly side: Side
	/** JSON pointer to the decal */
	readonly path: string
	/** where the panel's chart ends, in the user's words */
	readonly limit: string
}

export interface DecalFault {
	/** below the decal */
	readonly path?: string
	readonly severity?: Problem['severity']
	readonly found: string
	readonly expected: string
	readonly fix: string
	readonly at?: ChartPoint
}

export function decalProblem(
	{ panel, side, path }: DecalWords,
	code: string,
	{ path: below, severity = 'error', found, expected, fix, at }: DecalFault,
): { readonly problems: Problem[] } {
	const place = at ? placeOn(panel, at, side) : { panel: panel.id, ...(side === 'both' ? {} : { side }) }
	return { problems: [{ code, severity, path: below ? `${path}/${below}` : path, place, found, expected, fix }] }
}
