/** The command line as a process. */
import { rmSync } from 'node:fs'
import { run } from './program.ts'
import { nodeWorld } from './world.ts'

const SIGNALS = { SIGINT: 2, SIGTERM: 15 } as const
let unfinished: string | undefined

/** Ended from outside while it writes, the program takes its half-written folder away. */
function stop(signal: NodeJS.Signals): void {
	if (unfinished !== undefined) rmSync(unfinished, { recursive: true, force: true })
	// as the shell counts
	process.exit(128 + (SIGNALS[signal as keyof typeof SIGNALS] ?? 0))
}

/** At all other times a signal ends the process at once, however deep it is in its sums. */
function takeAway(folder: string | undefined): void {
	unfinished = folder
	for (const signal of Object.keys(SIGNALS) as (keyof typeof SIGNALS)[]) {
		process.removeListener(signal, stop)
		if (folder !== undefined) process.on(signal, stop)
	}
}

// Whoever read the output has gone (a pager that was left): there is nobody to tell.
for (const stream of [process.stdout, process.stderr]) {
	stream.on('error', (error: NodeJS.ErrnoException) => {
		if (error.code !== 'EPIPE') throw error
	})
}

process.exitCode = await run(process.argv.slice(2), nodeWorld(takeAway))
