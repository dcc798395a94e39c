import type { Outcome, Problem } from '../job/problem.ts'
import type { ScanCapture } from '../job/scanSchema.ts'
import type { Capture, Job, Panel } from '../job/schema.ts'
import { needsReading } from './needsReading.ts'
import { type ScannedSections, scanReport } from './scan/report.ts'
import type { SectionsCapture } from './sectionPlanes.ts'

/** The bytes of a file that a job names; its problems where there are none. */
export type ReadFile = (file: string, path: string) => Promise<Outcome<Uint8Array>>

/**
 * The job with its scans and tracings made into readings, as if a gauge had taken them: from here on nothing asks for a file.
 * What cannot be read leaves its panel as it was, with a problem that says why; that panel then stops, the others go on.
 * The libraries for scans and tracings are loaded only where there are some.
 */
export async function withReadings(
	job: Job,
	read: ReadFile,
): Promise<{ readonly job: Job; readonly problems: readonly Problem[] }> {
	const problems: Problem[] = []
	const take = <T>({ value, problems: more }: Outcome<T>): T | undefined => {
		problems.push(...more)
		return value
	}
	const captured = async (shape: Capture, hand: Panel['hand'], path: string): Promise<Capture> => {
		if (!needsReading(shape)) return shape
		if (shape.kind === 'scan') return take(await scanned(shape, hand, path, read)) ?? shape
		return shape.kind === 'sections' ? (take(await traced(shape, path)) ?? shape) : shape
	}
	const panels: Panel[] = []
	for (const [i, panel] of job.panels.entries()) {
		const found = await captured(panel.found, panel.hand, `/panels/${i}/found`)
		const shape = panel.prepared?.shape && (await captured(panel.prepared.shape, panel.hand, `/panels/${i}/prepared/shape`))
		panels.push({ ...panel, found, ...(panel.prepared && shape ? { prepared: { ...panel.prepared, shape } } : {}) })
	}
	return { job: { ...job, panels }, problems }
}

async function scanned(shape: ScanCapture, hand: Panel['hand'], path: string, read: ReadFile): Promise<Outcome<Capture>> {
	const bytes = await read(shape.file, `${path}/file`)
	if (!bytes.value) return { problems: bytes.problems }
	const { prepareScan } = await import('./scan/scan.ts')
	const { asReadings } = await import('./scan/scanChart.ts')
	// Both of a pair are alike: the scan is of one, looked at from outside.
	const scan = await prepareScan(bytes.value, shape, hand === 'pair' ? 'left' : hand, path)
	const problems = [...bytes.problems, ...scan.problems]
	if (!scan.value) return { problems }
	const value: ScannedSections = { ...asReadings(scan.value, shape.front), scan: scanReport(scan.value, shape) }
	return { value, problems }
}

async function traced(shape: SectionsCapture, path: string): Promise<Outcome<Capture>> {
	const { loadTracer } = await import('./tracing/tracer.ts')
	const tracer = await loadTracer()
	const problems: Problem[] = []
	const sections = shape.sections.map((section, i) => {
		if (!('traced' in section)) return section
		const { traced: data, ...stands } = section
		const points = tracer(data, `${path}/sections/${i}/traced`)
		problems.push(...points.problems)
		return points.value ? { ...stands, half: false, points: points.value.map(([x, y]) => [x, y] as [number, number]) } : section
	})
	return { value: { ...shape, sections }, problems }
}
