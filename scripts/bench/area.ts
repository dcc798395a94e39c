// How quick an area of a doubly curved panel is laid flat, and how true beside a mesh ten times as fine.
import type { Chart } from '../../src/chart/chart.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { areaOutline } from '../../src/template/areaOutline.ts'
import { type FlatArea, flattenArea } from '../../src/template/flatten.ts'
import { handedness } from '../../src/template/handed.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

/** A tank's shoulder in closed form: a ring of radius 220 swept with a section of radius 90, mm. */
const shoulder: Chart = revolvedChart(panelFrame('shoulder', 'centre'), 220, circleProfile(90), -400, 800)
const AREA = [
	{ s: -120, g: 5 },
	{ s: 120, g: 5 },
	{ s: 100, g: 75 },
	{ s: -100, g: 75 },
]
const SETTLED_MM = 2e-3

export async function rows(): Promise<Row[]> {
	const out: Row[] = []
	for (const [name, edgeMm, target] of [
		['area5k', 1.87, 250],
		['area20k', 0.93, 750],
	] as const) {
		const lay = () => flattenArea(shoulder, areaOutline(shoulder, [AREA], [], edgeMm), [], SETTLED_MM)
		const flat = lay()
		if (!flat) throw new Error('the shoulder lies flat')
		const against = `${flat.mesh.vertices} vertices, ${flat.iterations} rounds`
		out.push(atMost(`compound.${name}`, await medianMs(lay, { runs: 9, warmUps: 6 }), 'ms', target, against))
		out.push(shown(`compound.${name}.stretch`, flat.stretch.worst, '1', 'largest difference of a singular value from 1'))
	}
	// Ten times the vertices of what a piece is made with.
	const [piece, fine] = [2.4, 0.76].map((edgeMm) => flattenArea(shoulder, areaOutline(shoulder, [AREA], [], edgeMm), [], 1e-5))
	if (!piece || !fine) throw new Error('the shoulder lies flat')
	const apart = handedness(turned(piece), turned(fine), 400).sameMm
	out.push(atMost('compound.area.shape', apart, 'mm', 0.02, `rms of the rim, ${fine.mesh.vertices} vertices`))
	return out
}

/** The rim from its front corner on, so that two of them correspond. */
function turned({ rim }: FlatArea) {
	const loop = rim[0] ?? []
	const from = loop.reduce((best, p, i) => (p.x + p.y < (loop[best]?.x ?? 0) + (loop[best]?.y ?? 0) ? i : best), 0)
	return [...loop.slice(from), ...loop.slice(0, from + 1)]
}
