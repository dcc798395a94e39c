/** The command line as a process. */
import { rmSync } from 'node:fs'
import { run } from './program.ts'
import { nodeWorld } from './world.ts'

let unfinished: string | undefined

/** Ended from outside, the program takes its half-written folder away. */
function stop(signal: NodeJS.Signals): void {
	if (unfinished !== undefined) rmSync(unfinished, { recursive: true, force: true })
	// as the shell counts: 128 and the signal's number
	process.exit(signal === 'SIGINT' ? 130 : 143)
}

process.once('SIGINT', stop)
process.once('SIGTERM', stop)
// Whoever read the output has gone (a pager that was left): there is nobody to tell.
for (const stream of [process.stdout, process.stderr]) {
	stream.on('error', (error: NodeJS.ErrnoException) => {
		if (error.code !== 'EPIPE') throw error
	})
}

process.exitCode = await run(
	process.argv.slice(2),
	nodeWorld((folder) => {
		unfinished = folder
	}),
)
