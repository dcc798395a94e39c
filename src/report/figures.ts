/** The few figures of a result that are asked for first: what the summary says in words. */
import { area } from '../chart/area.ts'
import type { SincePrepared } from '../engine/carried.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import { chartedSchemes } from '../engine/panelResult.ts'
import type { Seam } from '../engine/seams.ts'
import { type ScanReport, scanOf } from '../panel/scan/report.ts'
import type { SectionsFit } from '../panel/sectionsFit.ts'
import { openArea } from '../scheme/areas.ts'
import type { PanelSides } from '../sides/panelSides.ts'
import type { PanelTaped } from '../sides/tapedPanel.ts'
import type { CheckedReading, Mark } from '../survey/survey.ts'
import type { Choice } from '../template/choose.ts'
import type { PieceKind } from '../template/piece.ts'
import { tiedWords } from './tiedWords.ts'
import { type Together, togetherOf } from './together.ts'
import { sayReadingShort } from './words.ts'

export interface Worst {
	readonly name: string
	readonly mm: number
}

export interface PanelFigures {
	readonly id: string
	readonly title: string
	/** marks that were measured, and datums that were given */
	readonly marks: number
	readonly datums: number
	/** the mark known least well: the larger of its two standard deviations */
	readonly leastKnown?: Worst
	/** the reading that fits least, in its own standard deviations */
	readonly worstReading?: Worst & { readonly what: CheckedReading['what']; readonly path: string }
	/** how well all fit together; none where nothing checks anything */
	readonly together?: Together
	/** readings that nothing checks */
	readonly unchecked: number
	readonly readings: number
	/** of gauge sections: what the shape leaves their readings by, and what more or fewer would do */
	readonly gauge?: SectionsFit
	/** of a scanned panel: what was found out about its scan */
	readonly scan?: ScanReport
	/** of a panel that was measured again: how its scheme goes over to it */
	readonly carried?: Pick<SincePrepared, 'by' | 'chosen'>
	/** left against right, where it has both */
	readonly sides?: PanelSides
	/** its edges as taped */
	readonly taped?: PanelTaped
	readonly lines: number
	/** the mark that a line passes furthest from */
	readonly worstPass?: Worst & { readonly mark: string }
	/** the line known least well, one standard deviation */
	readonly leastKnownLine?: Worst
	readonly stripes: readonly { readonly name: string; readonly sides: readonly string[]; readonly areaMm2: number }[]
	readonly fields: readonly {
		readonly name: string
		readonly side: string
		readonly areaMm2: number
		readonly openAreaMm2: number
	}[]
	readonly pieces: Readonly<Record<PieceKind, number>>
	/** how stripes and fields are made, and why */
	readonly choices: readonly Choice[]
	/** where it meets other panels: how well lengths between datums agree, and the lines that go on over it */
	readonly seams: readonly {
		readonly label: string
		readonly with: string
		readonly gapMm: number
		readonly lines: readonly { readonly name: string; readonly stepMm: number; readonly kinkDeg: number }[]
		/** what lines gave to flow over it */
		readonly tied: readonly string[]
	}[]
	/** largest error of shape */
	readonly worstShape?: Worst
}

export interface Figures {
	readonly panels: readonly PanelFigures[]
	readonly pieces: number
	readonly sheets: number
	readonly paper?: string
	readonly worstShape?: Worst
	readonly leastKnownLine?: Worst
}

export function figuresOf(result: Result): Figures {
	const panels = result.panels.map((panel) => panelFigures(panel, result))
	const sheets = result.sheets?.sheets ?? []
	const paper = sheets[0]?.paper
	return {
		panels,
		pieces: result.panels.reduce((sum, panel) => sum + (panel.pieces?.length ?? 0), 0),
		sheets: sheets.length,
		...(paper ? { paper } : {}),
		...given('worstShape', largest(panels.flatMap((panel) => panel.worstShape ?? []))),
		...given('leastKnownLine', largest(panels.flatMap((panel) => panel.leastKnownLine ?? []))),
	}
}

