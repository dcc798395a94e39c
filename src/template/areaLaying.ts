import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import type { ChartRegion, Curve } from '../chart/point.ts'
import { CUT_MM } from './areaCut.ts'
import { areaOutline } from './areaOutline.ts'
import { type Slit, type SlitPlan, slitPlan } from './areaSlits.ts'
import { type FlatArea, flattenArea } from './flatten.ts'

export interface AreaLaying {
	readonly flat: FlatArea
	readonly slits: readonly Slit[]
}

/** So many vertices bring the shape within 0.01 mm of a mesh ten times as fine; edges are kept within these lengths, mm. */
const VERTICES = 3000
const EDGE_MM = { least: 1, most: 5 }
/** Refinement stops when no place would move by more than this, mm; parts between slits swing slowly. What is out then is measured on the shape itself. */
const SETTLED_MM = { whole: 2e-3, slit: 5e-4 }
/** Slits are tried on a mesh of so much longer edges first; what is out there by so much of the limit is not tried on the fine one. */
const COARSE = 1.8
const ROUGHLY = 1.1
/** Trials with more and more slits. */
const MOST_TRIALS = 14

/**
 * An area laid flat with the fewest slits, within a few, that leave it out by no more than the limit; undefined where that
 * takes more slits than a piece can bear, or it cannot be laid flat.
 */
export function layArea(
	chart: Chart,
	region: ChartRegion,
	working: readonly Curve[],
	{ limitMm }: { readonly limitMm: number },
): AreaLaying | undefined {
	const most = limitMm - CUT_MM
	const even = Math.sqrt(Math.abs(area(chart, region)) / VERTICES / Math.sqrt(3 / 4))
	const fineMm = Math.min(EDGE_MM.most, Math.max(EDGE_MM.least, even))
	const fine = areaOutline(chart, region, working, fineMm)
	const coarse = areaOutline(chart, region, working, COARSE * fineMm)
	/** laid flat and within the limit, or what it is out by on a coarse mesh */
	const lay = (slits: readonly Slit[]): { flat?: FlatArea; error: number } | undefined => {
		const settled = slits.length > 0 ? SETTLED_MM.slit : SETTLED_MM.whole
		const rough = flattenArea(chart, coarse, slits, settled)
		if (!rough || rough.layingMm > ROUGHLY * most) return rough && { error: rough.layingMm }
		const flat = flattenArea(chart, fine, slits, settled)
		return flat && { ...(flat.layingMm <= most ? { flat } : {}), error: flat.layingMm }
	}
	const whole = lay([])
	if (!whole) return undefined
	if (whole.flat) return { flat: whole.flat, slits: [] }
	// Fewest cuts through an edge to tape along: none, if that will do.
	const plan = slitPlan(chart, fine, 'free')
	const laid = trySlits(plan, lay, whole.error, most)
	return laid || !plan.fromFree ? laid : trySlits(slitPlan(chart, fine, 'all'), lay, whole.error, most)
}

/** More and more slits, until the piece is within `most`. */
function trySlits(
	plan: SlitPlan,
	lay: (slits: readonly Slit[]) => { readonly flat?: FlatArea; readonly error: number } | undefined,
	wholeError: number,
	most: number,
): AreaLaying | undefined {
	let share = plan.most
	let count = 0
	let error = wholeError
	for (let trial = 0; trial < MOST_TRIALS; trial++) {
		// The misfit of a part falls with the square of its width at first.
		share *= Math.min(0.8, Math.max(0.4, Math.sqrt((0.9 * most) / error)))
		let slits = plan.slits(share)
		for (let k = 0; k < MOST_TRIALS && slits && slits.length <= count; k++) {
			share *= 0.8
			slits = plan.slits(share)
		}
		if (!slits || slits.length <= count) return undefined
		count = slits.length
		const laid = lay(slits)
		if (laid?.flat) return { flat: laid.flat, slits }
		error = laid?.error ?? error
	}
	return undefined
}
