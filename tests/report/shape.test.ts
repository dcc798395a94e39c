import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { toSvg } from '../../src/drawing/svg.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { shapeObj } from '../../src/report/shapeObj.ts'
import { shapePicture } from '../../src/report/shapePicture.ts'

const text = readFileSync(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url), 'utf8')
const job = loadJob(text, 'job.jsonc').value?.job as Job
const { panels } = compute(job, defaultShop(), { until: 'scheme' })
const words = { title: job.title, revision: 'ABC', version: '1' }
const all = panels.flatMap((panel) =>
	(panel.shape?.now ?? []).map((handed) => ({ panel, handed, name: `${panel.id} ${handed.hand}` })),
)

type V = [number, number, number]
/** What any reader of the format does with v, f, l and o. */
function read(obj: string) {
	const vertices: V[] = []
	const faces: number[][] = []
	const lines: { name: string; at: number[] }[] = []
	let name = ''
	for (const row of obj.split('\n')) {
		const [key, ...rest] = row.split(' ')
		if (key === 'v') vertices.push(rest.map(Number) as V)
		if (key === 'f') faces.push(rest.map(Number))
		if (key === 'l') lines.push({ name, at: rest.map(Number) })
		if (key === 'o') name = rest.join(' ')
	}
	return { vertices, faces, lines }
}
const minus = (a: V, b: V): V => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
const cross = (a: V, b: V): V => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
const dot = (a: V, b: V) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

describe('a panel in the round', () => {
	test.each(all)('as OBJ has sound faces seen from the painted side, and its lines on them: $name', ({ panel, handed }) => {
		const { vertices, faces, lines } = read(shapeObj(panel, handed, words) as string)
		expect(faces.length).toBeGreaterThan(20)
		for (const i of faces.flat().concat(lines.flatMap(({ at }) => at))) expect(vertices[i - 1]).toBeDefined()
		// The painted side: away from the vehicle's middle plane on a panel of one side, upward at the crown of one across it.
		const outward: V = handed.hand === 'left' ? [0, -1, 0] : handed.hand === 'right' ? [0, 1, 0] : [0, 0, 1]
		const facing = faces.map((f) => {
			const [a, b, c, d] = f.map((i) => vertices[i - 1] as V) as [V, V, V, V]
			return dot(cross(minus(c, a), minus(d, b)), outward)
		})
		expect(facing.filter((x) => x > 0).length).toBeGreaterThan(0.6 * facing.length)
		const bands = panel.schemes?.find((s) => s.hand === handed.hand)?.scheme.bands ?? []
		expect(lines.filter((l) => l.name.includes('/near/')).length).toBe(bands.reduce((n, b) => n + b.near.length, 0))
		// Each place of a line lies as near a corner of the surface as a face is wide.
		const corners = [...new Set(faces.flat())].map((i) => vertices[i - 1] as V)
		for (const { at } of lines.slice(0, 2)) {
			const middle = vertices[(at[at.length >> 1] as number) - 1] as V
			expect(Math.min(...corners.map((c) => Math.hypot(...minus(c, middle))))).toBeLessThan(9)
		}
	})

	test('as a picture shows the paints of its scheme', () => {
		const tank = all.find(({ panel }) => panel.id === 'tank') as (typeof all)[number]
		const colours = new Map(job.paints.map(({ id }) => [id, id === 'gold' ? '#ff0000' : '#0000ff']))
		const drawing = shapePicture(tank.panel, tank.handed, { colours, stepMm: 12 })
		const fills = new Set([...toSvg(drawing!).matchAll(/fill="(#[0-9a-f]{6})"/g)].map(([, fill]) => fill as string))
		// Shaded, a paint keeps its hue.
		expect([...fills].some((f) => /^#[1-9a-f][0-9a-f]0000$/.test(f))).toBe(true)
		expect([...fills].some((f) => /^#0000[1-9a-f][0-9a-f]$/.test(f))).toBe(true)
	})
})
