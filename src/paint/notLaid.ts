/** Paints that stand in the order and that no panel shows: mixed and waited for in vain. */
import type { Problem } from '../job/problem.ts'
import type { Job } from '../job/schema.ts'
import { coatsOf } from '../stages/coats.ts'

/** Every paint that some stage or some panel's clear lays: what stripes and fields name, and what those go over. */
export function paintsLaid(job: Pick<Job, 'paints' | 'panels'>): ReadonlySet<string> {
	const paints = new Map(job.paints.map((paint) => [paint.id, paint]))
	const named = job.panels.flatMap(({ stripes, fields, clear }) => [
		...stripes.flatMap(({ bands }) => bands.flatMap((band) => ('paint' in band ? [band.paint] : []))),
		...fields.map(({ paint }) => paint),
		...(clear?.paint !== undefined ? [clear.paint] : []),
	])
	return new Set(named.flatMap((paint) => coatsOf(paint, paints)))
}

export function paintsNotLaid(job: Pick<Job, 'paints' | 'panels' | 'paintwork'>): readonly Problem[] {
	const laid = paintsLaid(job)
	const declared = new Set(job.paints.map(({ id }) => id))
	return (job.paintwork?.order ?? []).flatMap((paint, i): Problem[] =>
		laid.has(paint) || !declared.has(paint)
			? []
			: [
					{
						code: 'PAINT_NOT_LAID',
						severity: 'warning',
						path: `/paintwork/order/${i}`,
						found: `${paint} in the order, though no stripe, no field and no clear is of it`,
						expected: 'paints that some panel shows, or that one of those goes over',
						fix: `Take ${paint} out of the order, or say what is painted with it.`,
					},
				],
	)
}
