/** What a person wants to read after `make`: how well it went, what came out, and where it is. */
import type { Result } from '../engine/compute.ts'
import type { Problem } from '../job/problem.ts'
import { listed, plural } from '../job/say.ts'
import type { TemplateWay } from '../job/schema.ts'
import type { ScanReport } from '../panel/scan/report.ts'
import { tapedLine } from '../sides/tapedWords.ts'
import { sidesLine } from '../sides/words.ts'
import { crossingsIn, formatLength, placeText } from '../units/format.ts'
import { MM_PER_INCH, type Unit } from '../units/length.ts'
import { type Figures, figuresOf, type PanelFigures, type Worst } from './figures.ts'
import { paintworkText } from './paintworkText.ts'
import { countProblems } from './problems.ts'
import { sayTogether } from './together.ts'
import { sayCarried } from './words.ts'

export interface SummaryOptions {
	/** in place of the result's own */
	readonly problems?: readonly Problem[]
	/** where the files are, as the person would type it */
	readonly folder?: string
}

/** The summary as text of some twenty lines, in the job's unit. */
export function summary(result: Result, { problems = result.problems, folder }: SummaryOptions = {}): string {
	const { unit, title } = result.job
	const figures = figuresOf(result)
	const parts = [
		`${title}   (revision ${result.revision})`,
		...figures.panels.map((panel) => crossingsIn(sayPanel(panel, unit), unit)),
	]
	parts.push(paintworkText(result), sayWhole(figures, unit))
	const count = countProblems(problems)
	if (count)
		parts.push(
			`${count}${problems.some(({ severity }) => severity === 'error') ? ': to be mended before anything is laid; what could not be made is left out' : ''}`,
		)
	if (folder !== undefined) parts.push(sayFiles(folder, result))
	return `${parts.filter((part) => part !== '').join('\n\n')}\n`
}

/** Small distances, to a tenth of what can be seen: 0.04 mm, 0.002 in. */
const fine = (mm: number, unit: Unit) => formatLength(mm, unit, { decimals: unit === 'mm' ? 2 : 3 }).text
const plusMinus = (mm: number, unit: Unit) => `±${fine(Math.max(mm, LEAST_SAID_MM), unit)}`
/** Nothing on paper is known better than this: never "±0.00". */
const LEAST_SAID_MM = 0.01

/** "512 cm²" or "79.4 sq in" */
const area = (mm2: number, unit: Unit) =>
	unit === 'mm' ? `${(mm2 / 100).toFixed(mm2 < 10_000 ? 1 : 0)} cm²` : `${(mm2 / MM_PER_INCH ** 2).toFixed(1)} sq in`

const SIDES: Readonly<Record<string, string>> = { left: 'left', right: 'right', both: 'across' }
const side = (name: string) => SIDES[name] ?? name

function sayPanel(panel: PanelFigures, unit: Unit): string {
	const lines = [
		panel.title,
		...sayScan(panel, unit),
		...sayGauge(panel, unit),
		...sayMarks(panel, unit),
		...(panel.carried ? [sayCarried(panel.carried)] : []),
		...sayLines(panel, unit),
		...(panel.sides ? [sidesLine(panel.sides, unit)] : []),
		...sayScheme(panel, unit),
		...saySeams(panel, unit),
	]
	if (panel.taped) lines.push(tapedLine(panel.taped))
	const pieces = sayPieces(panel)
	if (pieces) lines.push(pieces)
	lines.push(...panel.choices.map(({ what, way, why }) => `${what}: ${WAYS[way]}, since ${why}`))
	if (lines.length === 1) lines.push('nothing could be made of it')
	return lines.map((line, i) => (i === 0 ? line : `  ${line}`)).join('\n')
}

const WRITTEN: Readonly<Record<ScanReport['unitFrom'], string>> = {
	given: '',
	datums: ' by its datums',
	size: ' by its size, a guess',
}

