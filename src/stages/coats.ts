import type { Paint } from '../job/schema.ts'

/** Whether nothing below a paint shows: all but mid-coats and clears, unless it is said. */
export const hides = ({ sprayed }: Paint): boolean => sprayed?.hides ?? !(sprayed?.as === 'mid-coat' || sprayed?.as === 'clear')

/** The paints that make what is seen where one is named, from below: a candy after the paint that it goes over. */
export function coatsOf(paint: string, paints: ReadonlyMap<string, Paint>): readonly string[] {
	const coats = [paint]
	for (let below = paints.get(paint)?.sprayed?.over; below !== undefined && !coats.includes(below); ) {
		coats.unshift(below)
		below = paints.get(below)?.sprayed?.over
	}
	return coats
}
