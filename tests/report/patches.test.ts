/** Patches in what other programs read: result.json and the OBJ file. */
import { describe, expect, test } from 'vitest'
import type { JobInput } from '../../src/job/schema.ts'
import { resultJson } from '../../src/report/resultJson.ts'
import { type ResultData, resultSchema } from '../../src/report/resultSchema.ts'
import { shapeObj } from '../../src/report/shapeObj.ts'
import { COVERS, GUARD, resultOf } from './small.ts'

type PatchInput = NonNullable<JobInput['panels'][number]['patches']>[number]
const withPatch = (job: JobInput, patch: PatchInput): JobInput => ({
	...job,
	panels: job.panels.map((panel) => ({ ...panel, patches: [patch] })),
})
const box = (s0: number, s1: number, g0: number, g1: number, side: 'left' | 'right' | 'above') =>
	[
		[s0, g0],
		[s1, g0],
		[s1, g1],
		[s0, g1],
	].map(([station, girth]) => ({ station: station as number, girth: girth as number, side }))
const read = (job: JobInput) => {
	const result = resultOf(job)
	return { result, data: resultSchema.parse(JSON.parse(resultJson(result))) as ResultData }
}

const guard = read(withPatch(GUARD, { id: 'stay-foot', what: 'stay foot', outline: box(60, 120, 30, 55, 'left') }))
const covers = read(withPatch(COVERS, { id: 'knob', outline: box(60, 120, 3, 13, 'above'), hand: 'right', painted: false }))

describe('in result.json', () => {
	test('a mirrored patch has its rim on both sides, of the size that was given', () => {
		const [patch, ...more] = guard.data.panels[0]?.patches ?? []
		expect(more).toEqual([])
		expect(patch).toMatchObject({ id: 'stay-foot', what: 'stay foot', painted: true, hand: 'mirrored' })
		const rims = (patch?.region ?? []).slice().sort((a, b) => Math.min(...a.map(([, g]) => g)) - Math.min(...b.map(([, g]) => g)))
		expect(rims).toHaveLength(2)
		for (const [i, way] of [-1, 1].entries()) {
			for (const corner of [
				[60, 30 * way],
				[120, 30 * way],
				[120, 55 * way],
				[60, 55 * way],
			])
				expect(rims[i]).toContainEqual(corner)
			// Between its corners it runs straight on the panel, which bows out a little in station and girth.
			for (const [s, g] of rims[i] ?? []) {
				expect(Math.abs(s - 90)).toBeLessThan(30.5)
				expect(Math.abs(g * way - 43)).toBeLessThan(13.5)
			}
		}
	})

	test('one of a pair says which; nothing is said where there is none', () => {
		expect(covers.data.panels[0]?.patches).toMatchObject([{ id: 'knob', what: 'knob', painted: false, hand: 'right' }])
		expect(read(COVERS).data.panels[0]?.patches).toBeUndefined()
	})
})

/** Objects of an OBJ file that are lines, with the places of each. */
function polylines(obj: string) {
	const vertices: number[][] = []
	const found: { name: string; places: number[][] }[] = []
	let name = ''
	for (const row of obj.split('\n')) {
		const [key, ...rest] = row.split(' ')
		if (key === 'v') vertices.push(rest.map(Number))
		if (key === 'o') name = rest.join(' ')
		if (key === 'l') found.push({ name, places: rest.map((i) => vertices[Number(i) - 1] as number[]) })
	}
	return found
}
const words = { title: 'patches', revision: 'ABC', version: '1' }

describe('in the OBJ file', () => {
	test('each rim goes round on the surface (a torus, closed form), chords and all, and closes', () => {
		const panel = guard.result.panels[0]
		const handed = panel?.shape?.now[0]
		if (!panel || !handed) throw new Error('the guard has a shape')
		const lines = polylines(shapeObj(panel, handed, words) as string)
		const rims = lines.filter(({ name }) => name.startsWith('patch/'))
		expect(rims.map(({ name }) => name)).toEqual(['patch/stay-foot/1', 'patch/stay-foot/2'])
		const off = ([x, y, z]: number[]) => Math.hypot(Math.hypot(x as number, (z as number) + 310) - 248, y as number) - 62
		for (const { places } of rims) expect(places[0]).toEqual(places.at(-1))
		for (const { places } of lines) {
			places.forEach((p, i) => {
				const before = places[i - 1] ?? p
				expect(Math.abs(off(p))).toBeLessThan(1e-3)
				expect(Math.abs(off(p.map((v, k) => (v + (before[k] as number)) / 2)))).toBeLessThan(0.1)
			})
		}
	})

	test('of a pair only the one that has the patch', () => {
		const panel = covers.result.panels[0]
		const names = (panel?.shape?.now ?? []).map((handed) => [
			handed.hand,
			polylines(shapeObj(panel as never, handed, words) as string).filter(({ name }) => name.startsWith('patch/')).length,
		])
		expect(names).toEqual([
			['left', 0],
			['right', 1],
		])
	})
})
