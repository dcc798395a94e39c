/** How the templates of a stripe or a field are made, and why. */
import type { Chart } from '../chart/chart.ts'
import type { Panel, TemplateWay } from '../job/schema.ts'
import type { NoOverCrown } from './overCrown.ts'
import type { PaintEdge } from './paintEdge.ts'

/** What was chosen for one stripe or field, told to the person in one line. */
export interface Choice {
	/** id of the stripe or field */
	readonly of: string
	readonly what: string
	readonly way: TemplateWay
	readonly why: string
}

/** Both sides of a line nearer the crown than this go on one sheet of paper with little waste (common practice, no source). */
const NEAR_CROWN_MM = 70

/** What the job asks for: of the stripe or field that a line belongs to. */
export function askedOf(panel: Panel, edge: PaintEdge): TemplateWay | undefined {
	const owner = ownerOf(panel, edge)
	return owner?.templates
}

/** The stripe or field that a line's id begins with. */
export const ownerOf = (panel: Panel, edge: Pick<PaintEdge, 'id'>) =>
	[...panel.stripes, ...panel.fields].find(({ id }) => edge.id.startsWith(`${id}/`))

/** The same line on the other side. */
export const otherSide = (edges: readonly PaintEdge[], edge: PaintEdge): PaintEdge | undefined => {
	const other = edge.side === 'left' ? 'right' : 'left'
	return edge.side === 'both' ? undefined : edges.find((e) => e.id === edge.id.replace(`/${edge.side}`, `/${other}`))
}

/** Whether a line is to be laid across the crown together with its other side: where the job says so, or lies near enough. */
export function wantsOverCrown(chart: Chart, panel: Panel, edges: readonly PaintEdge[], edge: PaintEdge): boolean {
	if (panel.hand !== 'centre' || edge.byTape) return false
	const other = otherSide(edges, edge)
	if (!other) return false
	const asked = askedOf(panel, edge)
	if (asked) return asked === 'over-crown'
	const near = ({ curve }: PaintEdge) => curve.cubics.every((cubic) => cubic.every((p) => Math.abs(p.g) <= NEAR_CROWN_MM))
	return !chart.developable && near(edge) && near(other)
}

export const WHY_NOT_OVER_CROWN: Readonly<Record<NoOverCrown, string>> = {
	corners: 'its line has a sharp corner or is closed',
	'sides-differ': 'its two sides do not lie at the same stations',
	'near-crown': 'it comes so near the centreline that the head of the piece would lie on it',
	far: 'it lies so far out that the bridge would not lie straight',
	interrupted: 'the baseline is interrupted where the piece would lie',
}
