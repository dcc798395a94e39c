import { Geodesic } from 'geographiclib-geodesic'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import { instruments, panelOf, sphereChart } from '../survey/bench.ts'

/**
 * Lengths by GeographicLib (Karney, J. Geodesy 87, 2013) on a sphere and a nearly round ellipsoid of the size of a tank: what its
 * Inverse says between two places is given as a tape reading, and the marks must come to lie where its Direct put them.
 * Fermi coordinates about the equator: station along it, girth along the meridian.
 */
const R = 150

/** About the equator of an ellipsoid of revolution meridians are girth lines: J is the radius of the parallel over that of the equator. */
function ellipsoid(f: number) {
	const geod = new Geodesic.Geodesic(R, f)
	const table = (g: number) => (geod.Direct(0, 0, 0, g, Geodesic.STANDARD).lat2 ?? 0) * (Math.PI / 180)
	const radius = (g: number) => {
		const e2 = f * (2 - f)
		const lat = table(g)
		return Math.cos(lat) / Math.sqrt(1 - e2 * Math.sin(lat) ** 2)
	}
	const e2 = f * (2 - f)
	const chart: Chart = {
		...sphereChart(R),
		embed: undefined,
		metric: (_, g) => {
			const lat = table(g)
			// the meridian's slope: dr/dg = -sin(latitude); Gaussian curvature 1 / (M N)
			const w2 = 1 - e2 * Math.sin(lat) ** 2
			return { j: radius(g), jg: -Math.sin(lat) / R, js: 0, k: w2 ** 2 / (R * R * (1 - e2)) }
		},
	}
	return { geod, chart }
}

const datums = { a: { s: 0, g: 0 }, b: { s: 200, g: -20 }, c: { s: 60, g: 90 } }
const marks = { m0: { s: 40, g: 30 }, m1: { s: 110, g: 55 }, m2: { s: 150, g: -40 }, m3: { s: 90, g: -15 } }

describe('tape readings by GeographicLib', () => {
	for (const [name, f] of [
		['a sphere', 0],
		['an ellipsoid, 1/30 flatter', 1 / 30],
		['an ellipsoid, 1/25 taller', -1 / 25],
	] as const) {
		test(`marks on ${name} come to lie where they were`, () => {
			const { geod, chart } = ellipsoid(f)
			const place = ({ s, g }: { s: number; g: number }) => geod.Direct(0, (s / R) * (180 / Math.PI), 0, g, Geodesic.STANDARD)
			const apart = (p: { s: number; g: number }, q: { s: number; g: number }) => {
				const [a, b] = [place(p), place(q)]
				return geod.Inverse(a.lat2!, a.lon2!, b.lat2!, b.lon2!, Geodesic.STANDARD).s12!
			}
			const keys = Object.keys(marks) as (keyof typeof marks)[]
			const panel = panelOf({
				datums: Object.entries(datums).map(([id, { s, g }]) => ({
					...{ id, station: s, girth: Math.abs(g) },
					...(g === 0 ? {} : { side: g < 0 ? 'below' : 'above' }),
				})),
				readings: [
					...keys.flatMap((key) =>
						Object.entries(datums).map(([from, p]) => ({ kind: 'tape', from, to: key, length: apart(p, marks[key]) })),
					),
					...keys
						.slice(1)
						.map((key, i) => ({ kind: 'tape', from: keys[i], to: key, length: apart(marks[keys[i]!], marks[key]) })),
				],
			})
			const { value: survey, problems } = locateMarks({ chart, panel, panelPath: '/panels/0', instruments })
			expect(problems).toEqual([])
			expect(survey!.closure.sumSquares).toBeLessThan(1e-6)
			for (const key of keys) {
				const { at } = survey!.marks[key]!
				expect(Math.hypot(at.s - marks[key].s, at.g - marks[key].g), key).toBeLessThan(1e-3)
			}
		})
	}
})
