import type { Surface } from './surface.ts'
import { derivative, dot, forms, rungeKutta, STATE } from './surfaceStep.ts'

/** A straightest path as it goes over a crease: the states (u, v, u', v', j, j') just before and after it. */
export interface CreasePassed {
	/** index of the crease */
	readonly crease: number
	/** share of the step up to it */
	readonly share: number
	readonly before: Float64Array
	readonly after: Float64Array
	/** v on the side that it comes from, and on the side it goes to */
	readonly sideBefore: number
	readonly sideAfter: number
}

/** How near to a crease a step that ends on it must come, in v, mm. */
const ON_CREASE = 1e-9
/** A place beside a crease that names one of its sides, in v, mm. */
const BESIDE = 1e-6
/** Regula falsi on a step that is nearly straight. */
const MAX_TRIES = 40
/** More creases than a step of a few mm can meet: a path that runs along one. */
const MOST_PASSED = 8

/** A step that may go over creases: up to each, turned over it, and on. */
export function stepOverCreases(
	surface: Surface,
	y: Float64Array,
	step: number,
	onCrease?: (passed: CreasePassed) => void,
): void {
	const creases = surface.creases ?? []
	let left = step
	let done = 0
	let side = y[1] as number
	for (let passed = 0; passed <= MOST_PASSED; passed++) {
		const from = y.slice()
		rungeKutta(surface, y, left, side)
		const [v0, v1] = [from[1] as number, y[1] as number]
		// The first crease in the way; one that the step starts on lies on neither side of it.
		let crease = -1
		creases.forEach((c, i) => {
			if ((side - c) * (v1 - c) >= 0) return
			if (crease < 0 || Math.abs(c - v0) < Math.abs((creases[crease] as number) - v0)) crease = i
		})
		if (crease < 0) return
		const share = upTo(surface, from, left, side, creases[crease] as number, y)
		const c = creases[crease] as number
		const sideAfter = c + (side < c ? BESIDE : -BESIDE)
		const before = y.slice()
		turnOver(surface, y, side, sideAfter, Math.sign(step))
		y[1] = c
		done += share * left
		onCrease?.({ crease, share: done / step, before, after: y.slice(), sideBefore: side, sideAfter })
		left -= share * left
		side = sideAfter
	}
}

/** Walks onto the crease; returns the share of the step that it takes. */
function upTo(surface: Surface, from: Float64Array, step: number, side: number, c: number, y: Float64Array): number {
	let [a, fa, b, fb] = [0, (from[1] as number) - c, 1, (y[1] as number) - c]
	let t = 1
	for (let i = 0; i < MAX_TRIES; i++) {
		t = (a * fb - b * fa) / (fb - fa)
		if (!(t > a && t < b)) t = (a + b) / 2
		y.set(from)
		rungeKutta(surface, y, t * step, side)
		const f = (y[1] as number) - c
		if (Math.abs(f) < ON_CREASE) break
		// Illinois: the end that stays counts half, so that both ends come in (Dowell & Jarratt, BIT 11, 1971).
		if (f > 0 === fa > 0) {
			a = t
			fa = f
			fb /= 2
		} else {
			b = t
			fb = f
			fa /= 2
		}
	}
	return t
}

/**
 * The path goes on straight where both sides are laid flat together: it keeps its angle with the crease. Neighbouring paths
 * are turned by the curvature that lies in the crease, per length of it the difference of its in-surface curvatures on both
 * sides (Gauss-Bonnet on a strip about it): j' changes by that times j over the sine of the angle.
 */
function turnOver(surface: Surface, y: Float64Array, sideBefore: number, sideAfter: number, way: number): void {
	const [u, v, du, dv] = y as unknown as [number, number, number, number]
	const before = surface.jet(u, v, sideBefore)
	const after = surface.jet(u, v, sideAfter)
	const [p, q] = [forms(before), forms(after)]
	const cos = (p.e * du + p.f * dv) / Math.sqrt(p.e)
	// Across the crease towards +v: square to it in the skin.
	const sin = dv * Math.sqrt(p.det / p.e)
	const nv = Math.sqrt(q.e / q.det)
	y[2] = cos / Math.sqrt(q.e) - (sin * nv * q.f) / q.e
	y[3] = sin * nv
	const bend = ({ e, f, det }: typeof p, jet: typeof before) =>
		(e * dot(jet.xuu, jet.xv) - f * dot(jet.xuu, jet.xu)) / (Math.sqrt(det) * e ** 1.5)
	const density = (bend(q, after) - bend(p, before)) * (sideAfter > sideBefore ? 1 : -1)
	y[5] = (y[5] as number) - (way * density * (y[4] as number)) / Math.max(1e-6, Math.abs(sin))
}

/** How a path's rate and bend in space, and those of j, change over a crease: by length along the walk. */
export function jumpsOver(surface: Surface, { before, after, sideBefore, sideAfter }: CreasePassed, way: number) {
	const [a, b] = [rates(surface, before, sideBefore), rates(surface, after, sideAfter)]
	return {
		j: [way * ((after[5] as number) - (before[5] as number)), b.jj - a.jj] as const,
		rate: [0, 1, 2].map((c) => way * ((b.rate[c] as number) - (a.rate[c] as number))),
		bend: [0, 1, 2].map((c) => (b.bend[c] as number) - (a.bend[c] as number)),
	}
}

function rates(surface: Surface, y: Float64Array, side: number) {
	const out = new Float64Array(STATE)
	derivative(surface, y, out, side)
	const [du, dv] = [y[2] as number, y[3] as number]
	const { xu, xv, xuu, xuv, xvv } = surface.jet(y[0] as number, y[1] as number, side)
	const of = (k: 'x' | 'y' | 'z') => ({
		rate: xu[k] * du + xv[k] * dv,
		bend: xuu[k] * du * du + 2 * xuv[k] * du * dv + xvv[k] * dv * dv + xu[k] * (out[2] as number) + xv[k] * (out[3] as number),
	})
	const all = [of('x'), of('y'), of('z')]
	return { rate: all.map((a) => a.rate), bend: all.map((a) => a.bend), jj: out[5] as number }
}
