import type { Outcome, Problem } from '../../job/problem.ts'
import type { Job, Panel } from '../../job/schema.ts'
import { loadClosest } from './loadClosest.ts'
import { prepareScanWith } from './scan.ts'
import { asReadings } from './scanChart.ts'

/** The bytes of a file that a job names; its problems where there are none. */
export type ReadFile = (file: string, path: string) => Promise<Outcome<Uint8Array>>

/**
 * The job with its scans made into sections, as a gauge would have read them: from here on nothing asks for a file. A scan that
 * cannot be read leaves its panel as it was, with a problem that says why; that panel then stops, the others go on.
 */
export async function withScans(job: Job, read: ReadFile): Promise<{ readonly job: Job; readonly problems: readonly Problem[] }> {
	const problems: Problem[] = []
	const capture = async (shape: Panel['found'], hand: Panel['hand'], path: string): Promise<Panel['found']> => {
		if (shape.kind !== 'scan') return shape
		const bytes = await read(shape.file, `${path}/file`)
		problems.push(...bytes.problems)
		if (!bytes.value) return shape
		// Both of a pair are alike: the scan is of one, looked at from outside.
		const side = hand === 'pair' ? 'left' : hand
		const closest = side === 'centre' && shape.symmetry === 'shape' ? await loadClosest() : undefined
		const scan = prepareScanWith(bytes.value, shape, side, path, closest)
		problems.push(...scan.problems)
		return scan.value ? asReadings(scan.value, shape.front) : shape
	}
	const panels: Panel[] = []
	for (const [i, panel] of job.panels.entries()) {
		const found = await capture(panel.found, panel.hand, `/panels/${i}/found`)
		const shape = panel.prepared && (await capture(panel.prepared.shape, panel.hand, `/panels/${i}/prepared/shape`))
		panels.push({ ...panel, found, ...(panel.prepared && shape ? { prepared: { ...panel.prepared, shape } } : {}) })
	}
	return { job: { ...job, panels }, problems }
}
