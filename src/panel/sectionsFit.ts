import type { SpacePoint } from '../chart/point.ts'
import { alongBlend } from './alongBlend.ts'
import type { Loft } from './loft.ts'
import { cross, dot } from './surfaceStep.ts'

/** How well a panel's gauge sections determine its skin, mm. */
export interface SectionsFit {
	/** what the skin leaves the readings by, square to it: root mean square, and the reading that is left furthest */
	readonly rmsMm: number
	readonly worst: { readonly section: number; readonly reading: number; readonly mm: number }
	/** how far the skin through the others misses each section, rms; absent for the first and last, which nothing lies beyond */
	readonly without: readonly (number | undefined)[]
	/** where one more section would tell most: half-way between two, and by how much the skin may be out there */
	readonly oneMore: { readonly along: number; readonly mm: number }
	/** by how much the skin is out at the sections left out, were only every other one taken: what fewer sections cost */
	readonly everyOther: { readonly rmsMm: number; readonly worstMm: number } | undefined
}

/** An interpolating curve's error grows with the fourth power of the spacing at least (de Boor, A Practical Guide to Splines, ch. V, cubics). */
const ORDER = 4

/** What there is to say about the readings behind a skin; costs about as much as the skin itself. */
export function sectionsFit(skin: Loft): SectionsFit {
	const us = skin.sections.map((s) => s.u)
	const last = us.length - 1
	let sum = 0
	let count = 0
	let worst = { section: 0, reading: 0, mm: 0 }
	skin.sections.forEach((section, i) => {
		section.points.forEach(([x, d], reading) => {
			const mm = above(skin, section.place(x, d), section.u, vOf(skin, i, reading))
			sum += mm * mm
			count++
			if (Math.abs(mm) > Math.abs(worst.mm)) worst = { section: i, reading, mm }
		})
	})
	const without = us.map((_, i) => (i === 0 || i === last ? undefined : missedBy(skin, us, [i])?.rms))
	// What a section is missed by without itself says what the gap before and after it hide.
	const gaps = us.slice(1).map((b, i) => {
		const a = us[i] as number
		const seen = [i, i + 1].flatMap((k) => {
			const miss = without[k]
			const span = (us[k + 1] ?? Number.NaN) - (us[k - 1] ?? Number.NaN)
			return miss === undefined ? [] : [miss * ((b - a) / span) ** ORDER]
		})
		return { along: (a + b) / 2, mm: Math.max(0, ...seen) }
	})
	const left = us.flatMap((_, i) => (i % 2 === 1 && i < last ? [i] : []))
	const fewer = us.length - left.length >= 3 && left.length > 0 ? missedBy(skin, us, left) : undefined
	return {
		rmsMm: Math.sqrt(sum / count),
		worst,
		without,
		oneMore: gaps.reduce((a, b) => (b.mm > a.mm ? b : a)),
		everyOther: fewer && { rmsMm: fewer.rms, worstMm: fewer.worst },
	}
}

/** How far the skin through the other sections lies from those left out, square to it. */
function missedBy(
	{ strips, blend: { stiffness } }: Loft,
	us: readonly number[],
	left: readonly number[],
): { rms: number; worst: number } | undefined {
	const kept = us.flatMap((_, i) => (left.includes(i) ? [] : [i]))
	if (kept.length < 2) return undefined
	const blend = alongBlend(
		kept.map((i) => us[i] as number),
		undefined,
		stiffness,
	)
	let sum = 0
	let count = 0
	let worst = 0
	for (const i of left) {
		const weights = blend.weights(us[i] as number)
		for (const { v, at } of strips) {
			const of = (list: Float64Array, k: number) => ({
				x: list[3 * k] as number,
				y: list[3 * k + 1] as number,
				z: list[3 * k + 2] as number,
			})
			const own = at[i] as Float64Array
			for (let k = 1; k + 1 < v.count; k++) {
				let d: SpacePoint = { x: 0, y: 0, z: 0 }
				kept.forEach((m, n) => {
					const p = of(at[m] as Float64Array, k)
					const w = weights[n] as number
					d = { x: d.x + w * p.x, y: d.y + w * p.y, z: d.z + w * p.z }
				})
				d = minus(d, of(own, k))
				const across = minus(of(own, k + 1), of(own, k - 1))
				const [before, after] = [at[i - 1] ?? own, at[i + 1] ?? own]
				const n = cross(minus(of(after, k), of(before, k)), across)
				const mm = dot(d, n) / Math.sqrt(dot(n, n))
				sum += mm * mm
				count++
				worst = Math.max(worst, Math.abs(mm))
			}
		}
	}
	return { rms: Math.sqrt(sum / count), worst }
}

const minus = (a: SpacePoint, b: SpacePoint) => ({ x: a.x - b.x, y: a.y - b.y, z: a.z - b.z })

/** v of a reading on its own section: its share of the way between the strip's ends, to start from. */
function vOf(skin: Loft, i: number, reading: number): number {
	const curve = skin.curves[i]
	const index = curve?.pieces.findIndex((p) => reading < p.first + p.t.length) ?? 0
	const piece = curve?.pieces[index]
	const { breaks } = skin.across
	const [a, b] = [breaks[index] as number, breaks[index + 1] as number]
	if (!piece) return a
	const t = piece.t[reading - piece.first] as number
	return a + ((b - a) * t) / (piece.t[piece.t.length - 1] as number)
}

/** How far a place stands above the skin: its foot by Gauss-Newton from a start near it, within the strip of the start. */
function above(skin: Loft, p: SpacePoint, u0: number, v0: number): number {
	const { surface } = skin
	// A reading on a crease belongs to the strip before it.
	const side = v0 - 1e-6
	let [u, v] = [u0, v0]
	for (let i = 0; i < 12; i++) {
		const { x, xu, xv } = surface.jet(u, v, side)
		const d = minus(p, x)
		const [e, f, g, a, b] = [dot(xu, xu), dot(xu, xv), dot(xv, xv), dot(d, xu), dot(d, xv)]
		const [du, dv] = [(g * a - f * b) / (e * g - f * f), (e * b - f * a) / (e * g - f * f)]
		u += du
		v += dv
		if (Math.abs(du) + Math.abs(dv) < 1e-7) break
	}
	const { x, xu, xv } = surface.jet(u, v, side)
	const n = cross(xu, xv)
	return dot(minus(p, x), n) / Math.sqrt(dot(n, n))
}
