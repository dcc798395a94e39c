/** What a schema cannot say of a job: names that must exist and be unique, sides and hands that must fit. Pure data, no geometry. */
import { checkArtwork } from './checkArtwork.ts'
import { checkChecks } from './checkChecks.ts'
import { checkDecals } from './checkDecals.ts'
import { checkLines } from './checkLines.ts'
import { checkPaintwork } from './checkPaintwork.ts'
import { checkPatches } from './checkPatches.ts'
import { checkReadings } from './checkReadings.ts'
import { checkSeams } from './checkSeams.ts'
import { checkUnique, find, listedFindings, noFindings } from './findings.ts'
import { marksOf } from './marks.ts'
import type { Problem } from './problem.ts'
import type { Job } from './schema.ts'
import type { Shop } from './shop.ts'
import { defaultShop } from './shopDefaults.ts'

/**
 * Problems of a job that its schema took, each with its path (lines: `withLines`). None where the job holds together. The
 * instruments that readings name are looked for in `shop`.
 */
export function crossCheck(job: Job, shop: Shop = defaultShop()): Problem[] {
	const findings = noFindings()
	checkUnique(findings, job.paints, '/paints', 'paint')
	checkUnique(findings, job.panels, '/panels', 'panel')
	const paints = new Set(job.paints.map(({ id }) => id))
	const instruments = new Set(shop.instruments.map(({ id }) => id))
	for (const [index, panel] of job.panels.entries()) {
		const path = `/panels/${index}`
		const marks = marksOf(panel)
		if (panel.notes?.startsWith('TO DO')) {
			find(findings, () => ({
				...{ code: 'STILL_TO_DO', severity: 'warning', path: `${path}/notes`, place: { panel: panel.id } },
				...{
					found: `something still to do: ${panel.notes?.slice('TO DO'.length).replace(/^\W+/, '')}`,
					expected: 'a panel that is filled in',
				},
				fix: 'Fill it in, then take this note away.',
			}))
		}
		checkReadings(findings, { panel, path, instruments })
		checkLines(findings, { panel, path, marks, paints })
		checkChecks(findings, panel, path, instruments)
		checkPatches(findings, { panel, path, marks })
		checkDecals(findings, { job, panel, path, marks })
	}
	checkArtwork(findings, job.artwork ?? [])
	checkSeams(findings, job.panels)
	checkPaintwork(findings, job)
	return listedFindings(findings)
}
