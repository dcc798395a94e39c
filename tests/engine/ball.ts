/** Turns and products of vectors, for what is known of a ball by spherical trigonometry. */
export type Vector = readonly [number, number, number]

export const turnZ =
	(a: number) =>
	([x, y, z]: Vector): Vector => [x * Math.cos(a) - y * Math.sin(a), x * Math.sin(a) + y * Math.cos(a), z]
export const turnX =
	(a: number) =>
	([x, y, z]: Vector): Vector => [x, y * Math.cos(a) - z * Math.sin(a), y * Math.sin(a) + z * Math.cos(a)]
export const sum = (a: Vector, p: number, b: Vector, q: number): Vector => [
	a[0] * p + b[0] * q,
	a[1] * p + b[1] * q,
	a[2] * p + b[2] * q,
]
export const crossed = (a: Vector, b: Vector): Vector => [
	a[1] * b[2] - a[2] * b[1],
	a[2] * b[0] - a[0] * b[2],
	a[0] * b[1] - a[1] * b[0],
]
