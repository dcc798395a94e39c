import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { PanelDecals } from '../decal/panelDecals.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import type { SectionsFit } from '../panel/sectionsFit.ts'
import type { PanelArea } from '../scheme/outline.ts'
import type { Patch } from '../scheme/patch.ts'
import type { Scheme } from '../scheme/scheme.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
import type { PanelSides } from '../sides/panelSides.ts'
import type { ProvenLine } from '../sides/proof.ts'
import type { PanelTaped } from '../sides/tapedPanel.ts'
import type { Folded } from '../survey/fold.ts'
import type { Survey } from '../survey/survey.ts'
import type { Choice } from '../template/choose.ts'
import type { Piece } from '../template/piece.ts'
import type { SincePrepared } from './carried.ts'
import type { PanelEdge } from './edges.ts'

export interface PanelShape {
	/** one chart, or left and right of a pair: as found, and as it is now (prepared, where it was measured again) */
	readonly found: readonly HandedChart[]
	readonly now: readonly HandedChart[]
	/** how well gauge sections determine the shape as it is now */
	readonly gauge?: SectionsFit
}
export interface HandedChart {
	readonly hand: 'centre' | 'left' | 'right'
	readonly chart: Chart
}

export interface PanelSurvey {
	readonly survey: Survey
	readonly folded: Folded
}

export interface PanelLines {
	readonly edges: readonly PanelEdge[]
	readonly area: PanelArea | undefined
	/** where paper does not lie */
	readonly patches: readonly Patch[]
	/** marks and datums by key where they are now */
	readonly places: ReadonlyMap<string, ChartPoint>
	/** from the panel as found to the panel as it is now */
	readonly carry: (p: ChartPoint) => ChartPoint
	/** what measuring again after preparation changed */
	readonly since?: SincePrepared
}

/** What is to be seen on the panel, one entry for each of its charts. */
export interface HandedScheme {
	readonly hand: 'centre' | 'left' | 'right'
	readonly scheme: Scheme
}

/** Everything that was worked out of one panel; what a stage could not make is absent, and the problems say why. */
export interface PanelResult {
	readonly id: string
	readonly title: string
	readonly hand: Panel['hand']
	/** as the job gives it, with its places where they are now once its lines are known */
	readonly panel: Panel
	readonly shape?: PanelShape
	readonly survey?: PanelSurvey
	/** left against right, where it has both */
	readonly sides?: PanelSides
	readonly lines?: PanelLines
	/** as far as its seams */
	readonly schemes?: readonly HandedScheme[]
	/** where it ends at seams */
	readonly seamEnds?: readonly SeamEnd[]
	readonly decals?: PanelDecals
	/** what was found when its strips were held against the old paint */
	readonly proof?: readonly ProvenLine[]
	/** its edges as taped, before anything is sprayed */
	readonly taped?: PanelTaped
	readonly stations?: readonly number[]
	readonly pieces?: readonly Piece[]
	/** its decals as they are printed */
	readonly art?: readonly Piece[]
	/** how its stripes and fields are made, and why */
	readonly choices?: readonly Choice[]
	/** code of the state of its pieces, printed on each */
	readonly code?: string
	readonly problems: readonly Problem[]
}

/** A panel's end at one seam, on the chart that it is seen on. */
export interface SeamEnd {
	readonly hand: HandedScheme['hand']
	readonly cut: SeamCut
}

/** The schemes of a panel, each with the chart it lies on. */
export function chartedSchemes({ shape, schemes = [] }: PanelResult) {
	return schemes.flatMap(({ hand, scheme }) => {
		const chart = shape?.now.find((each) => each.hand === hand)?.chart
		return chart ? [{ hand, chart, scheme }] : []
	})
}

/** The patches of one of the panel's charts. */
export const patchesOn = (lines: PanelLines, hand: HandedChart['hand']) =>
	lines.patches.filter(({ only }) => only === undefined || only === hand)
