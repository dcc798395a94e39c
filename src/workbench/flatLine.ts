/** Lines of pictures as plain numbers. */
import type { PlanePoint } from '../plane/point.ts'

/** x and y in turn, mm, y up. */
export type Line = readonly number[]

const round = (x: number) => Math.round(x * 1000) / 1000

/** To a thousandth of a millimetre. */
export const lineOf = (points: readonly PlanePoint[]): Line => points.flatMap(({ x, y }) => [round(x), round(y)])
