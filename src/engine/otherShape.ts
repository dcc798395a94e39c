import type { Chart } from '../chart/chart.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint } from '../chart/point.ts'
import { readRef, refOf } from '../job/marks.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import type { Survey } from '../survey/survey.ts'

/** Two marks that lie to each other otherwise on the panel as it is now. */
export interface Changed {
	readonly from: string
	readonly to: string
	/** along the panel as found and now, mm */
	readonly wasMm: number
	readonly isMm: number
}

/** Filler and primer change what lies between neighbouring marks by less than this; another part by more: mm; common practice, no source. */
export const OTHER_SHAPE_MM = 2

/** The neighbouring marks of its lines whose distance along the panel changes most as they are carried over. */
export function mostChanged(
	found: Chart,
	now: Chart,
	panel: Panel,
	survey: Survey,
	to: (p: ChartPoint) => ChartPoint,
): Changed | undefined {
	const pairs = panel.edges.flatMap(({ through }) => {
		const keys = through.map((step) => keysOf(survey, refOf(step)))
		return keys.slice(1).flatMap((own, i) => {
			const before = keys[i] as readonly string[]
			return own.flatMap((key, k) => (before[k] === undefined ? [] : [[before[k] as string, key] as const]))
		})
	})
	const changed = pairs.flatMap(([from, key]): Changed[] => {
		const [p, q] = [survey.marks[from]?.at, survey.marks[key]?.at]
		const was = p && q && distance(found, p, q)
		const is = p && q && distance(now, to(p), to(q))
		return was && is ? [{ from, to: key, wasMm: was.length, isMm: is.length }] : []
	})
	const by = ({ wasMm, isMm }: Changed) => Math.abs(isMm - wasMm)
	return changed.reduce<Changed | undefined>((most, one) => (most && by(most) >= by(one) ? most : one), undefined)
}

function keysOf(survey: Survey, ref: string): readonly string[] {
	const { name, side } = readRef(ref)
	const keys = side ? [ref, name] : [`left/${name}`, `right/${name}`, name]
	return keys.filter((key) => survey.marks[key])
}

/** What asks how a scheme is to go over to a part of another shape. */
export function otherShape({ id }: Panel, path: string, { from, to, wasMm, isMm }: Changed): Problem {
	const more = isMm > wasMm ? 'longer' : 'shorter'
	return {
		...({ code: 'PREPARED_OTHER_SHAPE', severity: 'warning', path: `${path}/prepared` } as const),
		place: { panel: id },
		found: `a panel of another shape: from ${from} to ${to}, ${wasMm.toFixed(1)} mm as found, is ${Math.abs(isMm - wasMm).toFixed(1)} mm ${more} on it`,
		expected: `at most ${OTHER_SHAPE_MM} mm, or "carry", which says how the scheme goes over to it`,
		fix: 'Write "carry" into "prepared": "shift", "stations" or "proportion". Until then it goes over by what its datums tell.',
	}
}
