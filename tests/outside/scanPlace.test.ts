// Where a scan sits, against closed forms: motions that are known, and bodies whose planes of symmetry are known.
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import type { ClosestOf } from '../../src/panel/scan/closest.ts'
import { placeByDatums, type ScanDatum } from '../../src/panel/scan/datums.ts'
import { loadClosest } from '../../src/panel/scan/loadClosest.ts'
import type { ScanMesh } from '../../src/panel/scan/mesh.ts'
import { placeScan } from '../../src/panel/scan/place.ts'
import { moved, movedAll, type Rigid, rigidFit, type Triple, turnOnto } from '../../src/panel/scan/rigid.ts'
import { symmetryPlane } from '../../src/panel/scan/symmetry.ts'
import { ellipsoid, patch } from '../panel/scanShapes.ts'

const unit = (v: Triple): Triple => {
	const length = Math.hypot(...v)
	return [v[0] / length, v[1] / length, v[2] / length]
}
/** A turn about an axis by an angle (Rodrigues), and a shift. */
function motion(axis: Triple, angle: number, t: Triple): Rigid {
	const [x, y, z] = unit(axis)
	const [c, s, k] = [Math.cos(angle), Math.sin(angle), 1 - Math.cos(angle)]
	// biome-ignore format: a matrix is read by its rows
	const r = Float64Array.of(
		c + k * x * x, k * x * y - s * z, k * x * z + s * y,
		k * x * y + s * z, c + k * y * y, k * y * z - s * x,
		k * x * z - s * y, k * y * z + s * x, c + k * z * z,
	)
	return { r, t: Float64Array.from(t) }
}
const coordinate = fc.double({ min: -500, max: 500, noNaN: true })
const triple = fc.tuple(coordinate, coordinate, coordinate)
const turn = fc.tuple(
	fc.tuple(fc.double({ min: 0.1, max: 1, noNaN: true }), coordinate, coordinate),
	fc.double({ min: -3.1, max: 3.1, noNaN: true }),
	triple,
)

describe('datums', () => {
	const spots: Triple[] = [
		[0, 0, 0],
		[300, 5, 20],
		[120, 140, -60],
		[110, -138, -55],
	]
	const datums = (m: Rigid, list = spots): ScanDatum[] => list.map((scan, i) => ({ id: `d${i}`, scan, vehicle: moved(m, scan) }))

	test('any motion is found again, to 1e-9 mm', () => {
		fc.assert(
			fc.property(turn, ([axis, angle, t]) => {
				const m = motion(axis, angle, t)
				const fit = placeByDatums(datums(m), '').value
				for (const p of spots) {
					const [a, b] = [moved(m, p), moved(fit?.motion as Rigid, p)]
					expect(Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2])).toBeLessThan(1e-9)
				}
			}),
		)
	})
	test('it is never a mirror image, even where one would fit better', () => {
		const mirrored = rigidFit(
			spots,
			spots.map(([x, y, z]) => [x, -y, z] as Triple),
		)
		const [a, b, c, d, e, f, g, h, i] = mirrored.r as unknown as number[] as [
			number,
			number,
			number,
			number,
			number,
			number,
			number,
			number,
			number,
		]
		expect(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)).toBeCloseTo(1, 9)
	})
	test('a datum that was misread is named', () => {
		const list = datums(motion([1, 2, 3], 1, [5, 6, 7]))
		const slipped = list.map((d, i) =>
			i === 2 ? { ...d, vehicle: [d.vehicle[0] + 20, d.vehicle[1], d.vehicle[2]] as Triple } : d,
		)
		expect(placeByDatums(slipped, '/found').problems).toMatchObject([{ code: 'SCAN_DATUMS_MISS', path: '/found/datums/2' }])
		expect(placeByDatums(list, '/found').problems).toEqual([])
	})
	test('too few, or in one line', () => {
		const code = (list: Triple[]) => placeByDatums(datums(motion([0, 0, 1], 0.3, [1, 2, 3]), list), '').problems[0]?.code
		expect(code(spots.slice(0, 2))).toBe('SCAN_FEW_DATUMS')
		expect(
			code([
				[0, 0, 0],
				[100, 1, 0],
				[200, 0, 1],
				[300, -1, 0],
			]),
		).toBe('SCAN_DATUMS_IN_LINE')
		expect(
			code([
				[5, 5, 5],
				[5, 5, 5],
				[5, 5, 5],
			]),
		).toBe('SCAN_DATUMS_IN_LINE')
		expect(
			code([
				[0, 0, 0],
				[300, 0, 0],
				[150, 40, 0],
			]),
		).toBeUndefined()
	})
})

