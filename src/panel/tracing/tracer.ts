import type { Outcome } from '../../job/problem.ts'
import { panelProblem } from '../panelProblem.ts'

/** From the path data of a tracing to readings in order across: [across, down], mm. */
export type Tracer = (data: string, path: string) => Outcome<(readonly [number, number])[]>

/** Readings are taken off a tracing this far apart, mm: a pencil line holds no more than that. */
const APART_MM = 3
const LEAST = 9
const MOST = 200
/** The commands, numbers and separators of SVG path data (SVG 2, 9.3). */
const PATH_DATA = /^[\sMmLlHhVvCcSsQqTtAaZz0-9+\-.,eE]+$/

/**
 * Reads the path of a scanned tracing (SVG path data: x across, y down, in mm). Loaded where there is one: its library is large.
 * Problems: TRACING_UNREADABLE, TRACING_IN_PARTS.
 */
export async function loadTracer(): Promise<Tracer> {
	const { default: paper } = await import('paper')
	paper.setup(new paper.Size(1, 1))
	return (data, at) => {
		const start = data.trim()
		if (!PATH_DATA.test(start) || !/^[Mm]/.test(start)) {
			return panelProblem(
				at,
				'TRACING_UNREADABLE',
				`path data that is none: ${JSON.stringify(start.slice(0, 40))}`,
				'the path of one line as SVG writes it, from M on: "M -90 60 C -60 20 ...", in mm',
				'copy the "d" of the tracing\'s path, drawn at true size in mm',
			)
		}
		const whole = new paper.CompoundPath(start)
		const parts = whole.children.filter((child) => (child as paper.Path).length > 0) as paper.Path[]
		const [line] = parts
		if (!line || parts.length > 1 || !Number.isFinite(line.length)) {
			whole.remove()
			return panelProblem(
				at,
				line && parts.length > 1 ? 'TRACING_IN_PARTS' : 'TRACING_UNREADABLE',
				parts.length > 1 ? `a tracing in ${parts.length} parts` : 'a tracing of no length',
				'one line from one side of the panel to the other',
				'join the parts into one path, or leave out what does not belong to the section',
			)
		}
		const count = Math.min(MOST, Math.max(LEAST, Math.round(line.length / APART_MM) + 1))
		const points = Array.from({ length: count }, (_, i) => {
			const p = line.getPointAt((line.length * i) / (count - 1))
			return [round(p.x), round(p.y)] as const
		})
		whole.remove()
		const [first, last] = [points[0], points[count - 1]]
		return { value: (first?.[0] ?? 0) <= (last?.[0] ?? 0) ? points : points.reverse(), problems: [] }
	}
}

const round = (x: number) => Math.round(x * 1e6) / 1e6
