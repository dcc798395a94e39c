// A reading changed, as one who types changes it: what has to be worked out again follows from it.
import type { Job } from '../src/job/schema.ts'

/** The job with the first girth of a panel longer by `by` mm. */
export function longer(job: Job, panel: number, by: number): Job {
	const panels = job.panels.map((p, i) => {
		if (i !== panel) return p
		const at = p.readings.findIndex((r) => r.kind === 'square' && r.girth > 0)
		return { ...p, readings: p.readings.map((r, k) => (k === at && r.kind === 'square' ? { ...r, girth: r.girth + by } : r)) }
	})
	return { ...job, panels }
}
