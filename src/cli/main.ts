/** The command line as a process. */
import { rmSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { setFlagsFromString } from 'node:v8'
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

// Where processors are few, V8's optimiser takes them from the sums it wants to speed up. A run is over in seconds: only what is
// truly hot pays its optimising back, so a function must have run seven times as long as usual before it is taken up.
if (availableParallelism() < 4) setFlagsFromString('--interrupt-budget=500000')

process.exitCode = await run(process.argv.slice(2), nodeWorld(takeAway))
