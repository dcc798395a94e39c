import type { SpacePoint } from '../chart/point.ts'
import { type GridAxis, gridSpline } from '../numeric/gridSpline.ts'
import { acrossParameters, type LengthMap } from './acrossParameters.ts'
import { type AlongBlend, alongBlend } from './alongBlend.ts'
import { type SectionCurve, type SectionReadings, sectionCurves } from './sectionCurve.ts'
import type { Surface, SurfaceJet } from './surface.ts'

/** A section and where its plane stands. */
export interface LoftSection extends SectionReadings {
	/** along the panel, mm, increasing from section to section */
	readonly u: number
	/** place in the panel's frame (x along, y across, z outward) of a place in the section's plane; affine */
	place(across: number, down: number): SpacePoint
}

export interface LoftOptions {
	/** the gauge's uncertainty of one reading, mm */
	readonly sd: number
	/** the sections go once round and the first follows the last again */
	readonly periodU?: number
	/** what sections may be left by where they are smooth along the panel already, mm; a share of `sd` where not said */
	readonly mayLeaveMm?: number
}

export interface Strip {
	readonly v: GridAxis
	readonly at: readonly Float64Array[]
}

export interface Loft {
	/** u as the sections', v the mean length across from across = 0, mm */
	readonly surface: Surface
	readonly sections: readonly LoftSection[]
	readonly curves: readonly SectionCurve[]
	readonly blend: AlongBlend
	/** v of the ends and the creases, and the map from v to a section's own length */
	readonly across: LengthMap
	/** between two creases or ends: the grid across, and every section's places there (triples) */
	readonly strips: readonly Strip[]
	/** rms of what the readings are left by along their own sections, mm */
	readonly rms: number
	/** effective parameters over readings, of the sections along themselves */
	readonly shareAcross: number
	/** and of the whole skin: how much of the square of a reading's own error its place keeps */
	readonly share: number
}

/** What the sections are left by in turn, in the gauge's uncertainty; with what the readings were left by: 0.46. */
const AIM_ALONG = 0.35
/** Spacing of the loft's own grid, mm: quintic pieces of 9 mm follow a shoulder bent at 15 mm to 1e-3 mm. */
const ACROSS_MM = 9
/** Pieces between two neighbouring sections, which are never as close as readings within one. */
const PER_GAP = 3
const MOST_ALONG = 160
/** The skin runs on past its ends with a bend that fades over this length, mm: it never curls up. */
const FADE_MM = 60

/**
 * A smooth skin over gauge sections: each smoothed along itself, then blended along the panel at equal shares of their lengths.
 * Four times continuously differentiable except across creases, where it only meets. Past its ends it runs on smoothly.
 * Needs three sections or more (a programmer's error else).
 */
