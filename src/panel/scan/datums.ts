import type { Outcome, Problem } from '../../job/problem.ts'
import { mm } from '../../job/say.ts'
import { symmetricEigen } from '../../numeric/symmetricEigen.ts'
import { moved, type Rigid, rigidFit, type Triple } from './rigid.ts'
import { refused, said } from './said.ts'

/** A place that was found both on the scan and on the vehicle. */
export interface ScanDatum {
	readonly id: string
	/** in the scan's own frame; its unit, or mm once that is known */
	readonly scan: Triple
	/** x rearward, y right, z up, mm */
	readonly vehicle: Triple
}

export interface DatumFit {
	readonly motion: Rigid
	/** of each datum, mm between where the scan has it and where the vehicle has it */
	readonly missesMm: readonly number[]
	/** root of the mean square over what the fit leaves free (3 for each datum, less 6) */
	readonly sdMm: number
}

/** Datums nearer to one line than this part of their spread leave a turn about it open: 1 mm of slip would be 6 degrees at 10 mm. */
const LINE_SHARE = 0.05
/** A datum is read off a scan and measured on a vehicle each to about 1 mm; beyond this one of the two is a slip (common practice, no source). */
const MISS_MM = 3

/** mm on the vehicle for one unit of the scan, by the distances of the datums from their middle; undefined when they coincide. */
export function scaleOf(datums: readonly ScanDatum[]): number | undefined {
	const spread = (points: readonly Triple[]) => {
		const c = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length)
		return Math.sqrt(points.reduce((sum, p) => sum + (p[0] - c[0]!) ** 2 + (p[1] - c[1]!) ** 2 + (p[2] - c[2]!) ** 2, 0))
	}
	const onScan = spread(datums.map((d) => d.scan))
	const onVehicle = spread(datums.map((d) => d.vehicle))
	return onScan > 0 && onVehicle > 0 ? onVehicle / onScan : undefined
}

/**
 * Where the scan sits on the vehicle, from three datums or more (scan coordinates in mm): least squares, no stretch. Fails on fewer
 * than three, and on datums in a line. Misses above 3 mm are told of, by name.
 */
export function placeByDatums(datums: readonly ScanDatum[], path: string): Outcome<DatumFit> {
	const at = `${path}/datums`
	if (datums.length < 3) {
		return refused(
			'SCAN_FEW_DATUMS',
			at,
			`${datums.length} of them`,
			'three datums or more',
			'add places that can be found on the scan and on the vehicle',
		)
	}
	for (const [of, where] of [
		['scan', 'on the scan'],
		['vehicle', 'on the vehicle'],
	] as const) {
		const points = datums.map((d) => d[of])
		if (thinness(points) < LINE_SHARE) {
			return refused(
				'SCAN_DATUMS_IN_LINE',
				at,
				`datums that lie in one line ${where}, so that the scan could turn about it`,
				'one datum well off the line of the others',
				'add a datum to the side of the others, or correct the one that was mistyped',
			)
		}
	}
	const from = datums.map((d) => d.scan)
	const to = datums.map((d) => d.vehicle)
	const motion = rigidFit(from, to)
	const missesMm = missesOf(motion, datums)
	const squares = missesMm.reduce((sum, m) => sum + m * m, 0)
	const sdMm = Math.sqrt(squares / (3 * datums.length - 6))
	return { value: { motion, missesMm, sdMm }, problems: told(datums, missesMm, at) }
}

export const missesOf = (motion: Rigid, datums: readonly ScanDatum[]): number[] =>
	datums.map(({ scan, vehicle }) => {
		const p = moved(motion, scan)
		return Math.hypot(p[0] - vehicle[0], p[1] - vehicle[1], p[2] - vehicle[2])
	})

/** Second axis of the points' spread over the first. */
function thinness(points: readonly Triple[]): number {
	const c = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length)
	const m = new Float64Array(9)
	for (const p of points)
		for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) m[3 * i + j] = m[3 * i + j]! + (p[i]! - c[i]!) * (p[j]! - c[j]!)
	const { values } = symmetricEigen(m, 3)
	return values[0]! > 0 ? Math.sqrt(Math.max(0, values[1]!) / values[0]!) : 0
}

function told(datums: readonly ScanDatum[], misses: readonly number[], path: string): Problem[] {
	const worst = misses.indexOf(Math.max(...misses))
	if (misses[worst]! <= MISS_MM) return []
	return [
		said(
			'warning',
			'SCAN_DATUMS_MISS',
			`${path}/${worst}`,
			`datums that do not lie on the scan as on the vehicle; ${datums[worst]!.id} is furthest off, by ${mm(Number(misses[worst]!.toFixed(1)))}`,
			`at most ${MISS_MM} mm`,
			`read ${datums[worst]!.id} off the scan again, and measure it again on the vehicle`,
		),
	]
}
