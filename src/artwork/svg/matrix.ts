import type { Cubic, PlanePoint } from '../../plane/point.ts'

/** x' = a x + c y + e, y' = b x + d y + f. */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number]

export const SAME: Matrix = [1, 0, 0, 1, 0, 0]

/** First `inner`, then `outer`. */
export const times = (outer: Matrix, inner: Matrix): Matrix => {
	const [a, b, c, d, e, f] = outer
	const [p, q, r, s, t, u] = inner
	return [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f]
}

export const apply = ([a, b, c, d, e, f]: Matrix, { x, y }: PlanePoint): PlanePoint => ({
	x: a * x + c * y + e,
	y: b * x + d * y + f,
})

export const applyToCubic = (m: Matrix, [p, q, r, s]: Cubic): Cubic => [apply(m, p), apply(m, q), apply(m, r), apply(m, s)]

/** How far it stretches at most, and at least: its singular values. */
export function stretches([a, b, c, d]: Matrix): { readonly most: number; readonly least: number } {
	const sum = Math.hypot(a + d, b - c) / 2
	const difference = Math.hypot(a - d, b + c) / 2
	return { most: sum + difference, least: Math.abs(sum - difference) }
}

const LIST = /([a-zA-Z]+)\s*\(([^()]*)\)/g
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?(deg|px)?$/
/** Longer is no transform that a drawing program writes; what is looked through backwards may take its square. */
const MOST_TEXT = 2000
const RAD = Math.PI / 180

/** A list of transforms (SVG 2, 8.5); undefined where it is none. */
export function readTransform(text: string): Matrix | undefined {
	if (text.trim() === 'none') return SAME
	if (text.length > MOST_TEXT) return undefined
	if (text.replace(LIST, '').replace(/[\s,]/g, '') !== '') return undefined
	let m = SAME
	for (const [, name, inside] of text.matchAll(LIST)) {
		const words = (inside as string).split(/[\s,]+/).filter(Boolean)
		if (!words.every((word) => NUMBER.test(word))) return undefined
		const one = single(name as string, words.map(Number.parseFloat))
		if (!one) return undefined
		m = times(m, one)
	}
	return m
}

function single(name: string, v: readonly number[]): Matrix | undefined {
	const [x = 0, y = 0, z = 0] = v
	if (name === 'matrix' && v.length === 6) return v as unknown as Matrix
	if (name === 'translate' && (v.length === 1 || v.length === 2)) return [1, 0, 0, 1, x, y]
	if (name === 'scale' && (v.length === 1 || v.length === 2)) return [x, 0, 0, v.length === 1 ? x : y, 0, 0]
	if (name === 'skewX' && v.length === 1) return [1, 0, Math.tan(x * RAD), 1, 0, 0]
	if (name === 'skewY' && v.length === 1) return [1, Math.tan(x * RAD), 0, 1, 0, 0]
	if (name !== 'rotate' || (v.length !== 1 && v.length !== 3)) return undefined
	const [cos, sin] = [Math.cos(x * RAD), Math.sin(x * RAD)]
	return times(times([1, 0, 0, 1, y, z], [cos, sin, -sin, cos, 0, 0]), [1, 0, 0, 1, -y, -z])
}
