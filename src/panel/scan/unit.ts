import type { Outcome } from '../../job/problem.ts'
import { counted, refused, said } from './said.ts'

export type ScanUnit = 'mm' | 'cm' | 'm' | 'in'

/** mm in each; the inch is 25.4 mm since 1959 (international yard and pound agreement). */
export const UNIT_MM: Readonly<Record<ScanUnit, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4 }
/** In which they are guessed where several would do: how often scanning programs write them (common practice, no source). */
const BY_CUSTOM: readonly ScanUnit[] = ['mm', 'm', 'in', 'cm']

/** What a panel of a vehicle measures from corner to corner: from an air box cover to a roof (common practice, no source). */
const PANEL_FROM_MM = 80
const PANEL_TO_MM = 3500
/** Scans of anything else are not refused between these. */
const LEAST_MM = 10
const MOST_MM = 20_000
/** Datums measured by tape and on the scan agree on the unit within this; the units are 2.5 times apart or more. */
const RATIO_WITHIN = 0.1

export interface UnitChoice {
	readonly unit: ScanUnit
	/** mm from corner to corner of the scan */
	readonly sizeMm: number
	readonly from: 'given' | 'datums' | 'size'
}

/**
 * The unit of a scan: the one given; else the one by which its datums lie as far apart as on the vehicle; else the one that makes
 * it as large as a panel. What was guessed is told of, with the size that it gives. Fails when the given unit contradicts the
 * datums, when no unit gives a sensible size, or the size is absurd.
 * @param size corner to corner of the scan, in its own unit
 * @param ratio mm on the vehicle for one unit of the scan, by the datums
 */
export function chooseUnit(
	size: number,
	given: ScanUnit | undefined,
	ratio: number | undefined,
	path: string,
): Outcome<UnitChoice> {
	const units = Object.keys(UNIT_MM) as ScanUnit[]
	const byDatums = ratio === undefined ? undefined : units.find((u) => Math.abs(ratio / UNIT_MM[u] - 1) < RATIO_WITHIN)
	const sizeIn = (u: ScanUnit) => sized(size * UNIT_MM[u])
	if (ratio !== undefined && !byDatums) {
		return refused(
			'SCAN_DATUMS_SCALE',
			path,
			`datums that lie ${Number(ratio.toPrecision(4))} mm apart on the vehicle for each unit of the scan, which is none of mm, cm, m and in`,
			'datums measured at the same places on both',
			"look for a slip in the coordinates of the datums: one read off at another place, or two put in each other's place",
		)
	}
	if (given) {
		if (byDatums && byDatums !== given) {
			return refused(
				'SCAN_UNIT_WRONG',
				`${path}/unit`,
				`a scan in ${given}, whose datums lie apart as they do on the vehicle only if it is in ${byDatums}`,
				`unit "${byDatums}"`,
				`set "unit" to "${byDatums}" (the scan is then ${sizeIn(byDatums)} from corner to corner)`,
			)
		}
		return sane({ unit: given, sizeMm: size * UNIT_MM[given], from: 'given' }, path)
	}
	const fitting = BY_CUSTOM.filter((u) => size * UNIT_MM[u] >= PANEL_FROM_MM && size * UNIT_MM[u] <= PANEL_TO_MM)
	const unit = byDatums ?? fitting[0]
	if (!unit) {
		return refused(
			'SCAN_SIZE',
			path,
			`a scan that measures ${Number(size.toPrecision(4))} from corner to corner, no panel's size in mm, cm, m or inches`,
			`a panel of ${PANEL_FROM_MM} to ${counted(PANEL_TO_MM)} mm`,
			'give "unit", or cut the panel out of the scan',
		)
	}
	const others = fitting.filter((u) => u !== unit)
	const choice = { unit, sizeMm: size * UNIT_MM[unit], from: byDatums ? ('datums' as const) : ('size' as const) }
	const sure = byDatums !== undefined || others.length === 0
	const guess = said(
		sure ? 'note' : 'warning',
		'SCAN_UNIT_GUESSED',
		path,
		`a scan without a unit; taken as ${unit} ${byDatums ? 'by its datums' : 'by its size'}: ${sizeIn(unit)} from corner to corner${sure ? '' : ` (in ${others.map((u) => `${u} it would be ${sizeIn(u)}`).join(', in ')})`}`,
		'its unit',
		`set "unit" to "${unit}" if that is the panel's size${sure ? '' : ', or to the right one'}`,
	)
	const answer = sane(choice, path)
	return { ...answer, problems: [...answer.problems, guess] }
}

function sane(choice: UnitChoice, path: string): Outcome<UnitChoice> {
	if (choice.sizeMm >= LEAST_MM && choice.sizeMm <= MOST_MM) return { value: choice, problems: [] }
	return refused(
		'SCAN_SIZE',
		path,
		`a scan in ${choice.unit} that measures ${sized(choice.sizeMm)} from corner to corner`,
		`a panel of ${PANEL_FROM_MM} to ${counted(PANEL_TO_MM)} mm`,
		'set "unit" to the one in which the scan was written, or cut the panel out of it',
	)
}

const sized = (mm: number) => (mm >= 10 && mm < 1e6 ? `${counted(Math.round(mm))} mm` : `${Number(mm.toPrecision(3))} mm`)
