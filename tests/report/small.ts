/** Small whole jobs, worked out. */
import { compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job, JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

const square = (mark: string, station: number, girth: number, side: 'left' | 'right' | 'above' | 'below', more: object = {}) => ({
	kind: 'square' as const,
	mark,
	station,
	girth,
	side,
	...more,
})

const paints = [
	{ id: 'green', name: 'Lake green', colour: '#1f6b4f' },
	{ id: 'cream', name: 'Cream', colour: '#f3e9cf' },
]

/** A flat pair with a coach line between two colours. */
export const COVERS: JobInput = {
	format: 1,
	title: 'Small covers',
	unit: 'mm',
	paints,
	panels: [
		{
			id: 'cover',
			title: 'Side cover',
			hand: 'pair',
			found: { kind: 'flat' },
			datums: [
				{ id: 'front', station: 0 },
				{ id: 'rear', station: 180 },
			],
			outline: {
				points: [
					{ station: -20, girth: 60, side: 'above' },
					{ station: 200, girth: 40, side: 'above' },
					{ station: 200, girth: 35, side: 'below' },
					{ station: -20, girth: 50, side: 'below' },
				],
			},
			holes: [{ id: 'stud', station: 90, girth: 20, side: 'below', diameter: 8 }],
			readings: (['left', 'right'] as const).flatMap((panel) => [
				square('c1', -10, 20, 'above', { panel }),
				square('c2', 80, 27.5, 'above', { panel }),
				square('c3', 190, 10, 'above', { panel }),
				{ kind: 'tape' as const, from: 'rear', to: 'c3', length: 14.5, panel },
			]),
			edges: [{ id: 'sweep', through: ['c1', 'c2', 'c3'], front: 'runs-off', rear: 'runs-off' }],
			stripes: [{ id: 'coach', what: 'coach line', edge: 'sweep', lay: 'centred', bands: [{ paint: 'cream', width: 3 }] }],
			fields: [
				{ id: 'upper', paint: 'cream', between: ['sweep', 'outline'], seed: { station: 80, girth: 40, side: 'above' } },
				{ id: 'lower', paint: 'green', between: ['sweep', 'outline'], seed: { station: 80, girth: 30, side: 'below' } },
			],
			strips: { stations: [80] },
		},
	],
}

/** A mudguard, bent both ways, with a coach line on each side of its centreline. */
export const GUARD: JobInput = {
	format: 1,
	title: 'Small guard',
	unit: 'mm',
	paints,
	panels: [
		{
			id: 'guard',
			title: 'Front mudguard',
			hand: 'centre',
			found: { kind: 'revolved', crown: { radius: 310 }, profile: { radius: 62 }, length: 260, front: -10 },
			datums: [
				{ id: 'front', station: 0 },
				{ id: 'stay', station: 200 },
			],
			baseline: { from: 'front', to: 'stay', interruptions: [{ from: 150, to: 170, what: 'the badge' }] },
			readings: (['left', 'right'] as const).flatMap((side) => [
				square('m1', 20, 30, side),
				square('m2', 120, 40, side),
				square('m3', 220, 34, side),
			]),
			edges: [{ id: 'line', through: ['m1', 'm2', 'm3'] }],
			stripes: [{ id: 'coach', what: 'coach line', edge: 'line', lay: 'centred', bands: [{ paint: 'green', width: 3 }] }],
			strips: { stations: [20, 120] },
		},
	],
}

export function jobOf(input: JobInput): Job {
	const { value, problems } = loadJob(JSON.stringify(input))
	if (!value) throw new Error(JSON.stringify(problems, null, 1))
	return value.job
}

export const resultOf = (input: JobInput): Result => compute(jobOf(input), defaultShop(), { version: '0.0.0' })
