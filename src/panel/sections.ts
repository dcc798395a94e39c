import type { Chart } from '../chart/chart.ts'
import type { Outcome } from '../job/problem.ts'
import type { Capture } from '../job/schema.ts'
import { brent } from '../numeric/root.ts'
import type { PanelFrame } from './frame.ts'
import { chartFromSurface, type SurfaceChart } from './fromSurface.ts'
import { GAUGE_SD_MM } from './gauge.ts'
import { type Loft, type LoftSection, loft } from './loft.ts'
import { oddReadings } from './oddReadings.ts'
import { panelProblem } from './panelProblem.ts'
import { type SaidOfReading, withPlaces } from './placeUnder.ts'
import { ringChart } from './ring.ts'
import { placedSections, type SectionsCapture } from './sectionPlanes.ts'
import { type SectionsFit, sectionsFit } from './sectionsFit.ts'
import { curvatureSd } from './sectionsNoise.ts'
import { sectionTrouble } from './sectionTrouble.ts'
import type { Surface } from './surface.ts'
import type { SurfacePoint } from './surfaceGeodesic.ts'

/** A skin, and the readings that stick out of it. */
interface Skin extends Outcome<Loft> {
	readonly odd: readonly SaidOfReading[]
}

/** Skins by the very capture: both of a pair, the chart and what is said of the readings stand on one. */
const skins = new WeakMap<SectionsCapture, Skin>()

/** The skin over a panel's gauge sections, or what is wrong with them. */
export function sectionsLoft(capture: SectionsCapture, path: string): Skin {
	const known = skins.get(capture) ?? newLoft(capture, path)
	skins.set(capture, known)
	return known
}

function newLoft(capture: SectionsCapture, path: string): Skin {
	const sd = capture.sd ?? GAUGE_SD_MM
	const placed = placedSections(capture, path)
	if (!placed.value) return { problems: placed.problems, odd: [] }
	const trouble = sectionTrouble(placed.value, path, sd)
	if (trouble.length > 0) return { problems: [...placed.problems, ...trouble], odd: [] }
	const value = loft(placed.value, { sd })
	// Of a half that is mirrored both images are as odd.
	const told = new Set<string>()
	const once = oddReadings(value, sd).filter(({ section, reading }) => {
		const key = `${section} ${inFile(capture, section, reading)}`
		return !told.has(key) && told.add(key)
	})
	const odd = once.map(({ section, reading, mm }): SaidOfReading => {
		const input = capture.sections[section]
		const inList = input && 'points' in input
		const own = value.sections[section] as LoftSection
		const [x, d] = own.points[reading] as readonly [number, number]
		const problem = {
			code: 'SECTION_READING_ODD',
			severity: 'warning' as const,
			path: `${path}/sections/${section}${inList ? `/points/${inFile(capture, section, reading)}` : ''}`,
			found: `reading ${inFile(capture, section, reading) + 1} of section ${section + 1} (${round(x)} mm across, ${round(d)} mm down), ${Math.abs(mm).toFixed(1)} mm ${mm > 0 ? 'above' : 'below'} where its neighbours along and across put the panel`,
			expected: `readings that agree within the gauge's ${sd} mm`,
			fix: 'read that place again; leave it as it is where the panel really has a dent or a bump there',
		}
		return { problem, at: own.place(x, d) }
	})
	return { value, problems: placed.problems, odd }
}

/** The chart of a panel captured as gauge sections: its skin, and the geodesic between two places of it as the baseline. */
export function sectionsChart(frame: PanelFrame, capture: SectionsCapture, path: string): Outcome<Chart> {
	if (capture.closed) return ringChart(frame, capture, path)
	const skin = sectionsLoft(capture, path)
	if (!skin.value) return { problems: skin.problems }
	const made = sectionsSurfaceChart(frame, capture, skin.value, path)
	if (!made.value) return { problems: [...skin.problems, ...skin.odd.map(({ problem }) => problem), ...made.problems] }
	const { chart } = made.value
	return { value: chart, problems: [...skin.problems, ...withPlaces(frame, chart, skin.odd), ...made.problems] }
}

