import type { Capture, Job } from '../job/schema.ts'

/** Whether a shape has to be read from a file or a drawing before anything is worked out: scans and tracings. */
export const needsReading = (shape: Capture): boolean =>
	shape.kind === 'scan' || (shape.kind === 'sections' && shape.sections.some((section) => 'traced' in section))

export const jobNeedsReading = (job: Job): boolean =>
	job.panels.some(({ found, prepared }) => needsReading(found) || (prepared?.shape !== undefined && needsReading(prepared.shape)))
