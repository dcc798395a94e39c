import type { Job } from '../../job/schema.ts'

/** Whether any panel of the job was captured as a scan. */
export const hasScans = (job: Job): boolean =>
	job.panels.some(({ found, prepared }) => found.kind === 'scan' || prepared?.shape.kind === 'scan')
