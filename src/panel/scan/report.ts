/** What was found out about a scan on the way from its file to sections. */
import type { ScanCapture } from '../../job/scanSchema.ts'
import type { Capture } from '../../job/schema.ts'
import type { SectionsCapture } from '../sectionPlanes.ts'
import type { ScanFindings } from './repair.ts'
import type { PreparedScan } from './scan.ts'
import { type ScanUnit, UNIT_MM } from './unit.ts'

/** Lengths in mm. */
export interface ScanReport {
	readonly file: string
	/** written in this unit: as the job says, as the datums say, or as the size of a panel */
	readonly unit: ScanUnit
	readonly unitFrom: PreparedScan['unitFrom']
	/** from corner to corner */
	readonly sizeMm: number
	/** of the scan as mended */
	readonly triangles: number
	readonly mended: Omit<ScanFindings, 'weldedWithin'> & { readonly weldedWithinMm: number }
	/** round each hole, the longest first */
	readonly holesMm: readonly number[]
	/** between where the scan has each datum and where the vehicle has it */
	readonly datums: readonly { readonly id: string; readonly missMm: number }[]
	/** one standard deviation of a single point, and how it is known */
	readonly noiseMm: number
	readonly noiseFrom: PreparedScan['noiseFrom']
	/** its own plane of symmetry, beside the middle that its datums give: how far to the side, and how far from upright and straight */
	readonly symmetry?: {
		readonly asideMm: number
		readonly turnedDeg: number
		/** half of the places tried lie within this of the mirror image of the other side */
		readonly unlikeMm: number
		/** of the places tried, the part that has a counterpart */
		readonly share: number
	}
	readonly sections: number
}

/** Sections that were cut from a scan, with what is to be said of it. */
export type ScannedSections = SectionsCapture & { readonly scan: ScanReport }

export function scanReport(scan: PreparedScan, capture: ScanCapture): ScanReport {
	const { weldedWithin, ...mended } = scan.findings
	return {
		file: capture.file,
		unit: scan.unit,
		unitFrom: scan.unitFrom,
		sizeMm: scan.sizeMm,
		triangles: scan.triangles,
		mended: { ...mended, weldedWithinMm: weldedWithin * UNIT_MM[scan.unit] },
		holesMm: scan.holesMm,
		datums: capture.datums.map(({ id }, i) => ({ id, missMm: scan.missesMm[i] ?? 0 })),
		noiseMm: scan.noiseMm,
		noiseFrom: scan.noiseFrom,
		...(scan.symmetry ? { symmetry: symmetryOf(scan.symmetry) } : {}),
		sections: scan.sections.length,
	}
}

/** The middle by the datums is y = 0; the plane's normal may point to either side. */
function symmetryOf({ normal, offset, unlikeMm, share }: NonNullable<PreparedScan['symmetry']>): ScanReport['symmetry'] {
	const side = normal[1] < 0 ? -1 : 1
	return {
		asideMm: side * offset,
		turnedDeg: (Math.acos(Math.min(1, Math.abs(normal[1]))) * 180) / Math.PI,
		...{ unlikeMm, share },
	}
}

/** Of a panel's shape that came of a scan. */
export const scanOf = (capture: Capture): ScanReport | undefined =>
	capture.kind === 'sections' ? (capture as Partial<ScannedSections>).scan : undefined
