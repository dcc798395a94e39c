/** The check of a seam on the assembled vehicle: where each line should meet it, and whether it goes on, with blanks. */
import type { Result } from '../engine/compute.ts'
import { type SeamCheck, type SeamRow, seamCheck } from '../engine/seamCheck.ts'
import type { Seam } from '../engine/seams.ts'
import { girthFigure, lengthFigure } from '../template/measured.ts'
import { placeText } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type Table, tableFlow } from './measuringSheetTable.ts'
import { seamPicture } from './seamPicture.ts'
import { tiedWords } from './tiedWords.ts'
import { headed, noteBlock, type Section } from './writtenPages.ts'

/** One page for each seam that lines go on over. */
export function seamSections({ job, panels, seams = [] }: Result, widthMm: number): readonly Section[] {
	return seams.flatMap((seam): readonly Section[] => {
		const check = seamCheck(job, seam, panels)
		if (!check || check.rows.length === 0) return []
		const titles = [seam.panel, seam.with].map((id) => panels.find((panel) => panel.id === id)?.title ?? id) as [string, string]
		const sides = [...new Set(check.rows.map(({ side }) => side))]
		const sided = sides.length > 1
		const picture = seamPicture({ check, gapMm: seam.shutLineMm ?? 0, titles, sided }, widthMm)
		const gave = tiedWords(seam, panels, job.unit)
		const tables = (['left', 'right', 'both'] as const)
			.map((side) => ({ side, rows: check.rows.filter((row) => row.side === side) }))
			.filter(({ rows }) => rows.length > 0)
			.map(({ side, rows }) =>
				tableFlow(tableOf(side === 'both' ? 'Lines over the seam' : side.toUpperCase(), rows, titles, job.unit)),
			)
		return [
			{
				subject: `seam ${seam.label}, ${titles[0]} to ${titles[1]}`,
				flows: [
					{ blocks: [picture, noteBlock(notes(seam, check, titles, job.unit), widthMm)] },
					...tables,
					...(gave.length > 0 ? [headed('Bent so that they flow', undefined, gave, widthMm)] : []),
				],
			},
		]
	})
}

function notes(
	seam: Seam,
	{ datums, overMm }: SeamCheck,
	[own, other]: readonly [string, string],
	unit: Unit,
): readonly string[] {
	const [first, last] = [datums[0], datums[datums.length - 1]]
	const [a, b] = [first?.names ?? ['', ''], last?.names ?? ['', '']]
	const over = placeText(overMm, unit)
	const gap = seam.shutLineMm ? `, the shut line set to ${lengthFigure(seam.shutLineMm, unit)} at both ends` : ''
	const proud = seam.proud
	const aside = proud
		? [
				`${seam.panel === proud.panel ? own : other} stands ${lengthFigure(proud.byMm, unit)} higher. Look square on the seam: seen from 45 degrees along it, lines that are right look out of step by as much.`,
			]
		: []
	return [
		`1. Mount both panels as they will stay${gap}. Check LEFT and RIGHT each by itself.`,
		`2. On ${own} measure along its rim from ${a[0]}, on ${other} along its own rim from ${a[1]}, to each line. Write what you read; in grey is the plan.`,
		`3. Lay a thin steel rule flat along each line of ${own}, on it ${over} before the seam and at the rim, and let it reach over the seam. Write how far the line of ${other} lies off the rule at its rim and ${over} farther on: + towards ${b[0]}, - towards ${a[0]}. More than ${lengthFigure(0.5, unit)} off the plan is seen as a step or a kink.`,
		...aside,
	]
}

function tableOf(title: string, rows: readonly SeamRow[], [own, other]: readonly [string, string], unit: Unit): Table {
	const figure = (mm: number) => girthFigure(mm, unit).replace(/ in$/, '')
	const signed = (mm: number | undefined) => {
		if (mm === undefined) return '–'
		const said = figure(Math.abs(mm))
		return said === '0' ? '0' : `${mm < 0 ? '-' : '+'}${said}`
	}
	return {
		title,
		together: true,
		columns: [
			{ title: 'tick', part: 12 },
			{ title: 'line', part: 44 },
			{ title: 'angle', part: 13 },
			{ title: own, part: 27, over: { title: `along its rim, ${unit}`, columns: 2 } },
			{ title: other, part: 27 },
			{ title: 'at the rim', part: 24, over: { title: `off the rule, ${unit}`, columns: 2 } },
			{ title: 'farther on', part: 24 },
		],
		rows: rows.map(({ tick, name, angleDeg, alongMm, offRuleMm }) => [
			{ text: tick, bold: true },
			{ text: name },
			{ light: `${angleDeg.toFixed(0)}°` },
			{ light: figure(alongMm[0]) },
			{ light: figure(alongMm[1]) },
			{ light: signed(offRuleMm[0]) },
			{ light: signed(offRuleMm[1]) },
		]),
	}
}
