/** Gauge sections as they are typed, for a plot in true proportion: whatever of them can be read. */
import { readLength, type Unit } from '../units/length.ts'

/** Across and down, mm. */
export type Reading = readonly [across: number, down: number]

export interface PlottedSection {
	/** in order from left to right, a half mirrored */
	readonly points: readonly Reading[]
	/** which reading of the section each is, from 0, as the shape counts them; absent of what is only mirrored */
	readonly counted: readonly (number | undefined)[]
	/** how far its zero lies below the straight-edge, mm */
	readonly dropMm: number
	/** along the panel, mm; absent where it cannot be read */
	readonly alongMm?: number
}

type Entry = Readonly<Record<string, unknown>>

/** A section of the job file as written; readings that are half typed are passed over. Tracings have no points of their own. */
export function plottedSection(section: Entry, unit: Unit): PlottedSection {
	const along = lengthOf(section.along, unit)
	const at = { dropMm: lengthOf(section.drop ?? 0, unit) ?? 0, ...(along === undefined ? {} : { alongMm: along }) }
	const list = (key: string) => readingsOf(section[key], unit)
	if (section.left !== undefined || section.right !== undefined) {
		const left = list('left').map(({ point: [x, d] }) => [-Math.abs(x), d] as const)
		const right = list('right').map(({ point }) => point)
		// The centre that both halves begin with is one reading.
		const both = left[0]?.[0] === 0 && right[0]?.[0] === 0
		const points = [...(both ? left.slice(1) : left).toReversed(), ...right]
		return { points, counted: points.map((_, i) => i), ...at }
	}
	const own = list('points')
	if (section.half !== true) return { ...split(own), ...at }
	const mirrored = own
		.filter(({ point: [x] }) => x !== 0)
		.map(({ point: [x, d] }) => ({ point: [-x, d] as const, index: undefined }))
	return { ...split([...mirrored.toReversed(), ...own]), ...at }
}

const split = (readings: readonly { readonly point: Reading; readonly index: number | undefined }[]) => ({
	points: readings.map(({ point }) => point),
	counted: readings.map(({ index }) => index),
})

function readingsOf(value: unknown, unit: Unit) {
	return (Array.isArray(value) ? value : []).flatMap((pair: unknown, index) => {
		const [x, d] = Array.isArray(pair) ? pair.map((one) => lengthOf(one, unit)) : []
		return x === undefined || d === undefined ? [] : [{ point: [x, d] as const, index }]
	})
}

function lengthOf(value: unknown, unit: Unit): number | undefined {
	const answer = typeof value === 'number' || typeof value === 'string' ? readLength(value, unit) : undefined
	return answer?.ok ? answer.mm : undefined
}

/** A box round all sections, each at its drop: x across, y down, mm; undefined while there is nothing to see. */
export function boxRound(sections: readonly PlottedSection[]) {
	const all = sections.flatMap(({ points, dropMm }) => points.map(([x, d]) => [x, d + dropMm] as const))
	if (all.length === 0) return undefined
	const [xs, ys] = [all.map(([x]) => x), all.map(([, y]) => y)]
	return { minX: Math.min(...xs), maxX: Math.max(...xs), minY: Math.min(...ys), maxY: Math.max(...ys) }
}
