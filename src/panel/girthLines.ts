import { jumpsOver } from './crossCrease.ts'
import type { Surface } from './surface.ts'
import { type SurfaceRay, stepOn, turned } from './surfaceGeodesic.ts'

/** What is known at each place of a grid of girth lines: index (station * girths + girth). */
/** Where the girth lines of one side go over one crease, station by station; undefined where a line does not come to it. */
export interface GirthFold {
	readonly side: 1 | -1
	readonly crossings: readonly (FoldCrossing | undefined)[]
}
export interface FoldCrossing {
	/** unsigned, mm */
	readonly girth: number
	/** change of dJ/d|g| and d2J/dg2 */
	readonly j: readonly [number, number]
	/** change of the place's first and second derivative by |g| */
	readonly rate: readonly number[]
	readonly bend: readonly number[]
}

export interface GirthGrid {
	readonly stations: number
	readonly girths: number
	/** index of girth 0 */
	readonly zero: number
	readonly stepG: number
	readonly j: Float64Array
	/** parameters of the place on the surface: pairs */
	readonly uv: Float64Array
	/** place in the panel's frame: triples */
	readonly x: Float64Array
	/** creases that the lines go over */
	readonly folds: readonly GirthFold[]
	/** 0 where a line could not be followed: J and place there only go on straight, so that the grid is full */
	readonly followed: Uint8Array
}

/** Steps of the walk within one step of the grid: 6 mm at 12, good to 1e-5 mm on surfaces bent at 60 mm. */
const SUBSTEPS = 2
/** No panel reaches further off its baseline, mm. */
const MAX_GIRTH_MM = 1500
/** Where a line's spread has grown so much, the surface is only run on and has folded over itself. */
const WILD_J = 20
/** A line beyond an end that would take longer than this to come back over it covers nothing. */
const NEAR_MM = 300
/** Lines are walked so many steps past the surface's end, and past J = 0: what the grid's spline needs of smooth surroundings. */
const PAST_STEPS = 3

/**
 * Girth lines shot square off the baseline at its rays, to both sides, all to the same number of steps: as far as any of them
 * still lies on the captured surface with J above 0. J by Jacobi's equation along each (do Carmo 5-5, prop. 3). Of a surface that is
 * `even` (its own mirror image about the baseline) one side is shot and mirrored.
 */
export function girthLines(surface: Surface, baseline: readonly SurfaceRay[], stepG: number, even = false): GirthGrid {
	const starts = baseline.map((ray) => turned(surface, ray, Math.PI / 2))
	const shot = (side: -1 | 1): GirthLine[] => {
		const states = starts.map((ray) => new Line(surface, ray, side * stepG))
		// All lines a step at a time, until none of them needs to go on.
		let past = 0
		for (let k = 1; k * stepG <= MAX_GIRTH_MM && past < PAST_STEPS; k++) {
			let any = false
			for (const line of states) if (line.advance()) any = true
			past = any ? 0 : past + 1
		}
		return states
	}
	const ofRight = shot(1)
	const lines = [even ? ofRight.map((line) => mirroredLine(surface, line)) : shot(-1), ofRight] as const
	const [left, right] = lines.map((side) => Math.max(2, ...side.map((l) => l.j.length - 1))) as [number, number]
	const stations = baseline.length
	const girths = left + right + 1
	const grid = {
		stations,
		girths,
		zero: left,
		stepG,
		j: new Float64Array(stations * girths),
		uv: new Float64Array(2 * stations * girths),
		x: new Float64Array(3 * stations * girths),
		folds: foldsOf(lines, surface.creases?.length ?? 0),
		followed: new Uint8Array(stations * girths),
	}
	for (let i = 0; i < stations; i++) {
		for (const [line, sign] of [
			[lines[0][i] as GirthLine, -1],
			[lines[1][i] as GirthLine, 1],
		] as const) {
			for (let k = 0; k < line.j.length; k++) {
				const at = i * girths + left + sign * k
				grid.j[at] = line.j[k] as number
				grid.uv[2 * at] = line.uv[2 * k] as number
				grid.uv[2 * at + 1] = line.uv[2 * k + 1] as number
				for (let c = 0; c < 3; c++) grid.x[3 * at + c] = line.x[3 * k + c] as number
				grid.followed[at] = k <= line.good ? 1 : 0
			}
		}
	}
	return grid
}

function foldsOf([left, right]: readonly [readonly GirthLine[], readonly GirthLine[]], creases: number): GirthFold[] {
	const sides = [
		[-1, left],
		[1, right],
	] as const
	return sides
		.flatMap(([side, lines]) =>
			Array.from({ length: creases }, (_, c) => ({ side, crossings: lines.map((line) => line.crossings.get(c)) })),
		)
		.filter((fold) => fold.crossings.some((x) => x !== undefined))
}

