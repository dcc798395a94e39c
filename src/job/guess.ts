/** The shape that a new job begins with: flat, and of a size that nobody measured. */
import type { Unit } from '../units/length.ts'

/** A guess at its size until its shape is written in. */
export const GUESS: Readonly<Record<Unit, { readonly length: number; readonly width: number }>> = {
	mm: { length: 600, width: 200 },
	in: { length: 24, width: 8 },
}

/** Whether a shape is still the one that a new job begins with. */
export function isGuessed(found: Readonly<Record<string, unknown>>): boolean {
	const { kind, length, width, ...more } = found
	const at = (value: unknown, unit: Unit) =>
		typeof value === 'number' ? value : value === undefined ? undefined : Number(String(value).replace(` ${unit}`, ''))
	const units = Object.entries(GUESS) as readonly (readonly [Unit, (typeof GUESS)[Unit]])[]
	const same = units.some(([unit, guess]) => at(length, unit) === guess.length && at(width, unit) === guess.width)
	return kind === 'flat' && same && Object.keys(more).length === 0
}