describe('the plane of symmetry', () => {
	let closestOf: ClosestOf
	beforeAll(async () => {
		closestOf = await loadClosest()
	})
	const axes = [240, 130, 110] as const
	const SIZE = 224 // 2 x 224 x 224 = 100,352 triangles
	const offBy = (degrees: number, mm: number) => {
		const angle = (degrees * Math.PI) / 180
		return { normal: unit([0.7 * Math.tan(angle), 1, 0.7 * Math.tan(angle)]), offset: mm }
	}
	/** Angle to the y axis in degrees, and how far the plane is from the middle, mm. */
	function found(mesh: ScanMesh, start = offBy(0, 0)) {
		const { value, problems } = symmetryPlane(mesh, start, closestOf, '')
		expect(problems).toEqual([])
		if (!value) throw new Error('no plane and no problem')
		const { normal: n } = value
		return { ...value, deg: (Math.atan2(Math.hypot(n[0], n[2]), n[1]) * 180) / Math.PI, mm: Math.abs(value.offset) }
	}
	const why = (mesh: ScanMesh) => symmetryPlane(mesh, offBy(0, 0), closestOf, '').problems
	// An ellipsoid with three different axes along x, y, z is its own mirror image in y = 0.
	test.each([
		['from the right start', offBy(0, 0)],
		['from 5 degrees and 10 mm off', offBy(5, 10)],
		['from 5 degrees off the other way', offBy(-5, -15)],
	])('100k clean triangles of an ellipsoid: 0.004 degrees, 0.0015 mm, %s', (_, start) => {
		const plane = found(ellipsoid(SIZE, axes), start)
		expect(plane.deg).toBeLessThan(0.004)
		expect(plane.mm).toBeLessThan(0.0015)
	})
	test('holes and more scanned on one side than on the other do not draw it', () => {
		const mesh = ellipsoid(SIZE, axes, { right: 1.4, hole: (i, j) => i > 0.4 && i < 0.55 && j > 0.6 && j < 0.75 })
		const plane = found(mesh, offBy(3, -8))
		expect(plane.deg).toBeLessThan(0.004)
		expect(plane.mm).toBeLessThan(0.0015)
		expect(plane.share).toBeLessThan(0.97)
	})
	test.each([1, 2, 3])('0.05 mm of noise: within three of its own sd, which is under 0.02 degrees (seed %i)', (seed) => {
		const plane = found(ellipsoid(SIZE, axes, { noiseMm: 0.05, seed }), offBy(3, 5))
		expect(plane.angleSdDeg).toBeLessThan(0.02)
		expect(plane.deg).toBeLessThan(3 * plane.angleSdDeg)
		expect(plane.mm).toBeLessThan(3 * plane.offsetSdMm)
	})
	test('more than 100k triangles are made fewer, and the plane is no worse for it', () => {
		const plane = found(ellipsoid(500, axes, { noiseMm: 0.05, seed: 5 }), offBy(2, 3))
		expect(plane.deg).toBeLessThan(0.02)
		expect(plane.mm).toBeLessThan(0.02)
	})
	/** Part of a torus of radii 150 and 60 about the z axis or the y axis. */
	const torus = (about: 'y' | 'z', noiseMm = 0) =>
		patch({
			rows: 200,
			columns: 200,
			noiseMm,
			seed: 8,
			at(i, j) {
				const [a, b] = [2.2 * (i - 0.5), -1.3 + 2.7 * j]
				const r = 150 + 60 * Math.cos(b)
				const [x, w, up] = [r * Math.cos(a), r * Math.sin(a), 60 * Math.sin(b)]
				return about === 'z' ? [x, w, up] : [w, up, x]
			},
		})
	test('a torus about y turns into itself about y only, and y = 0 stays its middle', () => {
		const plane = found(torus('y'), offBy(2, 5))
		expect(plane.deg).toBeLessThan(0.004)
		expect(plane.mm).toBeLessThan(0.0015)
	})
	test('a torus about z has any number of middles', () => {
		expect(why(torus('z', 0.05))[0]?.code).toBe('SCAN_SYMMETRY_OPEN')
	})
	test.each([
		['a sphere', [150, 150, 150]],
		['a body of revolution about x', [240, 120, 120]],
		['a body of revolution about z', [130, 130, 90]],
	] as const)('%s with noise has no plane of its own, and that is said', (_, axesOf) => {
		expect(why(ellipsoid(120, axesOf, { noiseMm: 0.05, seed: 4 }))).toMatchObject([
			{ code: 'SCAN_SYMMETRY_OPEN', path: '/symmetry' },
		])
	})
	test('a panel that is not symmetric', () => {
		const wedge = patch({
			rows: 60,
			columns: 60,
			at: (i, j) => [200 * i, 120 * (j - 0.5), 60 * j ** 2 + 30 * Math.sin(5 * i * j)],
		})
		expect(why(wedge)[0]?.code).toBe('SCAN_NOT_SYMMETRIC')
	})

	test('the datums say how far along and how high, the shape says where the middle is', () => {
		const lies = motion([0.3, 1, 0.2], 0.8, [900, -40, 600])
		const onVehicle = ellipsoid(SIZE, axes)
		const back: Rigid = { r: Float64Array.from([0, 3, 6, 1, 4, 7, 2, 5, 8], (k) => lies.r[k]!), t: new Float64Array(3) }
		const inScan = (p: Triple) => moved(back, [p[0] - lies.t[0]!, p[1] - lies.t[1]!, p[2] - lies.t[2]!])
		const scan = { positions: Float64Array.from(onVehicle.positions), triangles: onVehicle.triangles }
		for (let i = 0; i < scan.positions.length; i += 3)
			scan.positions.set(inScan([...scan.positions.subarray(i, i + 3)] as unknown as Triple), i)
		// all datums read 2 mm too far to the right
		const spots: Triple[] = [
			[-200, 0, 60],
			[200, 0, 60],
			[0, 120, 30],
			[0, -120, 30],
		]
		const datums = spots.map((p, i) => ({ id: `d${i}`, scan: inScan(p), vehicle: [p[0], p[1] + 2, p[2]] as Triple }))
		const placed = placeScan(scan, datums, '', closestOf).value
		const laid = movedAll(placed?.motion as Rigid, scan.positions)
		let worst = 0
		for (let i = 0; i < laid.length; i++) worst = Math.max(worst, Math.abs(laid[i]! - onVehicle.positions[i]!))
		expect(worst).toBeLessThan(0.03)
		expect(placed?.missesMm.every((m) => Math.abs(m - 2) < 0.03)).toBe(true)
		// by the datums alone it lies where they were read
		const alone = placeScan(scan, datums, '').value
		expect(moved(alone?.motion as Rigid, inScan([0, 0, 110]))[1]).toBeCloseTo(2, 9)
	})
	test('a middle far from where the datums put it is told of', () => {
		const spots: Triple[] = [
			[-200, 0, 60],
			[200, 0, 60],
			[0, 120, 30],
			[0, -120, 30],
		]
		const datums = spots.map((p, i) => ({ id: `d${i}`, scan: p, vehicle: [p[0], p[1] + 9, p[2]] as Triple }))
		expect(placeScan(ellipsoid(SIZE, axes), datums, '', closestOf).problems).toMatchObject([
			{ code: 'SCAN_MIDDLE_OFF', severity: 'warning' },
		])
	})
})

test('one unit vector turns onto another', () => {
	fc.assert(
		fc.property(triple, triple, (a, b) => {
			fc.pre(Math.hypot(...a) > 1 && Math.hypot(...b) > 1)
			const [p, q] = [unit(a), unit(b)]
			fc.pre(p[0] * q[0] + p[1] * q[1] + p[2] * q[2] > -0.99)
			const r = moved({ r: turnOnto(p, q), t: new Float64Array(3) }, p)
			expect(Math.hypot(r[0] - q[0], r[1] - q[1], r[2] - q[2])).toBeLessThan(1e-12)
		}),
	)
})