export const captured = (surface: Surface, u: number, v: number): boolean =>
	(surface.periodU !== undefined || (u >= surface.uMin && u <= surface.uMax)) && v >= surface.vMin && v <= surface.vMax

interface GirthLine {
	readonly j: readonly number[]
	readonly uv: readonly number[]
	readonly x: readonly number[]
	/** by crease; the first time, should it come back */
	readonly crossings: ReadonlyMap<number, FoldCrossing>
	/** last index that was truly followed */
	readonly good: number
}

/** The line on the other side: y and its derivatives turn over, creases are counted from the other end. */
function mirroredLine({ vMin, vMax, creases = [] }: Surface, line: GirthLine): GirthLine {
	const turn = ([x, y, z]: readonly number[]) => [x as number, -(y as number), z as number]
	return {
		...line,
		uv: line.uv.map((c, i) => (i % 2 === 1 ? vMin + vMax - c : c)),
		x: line.x.map((c, i) => (i % 3 === 1 ? -c : c)),
		j: line.j,
		good: line.good,
		crossings: new Map(
			[...line.crossings].map(([c, x]) => [creases.length - 1 - c, { ...x, rate: turn(x.rate), bend: turn(x.bend) }]),
		),
	}
}

/** One girth line as it grows. A class because its state is the point. */
class Line {
	readonly j: number[] = [1]
	readonly uv: number[] = []
	readonly x: number[] = []
	/** by crease; the first time, should it come back */
	readonly crossings = new Map<number, FoldCrossing>()
	/** last index that was truly followed */
	good = 0
	private readonly y: Float64Array
	/** that it has been on captured surface, or may still come to it */
	private hopeful = true
	private broken = false

	constructor(
		private readonly surface: Surface,
		ray: SurfaceRay,
		private readonly step: number,
	) {
		this.y = Float64Array.of(ray.u, ray.v, ray.du, ray.dv, 1, 0)
		this.keep()
	}

	/** One step on; true where the line still goes over captured surface that can be measured. */
	advance(): boolean {
		if (!this.broken) {
			const before = this.y.slice()
			const h = this.step / SUBSTEPS
			for (let i = 0; i < SUBSTEPS; i++) {
				stepOn(this.surface, this.y, h, (passed) => {
					const girth = Math.abs(h) * ((this.j.length - 1) * SUBSTEPS + i + passed.share)
					if (!this.crossings.has(passed.crease)) {
						this.crossings.set(passed.crease, { girth, ...jumpsOver(this.surface, passed, Math.sign(h)) })
					}
				})
			}
			const bad = this.y.some((x) => !Number.isFinite(x)) || Math.abs(this.y[4] as number) > WILD_J || this.leaps(before)
			if (bad) {
				this.broken = true
				this.y.set(before)
			}
		}
		if (this.broken) {
			// On straight, by the last step.
			const n = this.j.length
			const j = this.j[n - 1] as number
			this.j.push(2 * j - (this.j[n - 2] ?? j))
			for (const list of [this.uv, this.x]) {
				const width = list === this.uv ? 2 : 3
				for (let c = 0; c < width; c++) {
					const at = list.length
					const last = list[at - width] as number
					list.push(2 * last - (list[at - 2 * width] ?? last))
				}
			}
			return false
		}
		this.j.push(this.y[4] as number)
		this.keep()
		this.good = this.j.length - 1
		const [u, v] = [this.y[0] as number, this.y[1] as number]
		const on = captured(this.surface, u, v)
		// A line that starts beyond an end may come in over a corner; once it is beside the surface it will not.
		const beside = v < this.surface.vMin || v > this.surface.vMax
		if (beside || (this.y[4] as number) <= 0) this.hopeful = false
		return this.hopeful && (on || this.nearing(u))
	}

	/** Whether a line off the ends is on its way back over them. */
	private nearing(u: number): boolean {
		const ahead = u + NEAR_MM * (this.y[2] as number) * Math.sign(this.step)
		return (u < this.surface.uMin && ahead > this.surface.uMin) || (u > this.surface.uMax && ahead < this.surface.uMax)
	}

	/** Whether a step went over a place where the parameters fail (a pole). */
	private leaps(before: Float64Array): boolean {
		const { uMin, uMax, vMin, vMax } = this.surface
		const du = Math.abs((this.y[0] as number) - (before[0] as number))
		const dv = Math.abs((this.y[1] as number) - (before[1] as number))
		return du > (uMax - uMin) / 4 || dv > (vMax - vMin) / 4
	}

	private keep(): void {
		const [u, v] = [this.y[0] as number, this.y[1] as number]
		const { x } = this.surface.jet(u, v)
		this.uv.push(u, v)
		this.x.push(x.x, x.y, x.z)
	}
}
