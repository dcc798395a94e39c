// What a scan costs and what it gives: a million triangles to sections and to a chart, its plane of symmetry, and sections that do not get
// worse as a noisy mesh gets finer.
import { scanSchema } from '../../src/job/scanSchema.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { loadClosest } from '../../src/panel/scan/loadClosest.ts'
import { repair } from '../../src/panel/scan/repair.ts'
import { prepareScanWith } from '../../src/panel/scan/scan.ts'
import { scanChart } from '../../src/panel/scan/scanChart.ts'
import { scanSections } from '../../src/panel/scan/scanSections.ts'
import { symmetryPlane } from '../../src/panel/scan/symmetry.ts'
import { ellipsoid } from '../../tests/panel/scanShapes.ts'
import { headlampScan, toStl } from '../fixtures/headlampScan.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const AXES = [240, 130, 110] as const
/** The sections stop short of the back of the shell, where it turns into the plane of the cut. */
const STATIONS = Array.from({ length: 20 }, (_, i) => 4 + 6.5 * i)

export async function rows(): Promise<Row[]> {
	const closestOf = await loadClosest()
	const million = headlampScan({ triangles: 1_000_000 })
	const bytes = toStl(million.mesh)
	const capture = scanSchema('mm').parse({ kind: 'scan', file: 'headlamp.stl', datums: million.datums, stations: STATIONS })
	const toSections = () => prepareScanWith(bytes, capture, 'centre', '', closestOf)
	const toChart = () => {
		const made = toSections().value
		if (made) scanChart(panelFrame('headlamp', 'centre'), made, 0, '')
	}
	const few = { runs: 5, warmUps: 1 }
	return [
		atMost('compound.scan.1m.chart', await medianMs(toChart, few), 'ms', 3000, 'STL read, mended, middle found, cut, lofted'),
		shown('compound.scan.1m.sections', await medianMs(toSections, few), 'ms', 'the part before the loft'),
		...symmetry(closestOf),
		...sections(),
	]
}

function symmetry(closestOf: Awaited<ReturnType<typeof loadClosest>>): Row[] {
	const tilt = Math.tan((3 * Math.PI) / 180)
	const size = Math.hypot(tilt, 1, tilt)
	const start = { normal: [tilt / size, 1 / size, tilt / size] as const, offset: 8 }
	const plane = symmetryPlane(ellipsoid(224, AXES), start, closestOf, '').value
	if (!plane) throw new Error('the plane of symmetry of an ellipsoid was not found')
	const [x, y, z] = plane.normal
	const deg = (Math.atan2(Math.hypot(x, z), y) * 180) / Math.PI
	return [
		atMost('compound.scan.symmetry.angle', deg, 'deg', 0.004, '100k triangles of an ellipsoid, from 4 degrees and 8 mm off'),
		atMost('compound.scan.symmetry.offset', Math.abs(plane.offset), 'mm', 0.0015, 'its middle'),
	]
}

function sections(): Row[] {
	const stations = Array.from({ length: 15 }, (_, i) => -196 + 28 * i)
	const errors = [51, 158, 447].map((size) => {
		const sound = repair(ellipsoid(size, AXES, { noiseMm: 0.05, seed: 1 }), '').value
		const cut = sound && scanSections(sound, { hand: 'centre', stations, path: '' }).value
		if (!cut) throw new Error('an ellipsoid was not cut into sections')
		let [sum, count] = [0, 0]
		for (const { along, points } of cut.sections) {
			const s = Math.sqrt(1 - (along / AXES[0]) ** 2)
			const [b, c] = [AXES[1] * s, AXES[2] * s]
			for (const { across, up } of points) {
				const f = Math.hypot(across / b, up / c)
				sum += (((f - 1) * f) / Math.hypot(across / b ** 2, up / c ** 2)) ** 2
				count++
			}
		}
		return { corners: (size + 1) ** 2, rms: Math.sqrt(sum / count) }
	})
	return errors.map(({ corners, rms }, i) =>
		atMost(
			`compound.scan.section.${['2k', '25k', '200k'][i]}`,
			rms,
			'mm',
			i === 0 ? 0.06 : (errors[i - 1]?.rms ?? 0),
			`rms to the ellipse, ${corners} points with 0.05 mm noise; no worse than the coarser one`,
		),
	)
}
