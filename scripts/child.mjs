// Child processes that end when this one is told to end.
import { spawn } from 'node:child_process'
import { constants } from 'node:os'

/**
 * Runs a program to its end and returns its exit code (128 + the signal's number when a signal ended it, as a shell says it).
 * SIGTERM and SIGHUP are passed on; SIGINT reaches the child by the terminal, and this process waits for it to finish.
 * Throws when the program cannot be started.
 */
export function run(program, args, options = {}) {
	return new Promise((resolve, reject) => {
		const child = spawn(program, args, { stdio: 'inherit', ...options })
		const passOn = (signal) => child.kill(signal)
		const wait = () => {}
		process.on('SIGTERM', passOn).on('SIGHUP', passOn).on('SIGINT', wait)
		const done = () => process.off('SIGTERM', passOn).off('SIGHUP', passOn).off('SIGINT', wait)
		child.on('error', (error) => {
			done()
			reject(error)
		})
		child.on('close', (code, signal) => {
			done()
			resolve(signal === null ? code : 128 + constants.signals[signal])
		})
	})
}

/** Runs a script with the Node that runs this one. */
export function runNode(args, options) {
	return run(process.execPath, args, options)
}
