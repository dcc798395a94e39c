/** A flat lid with a straight coach line on both sides of its centreline: what is measured on it can be told by hand. */
import { type ComputeOptions, compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'

interface LidOptions {
	readonly unit?: 'mm' | 'in'
	/** girths of the four marks on the right; on the left they are 80 mm */
	readonly right?: readonly number[]
	readonly checks?: readonly object[]
	readonly proof?: readonly object[]
}

/** The line runs 80 mm off the centreline from station 0 to 450; its band reaches from there to 88 mm. */
export function lidJob({ unit = 'mm', right = [80, 80, 80, 80], checks, proof }: LidOptions = {}): string {
	const mm = (x: number) => `${x} mm`
	const readings = (['left', 'right'] as const).flatMap((side) =>
		right.map((girth, i) => ({
			...{ kind: 'square', mark: `m${i + 1}`, station: mm(150 * i), girth: mm(side === 'left' ? 80 : girth), side },
		})),
	)
	return JSON.stringify({
		...{ format: 1, title: 'Lid', unit, paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }] },
		panels: [
			{
				...{ id: 'lid', title: 'Lid', hand: 'centre', found: { kind: 'flat' }, datums: [{ id: 'nose', station: 0 }], readings },
				edges: [{ id: 'line', through: ['m1', 'm2', 'm3', 'm4'] }],
				stripes: [{ id: 'coach', what: 'coach line', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: mm(8) }] }],
				...(checks ? { checks } : {}),
				...(proof ? { proof } : {}),
			},
		],
	})
}

export function lid(options: LidOptions = {}, compute_: ComputeOptions = { until: 'stations' }): Result {
	const { value, problems } = loadJob(lidJob(options))
	if (!value) throw new Error(JSON.stringify(problems))
	return compute(value.job, defaultShop(), compute_)
}
