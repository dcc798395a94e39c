import type { GirthGrid } from './girthLines.ts'
import type { Surface } from './surface.ts'

/** Bins a side: about as many as the grid has lines, so that a bin holds a few cells. */
const BINS = 32
/** A place must be nearer to the other foot by this share of a grid step: neighbours touch by rounding. */
const NEARER_SHARE = 0.25

/**
 * For each place of the grid 1 where girth lines from elsewhere on the baseline come to it sooner: the foot found for it is not
 * the nearest one. Its parameters lie in a cell of the grid that is not its own and has smaller girth.
 */
export function overlapped(surface: Surface, grid: GirthGrid): Uint8Array {
	const { stations, girths, zero, uv, followed } = grid
	const nearer = new Uint8Array(stations * girths)
	const wrap = surface.periodU ?? 0
	const u = (at: number) => {
		const x = uv[2 * at] as number
		return wrap > 0 ? x - Math.floor((x - surface.uMin) / wrap) * wrap : x
	}
	const v = (at: number) => uv[2 * at + 1] as number
	/** a difference of u the short way round */
	const apart = (du: number) => (wrap > 0 ? du - Math.round(du / wrap) * wrap : du)
	let [u0, u1, v0, v1] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
	for (let at = 0; at < followed.length; at++) {
		if (!followed[at]) continue
		u0 = Math.min(u0, u(at))
		u1 = Math.max(u1, u(at))
		v0 = Math.min(v0, v(at))
		v1 = Math.max(v1, v(at))
	}
	const binU = (x: number) => Math.min(BINS - 1, Math.max(0, Math.floor(((x - u0) / (u1 - u0)) * BINS)))
	const binV = (x: number) => Math.min(BINS - 1, Math.max(0, Math.floor(((x - v0) / (v1 - v0)) * BINS)))
	const bins: number[][] = Array.from({ length: BINS * BINS }, () => [])
	const corners = (cell: number) => [cell, cell + 1, cell + girths + 1, cell + girths] as const
	for (let i = 0; i + 1 < stations; i++) {
		for (let k = 0; k + 1 < girths; k++) {
			const cell = i * girths + k
			const four = corners(cell)
			if (four.some((at) => !followed[at])) continue
			const first = u(cell)
			const us = four.map((at) => first + apart(u(at) - first))
			const vs = four.map(v)
			const [ba, bb] = [binV(Math.min(...vs)), binV(Math.max(...vs))]
			// A cell across the joint of a closed ring lies at both of its ends.
			for (const turn of wrap > 0 ? [-wrap, 0, wrap] : [0]) {
				const [ua, ub] = [Math.min(...us) + turn, Math.max(...us) + turn]
				if (ub < u0 || ua > u1) continue
				for (let a = binU(ua); a <= binU(ub); a++) for (let b = ba; b <= bb; b++) (bins[a * BINS + b] as number[]).push(cell)
			}
		}
	}
	const isNearer = (i: number, k: number): boolean => {
		const at = i * girths + k
		const own = Math.abs(k - zero)
		const p = [u(at), v(at)] as const
		return (bins[binU(p[0]) * BINS + binV(p[1])] as number[]).some((cell) => {
			const [ci, ck] = [Math.floor(cell / girths), cell % girths]
			if (Math.abs(ci - i) <= 2 && Math.abs(ck - k) <= 2) return false
			const foot = Math.min(Math.abs(ck - zero), Math.abs(ck + 1 - zero)) + 0.5
			return (
				foot + NEARER_SHARE < own &&
				inside(
					p,
					corners(cell).map((c) => [p[0] + apart(u(c) - p[0]), v(c)] as const),
				)
			)
		})
	}
	// Lines that come to where others have been stay there to their ends: ends that meet nothing say so for all of them.
	let any = false
	for (let i = 0; i < stations && !any; i++) {
		let [low, high] = [zero, zero]
		while (low > 0 && followed[i * girths + low - 1]) low--
		while (high + 1 < girths && followed[i * girths + high + 1]) high++
		any = isNearer(i, low) || isNearer(i, high)
	}
	if (!any) return nearer
	for (let i = 0; i < stations; i++) {
		for (let k = 0; k < girths; k++) if (followed[i * girths + k] && isNearer(i, k)) nearer[i * girths + k] = 1
	}
	return nearer
}

/** Distance from an edge, as a share of its length, that is rounding. */
const ON_EDGE = 1e-9

type Pair = readonly [number, number]

/** Whether a point lies within a convex four-sided cell. */
function inside([x, y]: Pair, four: readonly Pair[]): boolean {
	let sign = 0
	for (let i = 0; i < 4; i++) {
		const [ax, ay] = four[i] as Pair
		const [bx, by] = four[(i + 1) % 4] as Pair
		const turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
		// On an edge by rounding: it belongs to both cells rather than to none.
		if (Math.abs(turn) <= ON_EDGE * ((bx - ax) ** 2 + (by - ay) ** 2)) continue
		if (sign === 0) sign = Math.sign(turn)
		else if (Math.sign(turn) !== sign) return false
	}
	return sign !== 0
}