function sayScan({ scan }: PanelFigures, unit: Unit): string[] {
	if (!scan) return []
	const { mended: m, holesMm, noiseMm, noiseFrom, symmetry } = scan
	const put = [
		m.flat > 0 && `${plural(m.flat, 'flat triangle')} left out`,
		m.repeated > 0 && `${plural(m.repeated, 'triangle')} given twice`,
		m.turned > 0 && `${plural(m.turned, 'triangle')} turned round`,
		m.leftOut > 0 && `${plural(m.pieces - 1, 'loose piece')} left out`,
		m.weldedWithinMm > 0 && 'corners joined',
	].filter((words) => words !== false)
	const holes =
		holesMm.length > 0 ? `, ${plural(holesMm.length, 'hole')}, the longest ${fine(holesMm[0] as number, unit)} round` : ''
	const middle = symmetry
		? `; its own middle lies ${fine(Math.abs(symmetry.asideMm), unit)} and ${symmetry.turnedDeg.toFixed(2)} degrees off that of its datums`
		: ''
	return [
		`scan ${scan.file}: ${plural(scan.triangles, 'triangle')} in ${scan.unit}${WRITTEN[scan.unitFrom]}${holes}; mended: ${put.length > 0 ? put.join(', ') : 'nothing'}; a point is good to ${fine(noiseMm, unit)}${noiseFrom === 'given' ? ' as said' : ''}${middle}`,
	]
}

function sayGauge({ gauge }: PanelFigures, unit: Unit): string[] {
	if (!gauge) return []
	const { rmsMm, worst, oneMore, everyOther } = gauge
	const at = placeText(oneMore.along, unit)
	const fewer = everyOther ? `; with every other section it would be out by up to ${fine(everyOther.worstMm, unit)}` : ''
	return [
		`gauge: readings lie ${fine(rmsMm, unit)} off the shape, the worst ${fine(Math.abs(worst.mm), unit)} (reading ${worst.reading + 1} of section ${worst.section + 1})`,
		`one more section would tell most near ${at}, where the shape may be out by ${fine(oneMore.mm, unit)}${fewer}`,
	]
}

function sayMarks(panel: PanelFigures, unit: Unit): string[] {
	if (panel.marks + panel.datums === 0) return []
	const { leastKnown, worstReading, together: all, unchecked } = panel
	const least = leastKnown ? `, the least well known ${leastKnown.name} to ${plusMinus(leastKnown.mm, unit)}` : ''
	const lines = [`${plural(panel.marks, 'mark')} located from ${plural(panel.datums, 'datum')}${least}`]
	if (worstReading) lines.push(`worst reading: the ${worstReading.name}, ${fine(worstReading.mm, unit)} from the rest`)
	if (all) lines.push(sayTogether(all, unit))
	if (unchecked > 0) lines.push(`nothing checks ${unchecked} of the ${panel.readings} numbers that were read`)
	return lines
}

function sayLines({ lines, worstPass, leastKnownLine }: PanelFigures, unit: Unit): string[] {
	if (lines === 0) return []
	const known = leastKnownLine ? `, known to ${plusMinus(leastKnownLine.mm, unit)} or better` : ''
	const pass = worstPass ? `; furthest from a mark: ${fine(worstPass.mm, unit)} at ${worstPass.mark}` : ''
	return [`${plural(lines, 'line')}${known}${pass}`]
}

function sayScheme({ stripes, fields }: PanelFigures, unit: Unit): string[] {
	const lines: string[] = []
	if (stripes.length > 0) {
		lines.push(`stripes: ${stripes.map(({ name, sides }) => `${name} (${listed(sides.map(side), 'and')})`).join('; ')}`)
	}
	for (const { name, sides, areaMm2, openAreaMm2 } of together(fields)) {
		const open = areaMm2 - openAreaMm2 > 0.005 * areaMm2 ? `, ${area(openAreaMm2, unit)} of it outside the stripes` : ''
		lines.push(
			`field: ${name} (${listed(sides.map(side), 'and')}), ${area(areaMm2, unit)}${sides.length > 1 ? ' each' : ''}${open}`,
		)
	}
	return lines
}

