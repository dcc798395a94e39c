import geodesic from 'geographiclib-geodesic'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { tapedChart } from '../../src/panel/taped/chart.ts'
import { tapedFit } from '../../src/panel/taped/fit.ts'
import { apart } from '../panel/apart.ts'
import { capture, readRows, trueRows } from '../panel/tapedReadings.ts'

// A tank-like ellipsoid of revolution, 150 mm at the equator, 220 mm to the poles, measured along a meridian. J off a meridian is
// GeographicLib's geodesic scale M12 (the npm package: good to 7e-5 mm at these proportions).
const { Geodesic } = geodesic as unknown as {
	Geodesic: {
		Geodesic: new (
			a: number,
			f: number,
		) => {
			Direct(lat: number, lon: number, azi: number, s: number, mask?: number): { lat2?: number; M12?: number }
		}
		GEODESICSCALE: number
		LATITUDE: number
	}
}
const solid = new Geodesic.Geodesic(150, (150 - 220) / 150)
const feet = new Map<number, number>()
function latitude(s: number): number {
	const known = feet.get(s)
	if (known !== undefined) return known
	const found = solid.Direct(0, 0, s < 0 ? 180 : 0, Math.abs(s), Geodesic.LATITUDE).lat2 as number
	feet.set(s, found)
	return found
}
const scale = (s: number, g: number) => solid.Direct(latitude(s), 0, 90, g, Geodesic.GEODESICSCALE).M12 as number
const H = 0.01
const truth = (s: number, g: number) => ({ j: scale(s, g), jg: (scale(s, g + H) - scale(s, g - H)) / (2 * H) })

const laying = { stations: [-180, -120, -60, 0, 60, 120, 180], girths: [30, 60, 90, 120] }
const exactOne = trueRows(scale, laying)
const exactTwo = trueRows(scale, { ...laying, sides: ['left', 'right'] })
/** Before rounding to half a millimetre, so that a reading is known to 0.5 mm in all (rounding adds 0.5 / sqrt 12). */
const NOISE = Math.sqrt(0.5 ** 2 - 0.5 ** 2 / 12)

type Metric = (s: number, g: number) => { readonly j: number; readonly jg: number }

/** A guide of 150 mm along a girth on paper, by its own length and curvature -J_g/J: steps of 2 mm. */
function guide(metric: Metric, from: number, g: number): [number, number][] {
	const points: [number, number][] = [[0, 0]]
	let [s, x, y, angle] = [from, 0, 0, 0]
	for (let i = 0; i < 75; i++) {
		const { j, jg } = metric(s + 1 / metric(s, g).j, g)
		const turn = (-2 * jg) / j
		x += 2 * Math.cos(angle + turn / 2)
		y += 2 * Math.sin(angle + turn / 2)
		angle += turn
		s += 2 / j
		points.push([x, y])
	}
	return points
}

/** Shoulder lines, fore, middle and aft. */
const LINES = [
	[-160, 80],
	[-80, 80],
	[0, 80],
] as const
const trueGuides = LINES.map(([from, g]) => guide(truth, from, g))
const endOff = (p: readonly [number, number][], q: readonly [number, number][]) => {
	const [a, b] = [p.at(-1), q.at(-1)] as [[number, number], [number, number]]
	return Math.hypot(a[0] - b[0], a[1] - b[1])
}

function study(seeds: number, tiltDeg: number, both: boolean) {
	const over: number[] = []
	const end: number[] = []
	for (let seed = 1; seed <= seeds; seed++) {
		const rows = readRows(both ? exactTwo : exactOne, { ...laying, noise: NOISE, tiltDeg, seed })
		const chart = tapedChart(panelFrame('tank', 'centre'), capture(laying, rows), '', { centred: true }).value as Chart
		LINES.forEach(([from, g], i) => {
			const made = guide(chart.metric, from, g)
			over.push(apart(made, trueGuides[i] as [number, number][]))
			end.push(endOff(made, trueGuides[i] as [number, number][]))
		})
	}
	const at = (list: number[], share: number) => list.sort((a, b) => a - b)[Math.floor(share * (list.length - 1))] as number
	return { typical: at(over, 0.5), most: at(over, 1), endTypical: at(end, 0.5), end95: at(end, 0.95) }
}

// A guide is laid on the pencilled dots of its strips, so what counts is how far it lies off once it is laid as well as it goes; how far its
// end swings out from a common start is told beside it.
describe('shoulder guides of 150 mm on an ellipsoid known from a tape alone, readings known to 0.5 mm', () => {
	test('drawn flat: ends 20 mm out and more, 3 mm off when laid as well as they go', () => {
		for (const line of trueGuides) {
			const flat = line.map((_, i): [number, number] => [2 * i, 0])
			expect(endOff(flat, line)).toBeGreaterThan(20)
			expect(apart(flat, line)).toBeGreaterThan(3)
		}
	})
	for (const [name, seeds, tiltDeg, both, end, end95] of [
		['both sides laid, lines square', 60, 0, true, 0.6, 1.5],
		['both sides laid, lines squared to half a degree', 60, 0.5, true, 0.8, 2.2],
		['one side laid, lines squared to half a degree', 100, 0.5, false, 1, 3.2],
	] as const) {
		test(`${name}, ${seeds} seeds: within 0.6 mm, at most 1.5`, () => {
			const found = study(seeds, tiltDeg, both)
			expect(found.typical).toBeLessThan(0.6)
			expect(found.most).toBeLessThan(1.5)
			expect(found.endTypical).toBeLessThan(end)
			expect(found.end95).toBeLessThan(end95)
		})
	}
})

test('stated uncertainty of curvature is what it is: rms of error over stated, 60 seeds', () => {
	const places = [-130, -60, 0, 60, 130].flatMap((s) => [40, 80, 120].map((g) => ({ s, g })))
	/** mean of J_g / J over 100 mm of station */
	const mean = (metric: Metric, { s, g }: (typeof places)[number]) => {
		let k = 0
		for (let i = 0; i < 10; i++) {
			const { j, jg } = metric(s - 45 + 10 * i, g)
			k += jg / j / 10
		}
		return k
	}
	const exact = places.map((p) => mean(truth, p))
	let sum = 0
	for (let seed = 1; seed <= 60; seed++) {
		const rows = readRows(exactOne, { ...laying, noise: NOISE, tiltDeg: 0.5, seed })
		const fit = tapedFit(capture(laying, rows), '', { centred: true }).value
		if (!fit) throw new Error('no fit')
		places.forEach((p, i) => {
			sum += ((mean(fit.estimate.field.jet, p) - (exact[i] as number)) / fit.curvatureSdAt(p)) ** 2
			expect(fit.curvatureSdAt(p)).toBeLessThanOrEqual(fit.uncertainty.curvatureSd * 1.1)
		})
	}
	const ratio = Math.sqrt(sum / (60 * places.length))
	expect(ratio).toBeGreaterThan(0.7)
	expect(ratio).toBeLessThan(1.3)
})
