/** Steps of the plan that were done, as the job's record has them. */
import type { Bench, Data } from './bench.ts'
import { today } from './signOff.tsx'

export const LIST = ['paintwork', 'done'] as const

const entries = (bench: Bench): readonly Data[] => {
	const { done } = (bench.job?.paintwork ?? {}) as Data
	return Array.isArray(done) ? (done as readonly Data[]) : []
}

/** The last entry of a step, and its place in the list. */
export function doneOf(bench: Bench, step: string): { readonly entry: Data; readonly index: number } | undefined {
	const all = entries(bench)
	const index = all.findLastIndex((entry) => entry.step === step)
	const entry = all[index]
	return entry && { entry, index }
}

export const isDone = (bench: Bench, step: string) => doneOf(bench, step) !== undefined

/** Signs a step off with today's date, or takes that back. */
export function signStep(bench: Bench, step: string): void {
	const done = doneOf(bench, step)
	if (done) bench.remove([...LIST], done.index)
	else bench.insert([...LIST], entries(bench).length, { step, on: today() })
}