function panelFigures(panel: PanelResult, { seams = [], panels, job }: Result): PanelFigures {
	const survey = panel.survey?.survey
	const marks = Object.values(survey?.marks ?? {})
	const measured = marks.filter(({ fixed }) => !fixed)
	const readings = survey?.readings ?? []
	const edges = panel.lines?.edges ?? []
	const titled = (id: string) => panel.panel.edges.find((edge) => edge.id === id)?.what ?? id
	const passes = edges.flatMap((edge) =>
		edge.fitted.passes.map(({ key, offMm }) => ({ name: titled(edge.id), mark: key, mm: Math.abs(offMm) })),
	)
	return {
		id: panel.id,
		title: panel.title,
		marks: measured.length,
		datums: marks.length - measured.length,
		...given('leastKnown', largest(measured.map((mark) => ({ name: mark.key, mm: sdOf(mark) })))),
		...given('worstReading', worstReading(readings)),
		...given('together', survey && togetherOf(survey)),
		unchecked: readings.filter(({ redundancy }) => redundancy < NOTHING_CHECKS).length,
		readings: readings.length,
		lines: new Set(edges.map(({ id }) => id)).size,
		...given('worstPass', largest(passes)),
		...given('leastKnownLine', largest(edges.map((edge) => ({ name: titled(edge.id), mm: edge.sdMm })))),
		...given('carried', panel.lines?.since),
		...(panel.sides ? { sides: panel.sides } : {}),
		...(panel.taped ? { taped: panel.taped } : {}),
		...schemeFigures(panel),
		pieces: pieceCounts(panel),
		...(panel.shape?.gauge ? { gauge: panel.shape.gauge } : {}),
		...given('scan', scanOf(panel.panel.prepared?.shape ?? panel.panel.found)),
		choices: panel.choices ?? [],
		seams: seams
			.filter((seam) => seam.panel === panel.id)
			.map((seam) => ({ ...seamFigures(seam, titled), tied: tiedWords(seam, panels, job.unit) })),
		...given('worstShape', largest((panel.pieces ?? []).map((piece) => ({ name: String(piece.number), mm: piece.errorMm })))),
	}
}

/** Below this part an error of a reading does not show at all beside rounding. */
const NOTHING_CHECKS = 1e-6

const sdOf = ({ sd }: Mark) => Math.max(sd.s, sd.g)

function worstReading(readings: readonly CheckedReading[]): PanelFigures['worstReading'] {
	let worst: CheckedReading | undefined
	for (const reading of readings) {
		if (Math.abs(reading.w ?? 0) > Math.abs(worst?.w ?? 0)) worst = reading
	}
	if (!worst) return undefined
	return { name: sayReadingShort(worst), mm: Math.abs(worst.residual), what: worst.what, path: worst.path }
}

function schemeFigures(result: PanelResult): Pick<PanelFigures, 'stripes' | 'fields'> {
	const { panel } = result
	const laid = chartedSchemes(result)
	const bands = laid.flatMap(({ chart, scheme }) => scheme.bands.map((band) => ({ ...band, mm2: area(chart, band.region) })))
	const fields = laid.flatMap(({ chart, scheme }) =>
		scheme.fields.map((field) => ({
			name: panel.fields.find(({ id }) => id === field.field)?.what ?? field.field,
			side: field.side,
			areaMm2: area(chart, field.region),
			openAreaMm2: openArea(chart, field, scheme.bands),
		})),
	)
	return {
		stripes: panel.stripes.flatMap((stripe) => {
			const own = bands.filter((band) => band.stripe === stripe.id)
			if (own.length === 0) return []
			const sides = [...new Set(own.map(({ side }) => side))]
			return [{ name: stripe.what ?? stripe.id, sides, areaMm2: own.reduce((sum, band) => sum + band.mm2, 0) }]
		}),
		fields,
	}
}

/** Both sides of a line that is alike on both are said together, by the worse of the two. */
function seamFigures(
	{ label, with: other, gapMm, meetings }: Seam,
	titled: (edge: string) => string,
): Omit<PanelFigures['seams'][number], 'tied'> {
	const lines = [...new Set(meetings.map(({ own }) => own))].map((edge) => {
		const all = meetings.filter(({ own }) => own === edge)
		const worst = (of: 'stepMm' | 'kinkDeg') => Math.max(...all.map((m) => m[of]))
		return { name: titled(edge), stepMm: worst('stepMm'), kinkDeg: worst('kinkDeg') }
	})
	return { label, with: other, gapMm, lines }
}

function pieceCounts({ pieces = [] }: PanelResult): PanelFigures['pieces'] {
	const count = (kind: PieceKind) => pieces.filter((piece) => piece.kind === kind).length
	return {
		strip: count('strip'),
		guide: count('guide'),
		crown: count('crown'),
		stripe: count('stripe'),
		area: count('area'),
		mask: count('mask'),
		frame: count('frame'),
		decal: count('decal'),
	}
}

/** The largest; of equals the first. */
function largest<T extends { readonly mm: number }>(list: readonly T[]): T | undefined {
	let most: T | undefined
	for (const each of list) if (Number.isFinite(each.mm) && (!most || each.mm > most.mm)) most = each
	return most
}

const given = <K extends string, V>(key: K, value: V | undefined): { readonly [key in K]?: V } =>
	(value === undefined ? {} : { [key]: value }) as { readonly [key in K]?: V }
