import type { Chart } from '../../chart/chart.ts'
import type { Outcome } from '../../job/problem.ts'
import type { PanelFrame } from '../frame.ts'
import type { SectionsCapture } from '../sectionPlanes.ts'
import { sectionsChart } from '../sections.ts'
import type { ScanSections } from './scanSections.ts'

/** Sections of a scan are known better than this only in arithmetic, mm. */
const LEAST_SD_MM = 0.005

/** The chart of a scanned panel: its sections lofted as gauge readings are, known to what the scan's noise left of them. */
export function scanChart(frame: PanelFrame, scan: ScanSections, front: number, path: string): Outcome<Chart> {
	return sectionsChart(frame, asReadings(scan, front), path)
}

/** The sections of a scan as if a gauge had read them, from parallel planes and one straight-edge at height 0. */
export function asReadings({ sections }: ScanSections, front: number): SectionsCapture {
	return {
		kind: 'sections',
		sections: sections.map(({ along, points }) => ({
			along,
			drop: 0,
			creases: [],
			points: points.map(({ across, up }) => [across, -up] as [number, number]),
			half: false,
		})),
		sd: sections.reduce((most, s) => Math.max(most, s.sdMm), LEAST_SD_MM),
		baseline: {},
		front,
	}
}
