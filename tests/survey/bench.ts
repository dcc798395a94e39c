import type { Chart } from '../../src/chart/chart.ts'
import type { Problem } from '../../src/job/problem.ts'
import { jobSchema, type Panel } from '../../src/job/schema.ts'
import { locateMarks } from '../../src/survey/locate.ts'

/** A flat panel about a straight baseline, by hand. */
export function flatChart(limits: Partial<Pick<Chart, 'sMin' | 'sMax' | 'gMin' | 'gMax'>> = {}): Chart {
	return {
		id: 'flat',
		sMin: -5000,
		sMax: 5000,
		gMin: () => -5000,
		gMax: () => 5000,
		limitReason: 'the panel ends there',
		orientation: 1,
		euclidean: true,
		developable: true,
		metric: () => ({ j: 1, jg: 0, js: 0, k: 0 }),
		girthIntegral: (_, g) => g,
		baselineCurvature: () => 0,
		embed: ({ s, g }) => ({ x: s, y: g, z: 0 }),
		errorMm: 0,
		curvatureSd: 0,
		...limits,
	}
}

/** A sphere about a great circle: J = cos(g / R). */
export function sphereChart(radius: number): Chart {
	return {
		id: 'sphere',
		sMin: -radius,
		sMax: radius * 3,
		gMin: () => -radius,
		gMax: () => radius,
		limitReason: 'the panel ends there',
		orientation: 1,
		euclidean: false,
		developable: false,
		metric: (_, g) => ({
			j: Math.cos(g / radius),
			jg: -Math.sin(g / radius) / radius,
			js: 0,
			k: 1 / radius ** 2,
		}),
		girthIntegral: (_, g) => radius * Math.sin(g / radius),
		baselineCurvature: () => 0,
		embed: ({ s, g }) => ({
			x: radius * Math.sin(s / radius) * Math.cos(g / radius),
			y: radius * Math.sin(g / radius),
			z: radius * Math.cos(s / radius) * Math.cos(g / radius),
		}),
		errorMm: 0,
		curvatureSd: 0,
	}
}

/** Great-circle distance, closed form, independent of the charts' own. */
export function sphereDistance(radius: number, p: { s: number; g: number }, q: { s: number; g: number }): number {
	const h =
		Math.sin((p.g - q.g) / radius / 2) ** 2 +
		Math.cos(p.g / radius) * Math.cos(q.g / radius) * Math.sin((p.s - q.s) / radius / 2) ** 2
	return 2 * radius * Math.asin(Math.sqrt(h))
}

export interface BenchPanel {
	hand?: 'centre' | 'pair' | 'left' | 'right'
	datums?: object[]
	readings?: object[]
	edges?: object[]
	unit?: 'mm' | 'in'
}

/** A panel as the job's own schema reads it. */
export function panelOf({ hand = 'right', datums = [], readings = [], edges = [], unit = 'mm' }: BenchPanel): Panel {
	const job = jobSchema(unit).parse({
		format: 1,
		title: 'bench',
		unit,
		paints: [],
		panels: [{ id: 'cover', hand, found: { kind: 'flat' }, datums, readings, edges }],
	})
	return job.panels[0]!
}

export const instruments = [
	{ id: 'tape', sd: 0.5 },
	{ id: 'caliper', sd: 0.1 },
	{ id: 'steel-rule', sd: 0.3 },
]

/** Every problem that was raised in this file of tests, for the check of words. */
export const raised: Problem[] = []

export function locate(bench: BenchPanel, chart: Chart = flatChart()) {
	const panel = panelOf(bench)
	const outcome = locateMarks({ chart, panel, panelPath: '/panels/0', instruments, unit: bench.unit ?? 'mm' })
	raised.push(...outcome.problems)
	return { panel, survey: outcome.value!, problems: outcome.problems, codes: outcome.problems.map((p) => p.code) }
}
