// How long a person waits for the demo's templates: the command as a process, as built.
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { atMost, processMs, type Row } from '../measure.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))

export async function rows(): Promise<Row[]> {
	const out = mkdtempSync(join(tmpdir(), 'stripewright-bench-'))
	try {
		const ms = processMs(['dist/cli.js', 'make', 'fixtures/tarn-350/job.jsonc', '--out', out], { cwd: root })
		return [atMost('main.coldMake', ms / 1000, 's', 2.5, 'the demo job, from start to exit, median of 5')]
	} finally {
		rmSync(out, { recursive: true, force: true })
	}
}
