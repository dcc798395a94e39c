/** A decal that was measured on both sides: how far the two are from being alike. */
import type { Chart } from '../chart/chart.ts'
import { mirroredPoint } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import { readRef } from '../job/marks.ts'
import type { Outcome } from '../job/problem.ts'
import type { Decal, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { CONTRADICTS, type FittedPlace, fitPlace, type MeasuredPoint } from './fit.ts'
import { pointOf, riseOf, turnOn } from './frame.ts'
import { decalProblem } from './words.ts'

export interface SidesOfDecal {
	readonly decal: string
	/** right less left: rearward, up (towards the centreline), mm, and degrees by which its baseline rises more on the right */
	readonly alongMm: number
	readonly upMm: number
	readonly apartMm: number
	readonly turnDeg: number
	/** one standard deviation of the distance and of the angle, by how well the marks are known */
	readonly sdMm: number
	readonly sdDeg: number
	readonly within: boolean
	/** so far apart that one of the two was misread: no place is made of them */
	readonly contradicts: boolean
}

export interface DecalSidesInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly decal: Decal
	readonly size: { readonly width: number; readonly height: number }
	readonly path: string
	readonly mark: (name: string, side: 'left' | 'right') => Omit<MeasuredPoint, 'point'> | undefined
	readonly tolerances: Pick<Shop['tolerances'], 'decal' | 'decalDeg'>
}

/** No value where it is not on both sides, or was not measured on both. */
export function decalSides(input: DecalSidesInput): Outcome<SidesOfDecal> {
	const { chart, panel, decal, tolerances } = input
	const { place } = decal
	if (place.kind !== 'marks' || (decal.hand ?? 'mirrored') !== 'mirrored') return { problems: [] }
	// A mark of one side by name stands for both.
	if (place.marks.some(({ mark }) => readRef(mark).side !== undefined)) return { problems: [] }
	if (panel.hand !== 'centre' && panel.hand !== 'pair') return { problems: [] }
	const [left, right] = [fitOn(input, 'left'), fitOn(input, 'right')]
	if (!left || !right) return { problems: [] }
	const across = panel.hand === 'centre'
	const from = across ? mirroredPoint(left.frame.at) : left.frame.at
	const path = distance(chart, from, right.frame.at)
	if (!path) return { problems: [] }
	const alongMm = path.length * Math.cos(path.startAngle)
	const upMm = (across ? -1 : 1) * path.length * Math.sin(path.startAngle)
	const turnDeg = riseOf(panel, 'right', right.frame.angle) - riseOf(panel, 'left', left.frame.angle)
	const within = path.length <= tolerances.decal && Math.abs(turnDeg) <= tolerances.decalDeg
	const contradicts = path.length > CONTRADICTS * tolerances.decal || Math.abs(turnDeg) > CONTRADICTS * tolerances.decalDeg
	const value: SidesOfDecal = {
		...{ decal: decal.id, alongMm, upMm, apartMm: path.length, turnDeg },
		sdMm: Math.hypot(left.sd.along, left.sd.across, right.sd.along, right.sd.across),
		sdDeg: (Math.hypot(left.sd.angle, right.sd.angle) * 180) / Math.PI,
		within,
		contradicts,
	}
	if (within) return { value, problems: [] }
	const parts = [
		...(path.length > tolerances.decal ? [`${path.length.toFixed(1)} mm apart`] : []),
		...(Math.abs(turnDeg) > tolerances.decalDeg ? [`turned by ${Math.abs(turnDeg).toFixed(1)} degrees against each other`] : []),
	]
	const words = { panel, side: 'right' as const, path: input.path, limit: '' }
	const told = decalProblem(words, 'DECAL_SIDES_DIFFER', {
		path: 'place/marks',
		severity: contradicts ? 'error' : 'warning',
		found: `${decal.what ?? decal.id}, left and right ${parts.join(' and ')}`,
		expected: `both alike within ${tolerances.decal} mm and ${tolerances.decalDeg} degrees`,
		fix: `measure its marks again on both sides${contradicts ? '; no frame is made until they agree' : ', as it lies half-way between the two until then'}; if it was so, place it on the left and on the right by itself`,
		at: right.frame.at,
	})
	return { value, problems: told.problems }
}

function fitOn({ chart, panel, decal, size, mark }: DecalSidesInput, side: 'left' | 'right'): FittedPlace | undefined {
	if (decal.place.kind !== 'marks') return undefined
	const measured = decal.place.marks.flatMap(({ mark: name, point }): MeasuredPoint[] => {
		const found = mark(name, side)
		return found ? [{ ...found, point: pointOf(point, size) }] : []
	})
	return measured.length === decal.place.marks.length ? fitPlace(chart, measured, turnOn(panel, side)) : undefined
}
