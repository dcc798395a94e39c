import { type TapedCapture, tapedSchema } from '../../src/job/tapedSchema.ts'
import { gaussLegendre } from '../../src/numeric/quadrature.ts'
import { deviates } from './tank.ts'

/** What a tape reads on panels whose J is known in closed form. */

/** J at a station and a girth; even in girth unless it says otherwise. */
export type Scale = (s: number, g: number) => number

/** About the outer equator of a torus: distance from the axis over that at the equator (do Carmo 4-4). */
export const torusScale =
	(ring: number, tube: number): Scale =>
	(_, g) =>
		(ring + tube * Math.cos(g / tube)) / (ring + tube)

/** About a great circle of a sphere. */
export const sphereScale =
	(radius: number): Scale =>
	(_, g) =>
		Math.cos(g / radius)

export interface Laying {
	readonly stations: readonly number[]
	readonly girths: readonly number[]
	/** sides that are laid; undefined for both alike */
	readonly sides?: readonly ('left' | 'right' | 'above' | 'below' | undefined)[]
	/** of one reading, mm, before it is rounded to half a millimetre; 0 leaves it as it is */
	readonly noise?: number
	/** of one struck line, degrees */
	readonly tiltDeg?: number
	readonly seed?: number
}

export type Row = { girth: number; side?: 'left' | 'right' | 'above' | 'below'; lengths: number[] }

const sign = (side: string | undefined) => (side === 'left' || side === 'below' ? -1 : 1)

/** The true lengths, row by row. */
export function trueRows(scale: Scale, { stations, girths, sides = [undefined] }: Laying): Row[] {
	return sides.flatMap((side) =>
		girths.map((girth) => ({
			...{ girth, ...(side ? { side } : {}) },
			lengths: stations.slice(1).map((to, i) => gaussLegendre((s) => scale(s, sign(side) * girth), stations[i] as number, to)),
		})),
	)
}

/** The same as read: a struck line that leans moves the ends of all lengths on it by girth times its tilt. */
export function readRows(rows: readonly Row[], { stations, noise = 0, tiltDeg = 0, seed = 1 }: Laying): Row[] {
	const next = deviates(seed)
	const tilts = new Map<string, number[]>()
	return rows.map((row) => {
		const side = row.side ?? ''
		const tilt = tilts.get(side) ?? stations.map(() => ((tiltDeg * Math.PI) / 180) * next())
		tilts.set(side, tilt)
		const read = (length: number, i: number) => {
			const off = noise * next() + row.girth * ((tilt[i + 1] as number) - (tilt[i] as number))
			return noise === 0 && tiltDeg === 0 ? length : Math.round(2 * (length + off)) / 2
		}
		return { ...row, lengths: row.lengths.map(read) }
	})
}

export const capture = (
	laying: Pick<Laying, 'stations'>,
	laid: readonly unknown[],
	more: Record<string, unknown> = {},
): TapedCapture => tapedSchema('mm').parse({ kind: 'taped', stations: laying.stations, laid, ...more })

export const laidOn = (scale: Scale, laying: Laying, more: Record<string, unknown> = {}): TapedCapture =>
	capture(laying, readRows(trueRows(scale, laying), laying), more)
