/** Paths and basic shapes of a drawing as cubics, in their own units (SVG 2, 9 and 10). */
import { type SVGCommand, SVGPathData } from 'svg-pathdata'
import { arcCubics } from '../../plane/arc.ts'
import { lineCubic } from '../../plane/cubic.ts'
import type { Cubic, PlanePoint } from '../../plane/point.ts'
import type { StrokedLine } from '../../plane/stroke.ts'
import { applyToCubic, type Matrix, times } from './matrix.ts'

/** Of a circle of radius 1: a thousandth of a millimetre on a badge of a metre. */
const ARC_SHARE = 1e-6

/** Lines drawn one after another, each open or closed. */
class Pen {
	readonly lines: StrokedLine[] = []
	#cubics: Cubic[] = []
	#start: PlanePoint = { x: 0, y: 0 }
	at: PlanePoint = { x: 0, y: 0 }

	move(to: PlanePoint): void {
		this.#end(false)
		this.#start = to
		this.at = to
	}

	line(to: PlanePoint): void {
		this.cubic(lineCubic(this.at, to))
	}

	cubic(cubic: Cubic): void {
		this.#cubics.push(cubic)
		this.at = cubic[3]
	}

	close(): void {
		const { x, y } = this.#start
		if (this.at.x !== x || this.at.y !== y || this.#cubics.length === 0) this.line(this.#start)
		this.#end(true)
		this.at = this.#start
	}

	done(): readonly StrokedLine[] {
		this.#end(false)
		return this.lines
	}

	#end(closed: boolean): void {
		if (this.#cubics.length > 0) this.lines.push({ cubics: this.#cubics, closed })
		this.#cubics = []
	}
}

/** Undefined where the text is no path data. */
export function pathLines(data: string): readonly StrokedLine[] | undefined {
	const text = data.trim()
	if (text === '' || text === 'none') return []
	if (!/^[Mm]/.test(text)) return undefined
	let commands: readonly SVGCommand[]
	try {
		commands = new SVGPathData(text).toAbs().normalizeHVZ(false, true, true).normalizeST().commands
	} catch (error) {
		if (error instanceof SyntaxError) return undefined
		throw error
	}
	const pen = new Pen()
	for (const c of commands) {
		const from = pen.at
		switch (c.type) {
			case SVGPathData.MOVE_TO:
				pen.move({ x: c.x, y: c.y })
				break
			case SVGPathData.LINE_TO:
				pen.line({ x: c.x, y: c.y })
				break
			case SVGPathData.CURVE_TO:
				pen.cubic([from, { x: c.x1, y: c.y1 }, { x: c.x2, y: c.y2 }, { x: c.x, y: c.y }])
				break
			case SVGPathData.QUAD_TO:
				pen.cubic(raised(from, { x: c.x1, y: c.y1 }, { x: c.x, y: c.y }))
				break
			case SVGPathData.ARC:
				for (const cubic of arcOf(from, c.rX, c.rY, c.xRot, c.lArcFlag !== 0, c.sweepFlag !== 0, { x: c.x, y: c.y }))
					pen.cubic(cubic)
				break
			case SVGPathData.CLOSE_PATH:
				pen.close()
				break
		}
	}
	return pen.done()
}

/** A quadratic as a cubic (Farin, Curves and Surfaces for CAGD, 6.1). */
const raised = (p: PlanePoint, q: PlanePoint, r: PlanePoint): Cubic => {
	const third = (a: PlanePoint) => ({ x: a.x + (2 / 3) * (q.x - a.x), y: a.y + (2 / 3) * (q.y - a.y) })
	return [p, third(p), third(r), r]
}

/** An elliptical arc by its ends, through its middle and angles (SVG 2, B.2.4; radii as B.2.5). */
function arcOf(p: PlanePoint, rX: number, rY: number, turnDeg: number, large: boolean, sweep: boolean, q: PlanePoint): Cubic[] {
	if (p.x === q.x && p.y === q.y) return []
	let [rx, ry] = [Math.abs(rX), Math.abs(rY)]
	if (!(rx > 0 && ry > 0)) return [lineCubic(p, q)]
	const [cos, sin] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)]
	const [hx, hy] = [(p.x - q.x) / 2, (p.y - q.y) / 2]
	const [x, y] = [cos * hx + sin * hy, cos * hy - sin * hx]
	const reach = (x / rx) ** 2 + (y / ry) ** 2
	if (reach > 1) {
		rx *= Math.sqrt(reach)
		ry *= Math.sqrt(reach)
	}
	const f = (large === sweep ? -1 : 1) * Math.sqrt(Math.max(0, 1 / Math.min(1, reach) - 1)) * (reach > 1 ? 0 : 1)
	const middle = { x: (f * rx * y) / ry, y: (-f * ry * x) / rx }
	const from = Math.atan2((y - middle.y) / ry, (x - middle.x) / rx)
	const to = Math.atan2((-y - middle.y) / ry, (-x - middle.x) / rx)
	const turn = 2 * Math.PI
	let span = to - from
	if (sweep && span < 0) span += turn
	if (!sweep && span > 0) span -= turn
	const place: Matrix = times([cos, sin, -sin, cos, (p.x + q.x) / 2, (p.y + q.y) / 2], [rx, 0, 0, ry, middle.x, middle.y])
	const cubics = arcCubics({ x: 0, y: 0 }, 1, from, from + span, ARC_SHARE).cubics.map((c) => applyToCubic(place, c))
	// it begins and ends where it was said to the last digit
	const first = cubics[0] as Cubic
	cubics[0] = [p, first[1], first[2], first[3]]
	const last = cubics.at(-1) as Cubic
	cubics[cubics.length - 1] = [last[0], last[1], last[2], q]
	return cubics
}

export function rectLines(x: number, y: number, width: number, height: number, rx: number, ry: number): readonly StrokedLine[] {
	const pen = new Pen()
	const [rounded, a, b] = [rx > 0 && ry > 0, rx, ry]
	const corner = (to: PlanePoint) => {
		if (rounded) for (const cubic of arcOf(pen.at, a, b, 0, false, true, to)) pen.cubic(cubic)
	}
	const [u, v] = rounded ? [a, b] : [0, 0]
	pen.move({ x: x + u, y })
	pen.line({ x: x + width - u, y })
	corner({ x: x + width, y: y + v })
	pen.line({ x: x + width, y: y + height - v })
	corner({ x: x + width - u, y: y + height })
	pen.line({ x: x + u, y: y + height })
	corner({ x, y: y + height - v })
	pen.line({ x, y: y + v })
	corner({ x: x + u, y })
	pen.close()
	return pen.done()
}

export function ellipseLines(cx: number, cy: number, rx: number, ry: number): readonly StrokedLine[] {
	const { cubics } = arcCubics({ x: 0, y: 0 }, 1, 0, 2 * Math.PI, ARC_SHARE)
	const placed = cubics.map((c) => applyToCubic([rx, 0, 0, ry, cx, cy], c))
	const last = placed.at(-1) as Cubic
	placed[placed.length - 1] = [last[0], last[1], last[2], (placed[0] as Cubic)[0]]
	return [{ cubics: placed, closed: true }]
}

/** Through places given as x, y, x, y ...; an odd figure at the end is left out. */
export function polyLines(figures: readonly number[], closed: boolean): readonly StrokedLine[] {
	const pen = new Pen()
	for (let i = 0; i + 1 < figures.length; i += 2) {
		const p = { x: figures[i] as number, y: figures[i + 1] as number }
		if (i === 0) pen.move(p)
		else pen.line(p)
	}
	if (closed && figures.length >= 4) pen.close()
	return pen.done()
}
