// What every benchmark is written with: a row of the table, the time that a piece of work takes, and the time of a whole process.
import { spawnSync } from 'node:child_process'

/** One figure. `name` is stable and starts with its part of the tool; `against` says what the figure is held beside. */
export interface Row {
	readonly name: string
	readonly value: number
	readonly unit: string
	/** null for a figure that is shown for comparison and has no target. */
	readonly target: number | null
	readonly ok: boolean
	readonly against: string | null
}

/** A row whose value may be `target` or less. */
export function atMost(name: string, value: number, unit: string, target: number, against: string | null = null): Row {
	return { name, value, unit, target, ok: value <= target, against }
}

/** A row whose value may be `target` or more. */
export function atLeast(name: string, value: number, unit: string, target: number, against: string | null = null): Row {
	return { name, value, unit, target, ok: value >= target, against }
}

/** A row that is shown beside others and has no target of its own. */
export function shown(name: string, value: number, unit: string, against: string | null = null): Row {
	return { name, value, unit, target: null, ok: true, against }
}

/** Median time of `runs` runs of `work` in ms, after `warmUps` runs that are not counted. */
export async function medianMs(work: () => unknown, { runs = 15, warmUps = 3 } = {}): Promise<number> {
	for (let i = 0; i < warmUps; i++) await work()
	const times: number[] = []
	for (let i = 0; i < runs; i++) {
		const start = performance.now()
		await work()
		times.push(performance.now() - start)
	}
	return median(times)
}

/**
 * Median time of `runs` runs of a Node program as a process of its own, in ms, from start to exit. Each run is cold for the program,
 * though not for the disk. Throws with the program's own words when it ends with anything but 0: a failed run has no time.
 */
export function processMs(args: readonly string[], { cwd, runs = 5 }: { readonly cwd: string; readonly runs?: number }): number {
	const times: number[] = []
	for (let i = 0; i < runs; i++) {
		const start = performance.now()
		const { status, error, stdout, stderr } = spawnSync(process.execPath, args, { cwd, encoding: 'utf8' })
		times.push(performance.now() - start)
		if (error !== undefined) throw error
		if (status !== 0) throw new Error(`node ${args.join(' ')} ended with ${status}\n${stdout}${stderr}`)
	}
	return median(times)
}

/** The middle value; the mean of the two middle ones of an even count. Throws on an empty list. */
export function median(values: readonly number[]): number {
	if (values.length === 0) throw new Error('the median of nothing was asked for')
	const sorted = values.toSorted((a, b) => a - b)
	const middle = Math.floor(sorted.length / 2)
	const upper = sorted[middle] as number
	return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] as number) + upper) / 2
}
