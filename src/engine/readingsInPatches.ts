import { signedGirth } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { pointInRegion } from '../plane/inside.ts'
import type { Patch } from '../scheme/patch.ts'

/**
 * A gauge reading that sticks out where a patch is has read what stands there: it need not be taken again. The panel's shape follows
 * it all the same, beyond the rim too, so that is said.
 */
export function readingsInPatches(problems: readonly Problem[], patches: readonly Patch[]): readonly Problem[] {
	return problems.map((problem) => {
		const { s, g, side, line } = problem.place ?? {}
		if (problem.code !== 'SECTION_READING_ODD' || s === undefined || g === undefined) return problem
		const at = { x: s, y: signedGirth(g, line ?? side) }
		const over = patches.find(({ keepOff }) => pointInRegion(at, keepOff))
		if (!over) return problem
		return {
			...problem,
			code: 'SECTION_READING_IN_PATCH',
			severity: 'note' as const,
			found: `${problem.found}: it stands in the ${over.what}`,
			expected: 'readings of the panel round it, so that its shape goes smoothly on there',
			fix: 'leave this reading out; keep it where lines are to follow the panel into the patch',
		}
	})
}