export function loft(sections: readonly LoftSection[], options: LoftOptions): Loft {
	const { curves, rms, share } = sectionCurves(sections, options.sd)
	const us = sections.map((s) => s.u)
	const across = acrossParameters(us, curves, options.periodU)
	const strips = across.breaks.slice(1).map((to, piece) => {
		const from = across.breaks[piece] as number
		const count = Math.max(8, Math.ceil((to - from) / ACROSS_MM) + 1)
		const v: GridAxis = { from, step: (to - from) / (count - 1), count, fade: FADE_MM }
		return { v, at: samples(sections, curves, across, piece, v) }
	})
	const mayLeave = options.mayLeaveMm ?? AIM_ALONG * options.sd
	const blend = alongBlend(us, options.periodU, (at) => leftBy(at, strips) <= mayLeave)
	const u = alongAxis(us, options.periodU)
	const weights = Array.from({ length: u.count }, (_, i) => blend.weights(u.from + i * u.step))
	const skins = strips.map(({ v, at }) => {
		const width = 3 * v.count
		const values = new Float64Array(u.count * width)
		for (let i = 0; i < u.count; i++) {
			const w = weights[i] as Float64Array
			for (let k = 0; k < sections.length; k++) {
				const share = w[k] as number
				const section = at[k] as Float64Array
				for (let m = 0; m < width; m++) values[i * width + m] = (values[i * width + m] as number) + share * (section[m] as number)
			}
		}
		return gridSpline(u, v, values, 3)
	})
	const { breaks } = across
	const out = new Float64Array(18)
	const write = (pu: number, pv: number, side: number, into: Float64Array) => {
		let piece = 0
		while (piece + 1 < skins.length && side >= (breaks[piece + 1] as number)) piece++
		;(skins[piece] as (typeof skins)[number]).jet(pu, pv, into)
	}
	const surface: Surface = {
		uMin: us[0] as number,
		uMax: options.periodU === undefined ? (us[us.length - 1] as number) : (us[0] as number) + options.periodU,
		vMin: breaks[0] as number,
		vMax: breaks[breaks.length - 1] as number,
		...(options.periodU === undefined ? {} : { periodU: options.periodU }),
		...(breaks.length > 2 ? { creases: breaks.slice(1, -1) } : {}),
		write,
		jet(pu, pv, side = pv): SurfaceJet {
			write(pu, pv, side, out)
			return {
				x: point(0),
				xu: point(1),
				xv: point(2),
				xuu: point(3),
				xuv: point(4),
				xvv: point(5),
			}
		},
	}
	const point = (d: number) => ({ x: out[d] as number, y: out[6 + d] as number, z: out[12 + d] as number })
	return { surface, sections, curves, blend, across, strips, rms, shareAcross: share, share: share * blend.share }
}

/** Places of every section at the grid's v, in space: triples. */
export function samples(
	sections: readonly LoftSection[],
	curves: readonly SectionCurve[],
	across: LengthMap,
	piece: number,
	v: GridAxis,
): Float64Array[] {
	return sections.map((section, i) => {
		const list = new Float64Array(3 * v.count)
		for (let k = 0; k < v.count; k++) {
			const [x, d] = (curves[i] as SectionCurve).at(piece, across.lengthAt(i, piece, v.from + k * v.step))
			const p = section.place(x, d)
			list[3 * k] = p.x
			list[3 * k + 1] = p.y
			list[3 * k + 2] = p.z
		}
		return list
	})
}

/** rms by which a blend leaves the sections, mm, square to them: a shift along a section is no change of shape. */
function leftBy(blend: readonly Float64Array[], strips: readonly Strip[]): number {
	let sum = 0
	let count = 0
	const d = new Float64Array(3)
	const t = new Float64Array(3)
	for (const { v, at } of strips) {
		blend.forEach((weights, i) => {
			const own = at[i] as Float64Array
			for (let k = 1; k + 1 < v.count; k += 2) {
				let along = 0
				let length = 0
				let square = 0
				for (let c = 0; c < 3; c++) {
					d[c] = -(own[3 * k + c] as number)
					for (let m = 0; m < weights.length; m++)
						d[c] = (d[c] as number) + (weights[m] as number) * ((at[m] as Float64Array)[3 * k + c] as number)
					t[c] = (own[3 * k + 3 + c] as number) - (own[3 * k - 3 + c] as number)
					along += (d[c] as number) * (t[c] as number)
					length += (t[c] as number) ** 2
					square += (d[c] as number) ** 2
				}
				sum += Math.max(0, square - (along * along) / length)
				count++
			}
		})
	}
	return Math.sqrt(sum / count)
}

function alongAxis(us: readonly number[], periodU: number | undefined): GridAxis {
	const from = us[0] as number
	const gaps = us.slice(1).map((x, i) => x - (us[i] as number))
	if (periodU !== undefined) gaps.push(from + periodU - (us[us.length - 1] as number))
	const length = gaps.reduce((a, b) => a + b, 0)
	const pieces = Math.min(MOST_ALONG, Math.max(8, Math.ceil((PER_GAP * length) / Math.min(...gaps))))
	return periodU === undefined
		? { from, step: length / pieces, count: pieces + 1, fade: FADE_MM }
		: { from, step: length / pieces, count: pieces, periodic: true }
}