/** As `sectionsChart`, with the grid it was made from. */
export function sectionsSurfaceChart(
	frame: PanelFrame,
	capture: SectionsCapture,
	skin: Loft,
	path: string,
	gridMm?: number,
): Outcome<Extract<SurfaceChart, { ok: true }>> {
	const { surface } = skin
	const sd = capture.sd ?? GAUGE_SD_MM
	const { from, to } = capture.baseline
	const start = placeOn(surface, from?.along ?? surface.uMin, from?.across ?? 0)
	const end = placeOn(surface, to?.along ?? surface.uMax, to?.across ?? 0)
	if (!start || !end) {
		const which = start ? 'to' : 'from'
		const at = start ? to : from
		return panelProblem(
			`${path}/baseline/${which}`,
			'BASELINE_OFF_PANEL',
			`a baseline that ${start ? 'ends' : 'starts'} ${round(at?.along ?? 0)} mm along and ${round(at?.across ?? 0)} mm across, where no section reaches`,
			`a place from ${round(surface.uMin)} to ${round(surface.uMax)} mm along, on the sections there`,
			'give a place that the sections cover, or leave it out for the centre of the end section',
		)
	}
	const made = chartFromSurface({
		frame,
		surface,
		from: start,
		to: end,
		front: capture.front,
		even: isEven(capture),
		errorMm: sd * Math.sqrt(skin.share),
		curvatureSd: (grid) => curvatureSd(skin, grid, sd),
		gridMm: gridMm ?? gridOf(skin),
	})
	if (made.ok) return { value: made, problems: [] }
	if (made.why === 'leaves') {
		const { x } = surface.jet(made.at?.u ?? 0, made.at?.v ?? 0)
		return panelProblem(
			`${path}/baseline`,
			'BASELINE_LEAVES_PANEL',
			`a baseline that leaves the captured panel about ${round(x.x)} mm along`,
			'two places between which a tape pulled taut stays on the panel',
			'choose ends whose straight line stays inside the sections, or carry the sections further out there',
		)
	}
	return panelProblem(
		`${path}/baseline`,
		'BASELINE_NOT_FOUND',
		'two places between which no taut line was found on the panel',
		'two places some way apart, with the panel smooth between them',
		'look at the readings of the sections between the two, or choose other ends',
	)
}

/** Every section was read to one side of the centre, along which the baseline runs. */
const isEven = ({ sections, baseline: { from, to } }: SectionsCapture) =>
	sections.every((s) => 'points' in s && s.half) && [from, to].every((end) => (end?.across ?? 0) === 0)

/** Spacing of the chart's grid by that of the readings, mm: nothing on the skin is sharper than they are. */
function gridOf({ sections, curves }: Loft): number {
	const round = curves.reduce((sum, c) => sum + (c.breaks[c.breaks.length - 1] as number) - (c.breaks[0] as number), 0)
	const spaces = sections.reduce((sum, s) => sum + s.points.length - 1, 0)
	return Math.min(13, Math.max(8, (0.65 * round) / spaces))
}

/** Steps outward from the centre of a section in search of a place across. */
const LOOKS = 64

/** The place of a skin at an along and an across: of several (a section that turns under) the one nearest to the centre. */
function placeOn(surface: Surface, u: number, across: number): SurfacePoint | undefined {
	if (u < surface.uMin - 1e-9 || u > surface.uMax + 1e-9) return undefined
	const off = (v: number) => surface.jet(u, v).x.y - across
	const span = surface.vMax - surface.vMin
	for (let i = 0; i < LOOKS; i++) {
		for (const [a, b] of [
			[i, i + 1],
			[-i, -i - 1],
		] as const) {
			const [va, vb] = [(a * span) / LOOKS, (b * span) / LOOKS]
			if (Math.max(va, vb) < surface.vMin || Math.min(va, vb) > surface.vMax) continue
			if (off(va) > 0 === off(vb) > 0 && off(va) !== 0) continue
			const root = brent(off, va, vb, { tolerance: 1e-9 })
			if (root.ok && root.x >= surface.vMin - 1 && root.x <= surface.vMax + 1) return { u, v: root.x }
		}
	}
	return undefined
}

const round = (x: number) => (Math.round(x * 10) / 10).toString()

/** How well the gauge readings determine the panel's shape, where it was captured so. */
export function gaugeFit(capture: Capture, path: string): SectionsFit | undefined {
	const skin = capture.kind === 'sections' && !capture.closed ? sectionsLoft(capture, path).value : undefined
	if (!skin || capture.kind !== 'sections') return undefined
	const fit = sectionsFit(skin)
	return { ...fit, worst: { ...fit.worst, reading: inFile(capture, fit.worst.section, fit.worst.reading) } }
}

/** The place of a reading in the job's own list, of which a half is mirrored. */
function inFile({ sections }: SectionsCapture, section: number, reading: number): number {
	const input = sections[section]
	return input && 'points' in input && input.half ? Math.abs(reading - (input.points.length - 1)) : reading
}
