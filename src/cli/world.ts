/** What a run of the command line stands in: its folder, its terminal, its disk. */

import { type Disk, nodeDisk } from '../files/disk.ts'
import type { Severity } from '../job/problem.ts'
import { browserHere, openBrowser } from './browser.ts'

export interface World {
	readonly disk: Disk
	/** the folder that the person stands in */
	readonly folder: string
	/** data */
	out(text: string): void
	/** messages */
	say(text: string): void
	/** messages may carry colour */
	readonly colour: boolean
	/** one line that is written over and over, where someone is looking; '' takes it away */
	progress(text: string): void
	readonly process: number
	isRunning(process: number): boolean
	/** the half-written folder that must not stay if this run is ended; undefined when there is none */
	unfinished(folder: string | undefined): void
	/** in the browser, where somebody is looking and there is one */
	showPage(address: string): void
	/** the person, or the system, asks the program to end */
	toldToStop(): Promise<void>
}

/** A person waits half a second without wondering. */
const PATIENCE_MS = 500
const CLEAR_LINE = '\r\u001b[K'

export function nodeWorld(takeAway: (folder: string | undefined) => void): World {
	const started = Date.now()
	const looking = process.stderr.isTTY === true
	let shown = false
	const clear = () => {
		if (shown) process.stderr.write(CLEAR_LINE)
		shown = false
	}
	return {
		disk: nodeDisk,
		folder: process.cwd(),
		out: (text) => {
			process.stdout.write(text)
		},
		say(text) {
			clear()
			process.stderr.write(text)
		},
		colour: looking && !process.env.NO_COLOR && process.env.TERM !== 'dumb',
		progress(text) {
			if (!looking || Date.now() - started < PATIENCE_MS) return
			clear()
			if (text === '') return
			process.stderr.write(`${CLEAR_LINE}${text}`)
			shown = true
		},
		process: process.pid,
		isRunning(id) {
			try {
				process.kill(id, 0)
				return true
			} catch (error) {
				return (error as NodeJS.ErrnoException).code === 'EPERM'
			}
		},
		unfinished: takeAway,
		showPage(address) {
			if (browserHere(process)) openBrowser(address)
		},
		toldToStop: () =>
			new Promise((resolve) => {
				for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => resolve())
			}),
	}
}

const CODES: Readonly<Record<Severity, string>> = { error: '1;31', warning: '1;33', note: '1;36' }

/** The severity's word in its colour, where colour may be used; the word says it without. */
export const paintFor =
	({ colour }: World) =>
	(text: string, severity: Severity): string =>
		colour ? `\u001b[${CODES[severity]}m${text}\u001b[0m` : text
