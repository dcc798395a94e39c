import type { Capture } from '../../src/job/schema.ts'
import type { Surface } from '../../src/panel/surface.ts'

/** A tank in closed form, 480 mm long and 260 mm wide: what the tests' gauge reads. No real one. */

export type Sections = Extract<Capture, { kind: 'sections' }>

export const LENGTH = 480

/** Across and down of a place: x along, a from -1 (left rim) to 1. */
export function tankPlace(x: number, a: number): readonly [number, number] {
	const t = x / LENGTH
	const wide = 130 * (0.62 + 0.38 * Math.sin(Math.PI * (0.15 + 0.6 * t)))
	const high = 95 * (0.75 + 0.25 * Math.sin(Math.PI * (0.1 + 0.7 * t)))
	const turn = 1.5 * a
	const across = wide * Math.sin(turn) * (1 + 0.06 * Math.cos(2 * turn))
	return [across, high * (1 - Math.cos(turn)) + 8 * Math.sin(turn) ** 4 + 40 * ((x - 200) / 280) ** 2]
}

/** Normal deviates from a seed from 1 to 100 000 (Park & Miller's generator, CACM 31, 1988; Box & Muller). */
export function deviates(seed: number): () => number {
	// Small seeds begin with small numbers: spread them, and pass over the first few.
	let state = seed * 20011
	const uniform = () => {
		state = (state * 48271) % 2147483647
		return state / 2147483647
	}
	for (let i = 0; i < 8; i++) uniform()
	return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
}

/** The tank as a gauge reads it, with noise square to the section. */
export function tank({ sections = 9, points = 17, noise = 0, sd = 0.1, seed = 1 } = {}): Sections {
	const next = deviates(seed)
	return {
		kind: 'sections',
		sd,
		front: 0,
		baseline: {},
		sections: Array.from({ length: sections }, (_, i) => {
			const along = (LENGTH * i) / (sections - 1)
			return {
				along,
				drop: 0,
				half: false,
				creases: [],
				points: Array.from({ length: points }, (_, k): [number, number] => {
					const a = -1 + (2 * k) / (points - 1)
					const [x, d] = tankPlace(along, a)
					const [before, after] = [tankPlace(along, a - 1e-4), tankPlace(along, a + 1e-4)]
					const [tx, td] = [after[0] - before[0], after[1] - before[1]]
					const off = (noise * next()) / Math.hypot(tx, td)
					return [x - off * td, d + off * tx]
				}),
			}
		}),
	}
}

/** How far a place (across, down) lies from a section of a skin at x, by chords of a tenth of a millimetre. */
export function offSkin(surface: Surface, x: number, [across, down]: readonly [number, number]): number {
	let best = Number.POSITIVE_INFINITY
	let a = surface.jet(x, surface.vMin - 1).x
	for (let v = surface.vMin - 0.9; v <= surface.vMax + 1; v += 0.1) {
		const b = surface.jet(x, v).x
		const [ey, ez, py, pz] = [b.y - a.y, b.z - a.z, across - a.y, -down - a.z]
		const t = Math.max(0, Math.min(1, (ey * py + ez * pz) / (ey * ey + ez * ez)))
		best = Math.min(best, Math.hypot(py - t * ey, pz - t * ez))
		a = b
	}
	return best
}
