import type { Panel } from '../../src/job/schema.ts'

/** Evenly spread numbers of [0, 1) from a seed (mulberry32, public domain). */
export function random(seed: number): () => number {
	let a = seed >>> 0
	return () => {
		a = (a + 0x6d2b79f5) >>> 0
		let t = Math.imul(a ^ (a >>> 15), a | 1)
		t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296
	}
}

/** Normal numbers with mean 0 and sd 1 (Box & Muller 1958). */
export function normal(seed: number): () => number {
	const next = random(seed)
	return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
}

export type Places = Readonly<Record<string, { readonly s: number; readonly g: number }>>

/** The readings of a panel with the numbers they should have, each off by what `by` says for its place and what it is. */
export function readAs(
	panel: Panel,
	places: Places,
	by: (index: number, what: 'station' | 'girth' | 'length') => number,
	lengthOf: (p: { s: number; g: number }, q: { s: number; g: number }) => number = (p, q) => Math.hypot(p.s - q.s, p.g - q.g),
): Panel {
	const readings = panel.readings.map((reading, index) => {
		if (reading.kind === 'square') {
			const at = places[reading.mark]!
			return { ...reading, station: at.s + by(index, 'station'), girth: Math.abs(at.g) + by(index, 'girth') }
		}
		if (reading.kind !== 'tape') return reading
		return { ...reading, length: lengthOf(places[reading.from]!, places[reading.to]!) + by(index, 'length') }
	})
	return { ...panel, readings }
}
