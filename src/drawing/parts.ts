/** The parts of a print that a person may switch off, each on its own. */
import type { Role } from './drawing.ts'

export type Part = 'knife' | 'guides' | 'labels' | 'register'

/** In plain words, as a viewer lists them. */
export const PART_NAMES: Readonly<Record<Part, string>> = {
	knife: 'Knife lines',
	guides: 'Guide lines and ticks',
	labels: 'Labels',
	register: 'Register marks',
}

export const PARTS = ['knife', 'guides', 'labels', 'register'] as const satisfies readonly Part[]

const PART_OF: Readonly<Partial<Record<Role, Part>>> = {
	knife: 'knife',
	guide: 'guides',
	tick: 'guides',
	label: 'labels',
	register: 'register',
}

/**
 * The part that a mark belongs to. Undefined for what is always printed: edges to tape along and filled waste, which are the piece
 * itself, and bars, check squares and frames, which prove it true.
 */
export const partOf = (role: Role): Part | undefined => PART_OF[role]
