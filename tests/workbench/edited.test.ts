// Every key of the job file is edited on a line of the card, or listed with its value as not yet editable: by the published schema.
import { expect, test } from 'vitest'
import { EDITED, OF_THE_FILE, patternOf, unedited } from '../../src/workbench/edited.ts'
import { schemaPlaces } from './schemaPlaces.ts'

const PLACES = schemaPlaces()

/** A value that has this place in it. */
const holding = (keys: readonly string[]): unknown => {
	const [key, ...deeper] = keys
	if (key === undefined) return 1
	return key === '*' ? [holding(deeper)] : { [key]: holding(deeper) }
}

/** Itself, or a place above it. */
const within = (place: string, of: string) => place === of || place.startsWith(`${of}/`)

test('what is said to be edited is in the format', () => {
	expect(PLACES.size).toBeGreaterThan(200)
	expect([...EDITED].filter((place) => !PLACES.has(place))).toEqual([])
})

test('each key is edited, or listed', () => {
	const last = [...PLACES].filter((place) => ![...PLACES].some((other) => other.startsWith(`${place}/`)))
	expect(last.length).toBeGreaterThan(150)
	const neither = last.filter((place) => {
		const edited = [...EDITED, ...OF_THE_FILE].some((of) => within(place, of))
		const listed = unedited(holding(place.split('/'))).map(patternOf)
		// a list of names, each with more to be said of it: "through": ["m1"]
		const named = [...EDITED].some((of) => of.startsWith(`${place}/`))
		expect(edited && listed.length > 0, place).toBe(false)
		return !edited && !named && !listed.some((of) => within(place, of))
	})
	expect(neither).toEqual([])
})

test('a key that nobody made an editor for is listed by itself, wherever it stands', () => {
	const job = {
		...{ title: 'Lid', unit: 'mm', polish: { by: 'hand' } },
		panels: [
			{
				id: 'lid',
				title: 'Lid',
				datums: [{ id: 'nose', station: 0, bored: true }],
				edges: [{ through: ['a', { mark: 'b', soft: 1 }] }],
			},
		],
	}
	expect(unedited(job).map((path) => path.join('/'))).toEqual([
		...['polish', 'panels/0/id', 'panels/0/datums/0/bored', 'panels/0/edges/0/through/1/soft'],
	])
})
