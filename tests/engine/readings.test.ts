/** Shapes that are read from a scan or a tracing before anything is worked out. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { headlampPoint, headlampScan, toStl } from '../../scripts/fixtures/headlampScan.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { chartOf } from '../../src/panel/shape.ts'
import { withReadings } from '../../src/panel/withReadings.ts'
import { resultJson } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { summary } from '../../src/report/summary.ts'

const shop = defaultShop()
const jobIn = (folder: string) => {
	const text = readFileSync(new URL(`../../fixtures/${folder}/job.jsonc`, import.meta.url), 'utf8')
	return loadJob(text, 'job.jsonc').value?.job as Job
}
const none = async () => ({ problems: [] })

describe('the headlamp from its scan', async () => {
	const job = jobIn('tarn-350-headlamp')
	const bytes = toStl(headlampScan({ triangles: 30_000 }).mesh)
	const read = await withReadings(job, async () => ({ value: bytes, problems: [] }))
	const result = compute(read.job, shop)

	test('comes to templates, with nothing worse than a word about its hole', () => {
		expect([...read.problems, ...result.problems].filter((p) => p.severity === 'error')).toEqual([])
		const kinds = new Set(result.panels[0]?.pieces?.map((p) => p.kind))
		expect(kinds).toContain('crown')
		expect(kinds).toContain('strip')
		expect(result.sheets?.sheets.length).toBeGreaterThan(0)
	})

	test('lies where the shell does: every mark on its closed form', () => {
		const { shape, lines } = result.panels[0] ?? {}
		const embed = shape?.now[0]?.chart.embed
		expect(lines?.places.size).toBeGreaterThan(8)
		for (const at of lines?.places.values() ?? []) {
			const p = embed?.(at) as { x: number; y: number; z: number }
			const [, y, z] = headlampPoint(p.x, Math.atan2(p.y, p.z))
			// Its datums were measured to half a millimetre on the vehicle: two coordinates, each up to a quarter out.
			expect(Math.hypot(p.y - y, p.z - z)).toBeLessThan(0.25 * Math.SQRT2)
		}
	})

	test('and what was planted in the scan stands in result.json, and in a line of the summary', () => {
		const scan = resultSchema.parse(JSON.parse(resultJson(result))).panels[0]?.shape?.scan
		// Thirty triangles twice, sixty the other way round, and a crumb of two that do not run alike.
		const mended = { flat: 0, repeated: 30, turned: 61, fins: 0, twisted: 0, pieces: 2, leftOut: 2 }
		expect(scan).toMatchObject({ unit: 'mm', noiseFrom: 'estimated', mended })
		expect(Math.abs((scan?.noiseMm ?? 0) - 0.05)).toBeLessThan(0.01)
		// The bracket's hole of 24 by 30 mm, in cells of some millimetres, and the grommet's, 37 mm wide.
		expect(scan?.holesMm.filter((mm) => mm > 90 && mm < 120)).toHaveLength(2)
		// The shell is its own mirror image, its datums were put out by 0.2 mm.
		expect(Math.abs(scan?.symmetry?.asideMm ?? 9)).toBeLessThan(0.6)
		expect(scan?.datums).toHaveLength(4)
		const line =
			/scan headlamp.stl: \d+ triangles in mm.*mended: 30 triangles given twice, 61 triangles turned round, 1 loose piece left out/
		expect(summary(result)).toMatch(line)
	})

	test('that was not read is an error of its panel alone', () => {
		const { problems } = compute(job, shop)
		expect(problems.map((p) => p.code)).toEqual(['SCAN_NOT_READ'])
	})
})

describe('a tracing of a section', () => {
	const job = jobIn('tarn-350')
	const tank = job.panels[0]?.found as Extract<Job['panels'][number]['found'], { kind: 'sections' }>
	const traced = (data: string) => {
		const sections = tank.sections.map((s, i) => {
			if (i !== 4 || !('points' in s)) return s
			const { points: _, half: __, creases: ___, ...stands } = s
			return { ...stands, creases: [], traced: data }
		})
		const found = { ...tank, sections: sections.map((s) => ({ ...s, creases: [] })) }
		return { ...job, panels: [{ ...(job.panels[0] as Job['panels'][number]), found }] } as Job
	}
	const points = (tank.sections[4] as { points: [number, number][] }).points
	const line = [...points.slice(1).map(([x, d]) => [-x, d] as const), ...points].sort((a, b) => a[0] - b[0])
	const data = `M ${line.map((p) => p.join(' ')).join(' L ')}`

	test('makes the same shape as its readings', async () => {
		const read = await withReadings(traced(data), none)
		expect(read.problems).toEqual([])
		const plain = { ...tank, sections: tank.sections.map((s) => ({ ...s, creases: [] })) }
		const [a, b] = [read.job.panels[0]?.found, plain].map((capture) => chartOf('tank', 'centre', capture as never, '').value)
		for (const s of [50, 150, 250, 350]) {
			for (const g of [-90, -40, 40, 90]) {
				const [p, q] = [a, b].map((chart) => chart?.embed?.({ s, g })) as { x: number; y: number; z: number }[]
				expect(Math.hypot(p!.x - q!.x, p!.y - q!.y, p!.z - q!.z)).toBeLessThan(0.5)
			}
		}
	})

	test.each([
		['hello', 'TRACING_UNREADABLE'],
		['M 0 0', 'TRACING_UNREADABLE'],
		['M -90 60 L 0 0 M 10 0 L 90 60', 'TRACING_IN_PARTS'],
	])('%s is refused', async (path, code) => {
		const read = await withReadings(traced(path), none)
		expect(read.problems.map((p) => [p.code, p.path])).toEqual([[code, '/panels/0/found/sections/4/traced']])
	})

	test('drawn from right to left is turned round', async () => {
		const back = `M ${line
			.toReversed()
			.map((p) => p.join(' '))
			.join(' L ')}`
		const [a, b] = [await withReadings(traced(data), none), await withReadings(traced(back), none)]
		const of = ({ job: { panels } }: typeof a) =>
			((panels[0] as Job['panels'][number]).found as typeof tank).sections[4] as { points: [number, number][] }
		const [p, q] = [of(a).points, of(b).points]
		expect(q).toHaveLength(p.length)
		q.forEach(([x, d], i) => {
			expect(x).toBeCloseTo(p[i]?.[0] as number, 4)
			expect(d).toBeCloseTo(p[i]?.[1] as number, 4)
		})
		expect(b.problems).toEqual([])
	})
})
