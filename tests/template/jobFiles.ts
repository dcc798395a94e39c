/** The demo and every starter, from their files. */
import { readdirSync, readFileSync } from 'node:fs'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'

const root = new URL('../../', import.meta.url)
const files = [
	'fixtures/tarn-350/job.jsonc',
	...readdirSync(new URL('templates/', root))
		.filter((name) => name.endsWith('.jsonc'))
		.map((name) => `templates/${name}`),
]

export const jobFiles: readonly (readonly [file: string, job: Job])[] = files.map((file) => {
	const job = loadJob(readFileSync(new URL(file, root), 'utf8'), file).value?.job
	if (!job) throw new Error(`${file} is no job`)
	return [file, job]
})
