import { expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { PatchOutline } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { LENGTH, tank, tankPlace } from '../panel/tank.ts'
import { jobOf } from '../scheme/jobs.ts'

/** Reading 12 of 17 of the fifth section of nine, half-way along, on the right, 2 mm too high: a flange under the gauge. */
const [SECTION, READING] = [4, 12]
const onFlange = () => {
	const found = tank({ noise: 0.1, seed: 1 })
	const section = found.sections[SECTION]
	if (!section || !('points' in section)) throw new Error('the tank has points')
	const p = section.points[READING] as [number, number]
	p[1] -= 2
	return found
}

/** Lengths along the true tank, by chords: station of the section along the crown, girth of the reading round the section. */
const chords = (place: (t: number) => readonly number[]) => {
	let sum = 0
	for (let i = 0; i < 2000; i++) {
		const [a, b] = [place(i / 2000), place((i + 1) / 2000)]
		sum += Math.hypot(...b.map((x, k) => x - (a[k] as number)))
	}
	return sum
}
const half = (SECTION / 8) * LENGTH
const station = chords((t) => [t * half, tankPlace(t * half, 0)[1]])
const girth = chords((t) => tankPlace(half, t * (-1 + (2 * READING) / 16)))

/** A patch 50 mm wide each way about a place. */
const patchAt = (side: 'left' | 'right', s: number, g: number): PatchOutline =>
	({
		...{ id: 'flange', what: 'filler flange', hand: side, painted: true },
		outline: [
			[-25, -25],
			[25, -25],
			[25, 25],
			[-25, 25],
		].map(([a, b]) => ({ station: s + (a as number), girth: g + (b as number), side, smooth: false })),
	}) as PatchOutline

const problemsWith = (patches: readonly PatchOutline[]) =>
	compute(jobOf([{ hand: 'centre', found: onFlange(), patches: [...patches] }]), defaultShop(), {
		until: 'scheme',
	}).problems.filter(({ path }) => path === `/panels/0/found/sections/${SECTION}/points/${READING}`)

test('a gauge reading that sticks out says where on the panel', () => {
	const [odd, ...more] = problemsWith([])
	expect(more).toEqual([])
	expect(odd).toMatchObject({ code: 'SECTION_READING_ODD', severity: 'warning', place: { side: 'right' } })
	// A section's plane is not quite square to the crown: a few millimetres at this girth.
	expect(Math.abs((odd?.place?.s as number) - station)).toBeLessThan(5)
	expect(Math.abs((odd?.place?.g as number) - girth)).toBeLessThan(3)
})

test('in a patch it is not to be read again, but left out', () => {
	const said = problemsWith([patchAt('right', station, girth)])
	expect(said).toHaveLength(1)
	expect(said[0]).toMatchObject({ code: 'SECTION_READING_IN_PATCH', severity: 'note' })
	expect(said[0]?.found).toContain('it stands in the filler flange')
	expect(said[0]?.fix).toContain('leave this reading out')
})

test('beside a patch, or across from it, it sticks out as before', () => {
	for (const patch of [patchAt('left', station, girth), patchAt('right', station + 60, girth)]) {
		expect(problemsWith([patch]).map(({ code }) => code)).toEqual(['SECTION_READING_ODD'])
	}
})