/** A field that is the same size on both sides is said once. */
function together(fields: PanelFigures['fields']) {
	const rows: { name: string; sides: string[]; areaMm2: number; openAreaMm2: number }[] = []
	for (const { side: where, ...field } of fields) {
		const alike = rows.find((row) => row.name === field.name && Math.abs(row.areaMm2 - field.areaMm2) < ALIKE * field.areaMm2)
		if (alike) alike.sides.push(where)
		else rows.push({ ...field, sides: [where] })
	}
	return rows
}

/** Areas that differ by less than this part are the same on paper. */
const ALIKE = 1e-3

function saySeams({ seams }: PanelFigures, unit: Unit): string[] {
	const within = (mm: number) => fine(Math.max(mm, LEAST_SAID_MM), unit)
	return seams.flatMap(({ label, with: other, gapMm, lines, tied }) => {
		const met = lines.map(({ name, stepMm, kinkDeg }) => `${name} meets within ${within(stepMm)}, ${kinkDeg.toFixed(1)} degrees`)
		return [
			`seam ${label} with ${other}: ${[`lengths between datums agree within ${within(gapMm)}`, ...met].join('; ')}`,
			...tied.map((words) => `  ${words}`),
		]
	})
}

const WAYS: Readonly<Record<TemplateWay, string>> = {
	guides: 'edge guides',
	piece: 'a piece of its own',
	'over-crown': 'pieces over the crown',
}

function sayPieces({ pieces }: PanelFigures): string {
	const kinds = [
		[pieces.strip, 'girth strip'],
		[pieces.guide, 'edge guide'],
		[pieces.crown, 'over-crown piece'],
		[pieces.stripe, 'stripe piece'],
		[pieces.area, 'field piece'],
		[pieces.mask, 'knife mask'],
		[pieces.frame, 'placing frame'],
	] as const
	const words = kinds.flatMap(([count, name]) => (count > 0 ? [plural(count, name)] : []))
	return words.length > 0 ? `pieces: ${words.join(', ')}` : ''
}

function sayWhole({ pieces, sheets, paper, worstShape, leastKnownLine }: Figures, unit: Unit): string {
	if (pieces === 0) return 'No pieces were made.'
	const lines = [`${plural(pieces, 'piece')} on ${plural(sheets, 'sheet')}${paper ? ` of ${paperName(paper)}` : ''}`]
	if (worstShape)
		lines.push(`largest error of shape: ${fine(Math.max(worstShape.mm, LEAST_SAID_MM), unit)} (piece ${worstShape.name})`)
	if (leastKnownLine) lines.push(`line known least well: ${leastKnownLine.name}, ${sayWorst(leastKnownLine, unit)}`)
	return lines.join('\n')
}

const sayWorst = ({ mm }: Worst, unit: Unit) => `${plusMinus(mm, unit)} (one standard deviation)`

/** "a4" as it is sold. */
const paperName = (id: string) => (/^[a-z]\d?$/.test(id) ? id.toUpperCase() : id.slice(0, 1).toUpperCase() + id.slice(1))

const sayFiles = (folder: string, { paintwork, decalSheets }: Result) =>
	[
		`Files in ${folder}`,
		'  sheets.pdf       print at 100 %, then measure the check square: 100.0 mm each way',
		'  plan-PANEL.svg   what goes where, one for each panel',
		'  pieces/          one file for each piece, for a cutter',
		...(decalSheets?.plain ? ['  decals.pdf       decals at true size, for their own film'] : []),
		...(decalSheets?.mirrored ? ['  decals-mirrored.pdf   those that are laid face down'] : []),
		...(paintwork
			? [
					'  job-sheet.pdf, stage-cards.pdf, stand.html   tape and paint, paper by paper or on a phone at the stand',
					'  tape-schedule.pdf, paint-schedule.pdf, shopping-list.pdf, owners-sheet.pdf',
				]
			: []),
		'  shapes/          panels in the round with their lines, for other programs',
		'  result.json      every number',
		'  cautions.txt     read before spraying',
	].join('\n')
