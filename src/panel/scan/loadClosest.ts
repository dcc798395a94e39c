import type { ClosestOf } from './closest.ts'

/** Loads the library that finds nearest places; only the symmetry of a scan needs it, so nothing else waits for it. */
export async function loadClosest(): Promise<ClosestOf> {
	return (await import('./boxTree.ts')).closestOf
}
