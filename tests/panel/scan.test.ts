import { beforeAll, describe, expect, test } from 'vitest'
import { headlampPoint, headlampScan, toStl } from '../../scripts/fixtures/headlampScan.ts'
import { type ScanCapture, scanSchema } from '../../src/job/scanSchema.ts'
import { type PreparedScan, prepareScan } from '../../src/panel/scan/scan.ts'
import { asReadings } from '../../src/panel/scan/scanChart.ts'

const scan = headlampScan({ triangles: 100_000 })
const file = toStl(scan.mesh)
const capture = (changes: object = {}): ScanCapture =>
	scanSchema('mm').parse({ kind: 'scan', file: 'headlamp.stl', datums: scan.datums, ...changes })
const codes = async (changes: object, bytes = file) =>
	(await prepareScan(bytes, capture(changes), 'centre', '/found')).problems.map((p) => p.code)

describe('the headlamp shell of 100k triangles', () => {
	let made: PreparedScan
	let said: string[]
	beforeAll(async () => {
		const answer = await prepareScan(file, capture(), 'centre', '/panels/0/found')
		made = answer.value as PreparedScan
		said = answer.problems.map((p) => `${p.severity} ${p.code} ${p.path}`)
	})
	test('tells what it mended and guessed', () => {
		expect(said).toEqual([
			'note SCAN_REPEATED_TRIANGLES /panels/0/found/file',
			'note SCAN_TURNED_TRIANGLES /panels/0/found/file',
			'note SCAN_PIECES /panels/0/found/file',
			'note SCAN_UNIT_GUESSED /panels/0/found',
			'note SCAN_HOLES /panels/0/found/file',
			'note SECTIONS_LEFT_OUT /panels/0/found',
			'warning SECTION_GAP /panels/0/found',
		])
		expect(made).toMatchObject({ unit: 'mm', noiseFrom: 'estimated', triangles: expect.any(Number) })
	})
	test('knows its noise, and its middle to what the peak holds it', () => {
		expect(made.noiseMm).toBeCloseTo(0.05, 2)
		expect(made.symmetry?.angleSdDeg).toBeLessThan(0.05)
		expect(Math.max(...made.missesMm)).toBeLessThan(0.6)
	})
	test('its sections lie on the shell, to what the datums were slipped by (0.2 mm)', () => {
		for (const { along, points } of made.sections) {
			for (const { across, up } of points) {
				const angle = Math.atan2(across, up)
				const [, y, z] = headlampPoint(along, angle)
				// behind, the shell runs into the plane of the cut, and a slip along counts several times
				if (along < 140) expect(Math.abs(Math.hypot(across, up) - Math.hypot(y, z))).toBeLessThan(0.5)
			}
		}
	})
	test('they read as a gauge would', () => {
		const readings = asReadings(made, 12)
		expect(readings.front).toBe(12)
		expect(readings.sections.length).toBe(made.sections.length)
		expect(readings.sd).toBeLessThan(0.02)
	})
	test('the same bytes and job give the same sections', async () => {
		const again = await prepareScan(file.slice(), capture(), 'centre', '/panels/0/found')
		expect(again.value?.sections).toEqual(made.sections)
	})
})

test('in another unit it is the same shell', async () => {
	const inches = { positions: scan.mesh.positions.map((c) => c / 25.4), triangles: scan.mesh.triangles }
	const datums = scan.datums.map((d) => ({ ...d, scan: d.scan.map((c) => c / 25.4) }))
	const answer = await prepareScan(toStl(inches), capture({ datums, unit: 'in' }), 'centre', '/found')
	const mm = await prepareScan(file, capture({ unit: 'mm' }), 'centre', '/found')
	expect(answer.problems.map((p) => p.code)).not.toContain('SCAN_UNIT_GUESSED')
	expect(answer.value?.sizeMm).toBeCloseTo(mm.value?.sizeMm as number, 3)
	answer.value?.sections.forEach(({ points }, i) => {
		const theirs = mm.value?.sections[i]?.points ?? []
		expect(points[5]?.up).toBeCloseTo(theirs[5]?.up as number, 1)
	})
})

test('what ends it early', async () => {
	expect(await codes({}, new Uint8Array())).toEqual(['SCAN_EMPTY'])
	expect(await codes({ unit: 'm' })).toContain('SCAN_UNIT_WRONG')
	expect(await codes({ datums: scan.datums.map((d) => ({ ...d, vehicle: d.vehicle.map((c) => 3 * c) })) })).toContain(
		'SCAN_DATUMS_SCALE',
	)
	const line = [0, 60, 120].map((x, i) => ({ id: `d${i}`, scan: [x, 0, 0], vehicle: [x, 0, 0] }))
	expect(await codes({ datums: line })).toContain('SCAN_DATUMS_IN_LINE')
	expect(await codes({ stations: [10, 20, 900], symmetry: 'datums' })).toContain('SECTION_OFF_SCAN')
})

test('a shell without its peak can be turned about its axis: the datums must say', async () => {
	const bowl = { ...scan.mesh, positions: scan.mesh.positions.slice() }
	// the peak pressed back: every corner to the radius of the bowl, in the frame of the vehicle
	for (let i = 0; i < bowl.positions.length; i += 3) {
		const p = [0, 1, 2].map(
			(k) =>
				scan.r[3 * k]! * bowl.positions[i]! +
				scan.r[3 * k + 1]! * bowl.positions[i + 1]! +
				scan.r[3 * k + 2]! * bowl.positions[i + 2]! +
				scan.t[k]!,
		) as [number, number, number]
		const [x, y, z] = headlampPoint(p[0], Math.atan2(p[1], p[2]))
		const [, , round] = headlampPoint(p[0], Math.PI)
		const shrink = p[0] > 0 && p[0] < 166 ? Math.abs(round) / Math.hypot(y, z) : 1
		const d = [x, p[1] * shrink, p[2] * shrink].map((c, k) => c - scan.t[k]!)
		for (let k = 0; k < 3; k++) bowl.positions[i + k] = scan.r[k]! * d[0]! + scan.r[3 + k]! * d[1]! + scan.r[6 + k]! * d[2]!
	}
	const bytes = toStl(bowl)
	expect(await codes({}, bytes)).toContain('SCAN_SYMMETRY_OPEN')
	expect((await prepareScan(bytes, capture({ symmetry: 'datums' }), 'centre', '/found')).value?.sections.length).toBeGreaterThan(
		15,
	)
})
