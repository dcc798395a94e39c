import { readRef, refOf } from '../job/marks.ts'
import { placeOn } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { FLAGGED } from './instruments.ts'
import type { Mark, Survey } from './survey.ts'
import { mm } from './words.ts'

/** One mark for both sides of a mirrored line: on a centreline panel as on the right, girth positive. */
export interface FoldedMark extends Mark {
	readonly from: 'both' | 'left' | 'right' | 'one'
	/** left - right, where both were measured: mm along and across, their sds, and the larger of the two in sds */
	readonly difference?: {
		readonly s: number
		readonly g: number
		readonly sd: { readonly s: number; readonly g: number }
		readonly ratio: number
	}
}

export interface Folded {
	/** by id */
	readonly marks: Readonly<Record<string, FoldedMark>>
}

/**
 * Both sides' marks laid onto one side, (s, |g|) about a centreline and (s, g) for a pair, as the mean weighted by their full
 * covariance. A difference that the readings do not allow (3.29 standard deviations) is a warning: the line is not alike on
 * both sides, or one reading is wrong.
 */
export function fold(survey: Survey, panel: Panel, panelPath: string): Outcome<Folded> {
	const problems: Problem[] = []
	const marks: Record<string, FoldedMark> = {}
	for (const key of Object.keys(survey.marks).sort()) {
		const mark = survey.marks[key]!
		const { id } = mark
		if (marks[id]) continue
		const left = survey.marks[`left/${id}`]
		const right = survey.marks[`right/${id}`]
		if (!left || !right) {
			const from = mark.side ?? 'one'
			marks[id] = { ...mirrored(mark, panel), key: id, from }
			continue
		}
		const a = mirrored(left, panel)
		const b = mirrored(right, panel)
		const cross = crossCovariance(survey, left, right, panel)
		const folded = mean(a, b, cross)
		const difference = differenceOf(a, b, cross)
		const differs = difference.ratio > FLAGGED
		const doubted = left.inDoubt || right.inDoubt
		marks[id] = {
			key: id,
			id,
			...folded,
			fixed: left.fixed && right.fixed,
			readings: [...new Set([...left.readings, ...right.readings])].sort((x, y) => x - y),
			from: 'both',
			difference,
			...(doubted || differs ? { inDoubt: true as const } : {}),
		}
		if (differs && !doubted) {
			// A decal's mark is of no line.
			const lined = panel.edges.some(({ through }) => through.some((step) => readRef(refOf(step)).name === id))
			const parts: string[] = []
			if (Math.abs(difference.s) > FLAGGED * difference.sd.s) parts.push(`${mm(Math.abs(difference.s))} along`)
			if (Math.abs(difference.g) > FLAGGED * difference.sd.g) parts.push(`${mm(Math.abs(difference.g))} across`)
			problems.push({
				code: 'SIDES_DIFFER',
				severity: 'warning',
				path: `${panelPath}/readings/${right.readings[0] ?? 0}`,
				place: placeOn(panel, folded.at),
				found: `${id}, which differs left from right by ${parts.join(' and ')}, more than the readings allow`,
				expected: lined ? 'both sides alike, since the line is mirrored' : 'both sides alike',
				fix: `Measure left/${id} and right/${id} again${lined ? '; if they do differ, say with "sides" which side the line follows' : ''}.`,
			})
		}
	}
	return { value: { marks }, problems }
}

/** As seen on the right of a centreline; a pair is alike already. */
function mirrored(mark: Mark, panel: Panel): Mark {
	if (panel.hand !== 'centre') return mark
	// A left or right mark that came to lie just across the centreline stays across it.
	if (mark.side === 'right' || (mark.side === undefined && mark.at.g >= 0)) return mark
	const { ss, sg, gg } = mark.covariance
	return { ...mark, at: { s: mark.at.s, g: 0 - mark.at.g }, covariance: { ss, sg: -sg, gg } }
}

/** Covariance of (s, g) left with (s, g) right, mirrored alike: a width across ties them together. */
function crossCovariance(survey: Survey, left: Mark, right: Mark, panel: Panel): readonly [number, number, number, number] {
	const { keys, covariance } = survey.joint
	const i = keys.indexOf(left.key)
	const j = keys.indexOf(right.key)
	if (i < 0 || j < 0) return [0, 0, 0, 0]
	const n = 2 * keys.length
	const sign = panel.hand === 'centre' ? -1 : 1
	const at = (a: number, b: number) => covariance[(2 * i + a) * n + 2 * j + b]!
	return [at(0, 0), at(0, 1), sign * at(1, 0), sign * at(1, 1)]
}

function differenceOf(a: Mark, b: Mark, cross: readonly [number, number, number, number]) {
	const s = a.at.s - b.at.s
	const g = a.at.g - b.at.g
	const sd = {
		s: Math.sqrt(Math.max(0, a.covariance.ss + b.covariance.ss - 2 * cross[0])),
		g: Math.sqrt(Math.max(0, a.covariance.gg + b.covariance.gg - 2 * cross[3])),
	}
	const ratio = Math.max(sd.s > 0 ? Math.abs(s) / sd.s : 0, sd.g > 0 ? Math.abs(g) / sd.g : 0)
	return { s, g, sd, ratio }
}

/** b + G (a - b) with G = cov(b, b - a) cov(a - b)^-1: the best mean of two correlated places. */
function mean(a: Mark, b: Mark, c: readonly [number, number, number, number]) {
	const A = a.covariance
	const B = b.covariance
	// D = A + B - C - C^T; M = B - C^T (covariance of b with b - a)
	const d11 = A.ss + B.ss - 2 * c[0]
	const d12 = A.sg + B.sg - c[1] - c[2]
	const d22 = A.gg + B.gg - 2 * c[3]
	const det = d11 * d22 - d12 * d12
	if (!(det > 0)) {
		const at = { s: (a.at.s + b.at.s) / 2, g: (a.at.g + b.at.g) / 2 }
		return { at, covariance: B, sd: b.sd }
	}
	const m11 = B.ss - c[0]
	const m12 = B.sg - c[2]
	const m21 = B.sg - c[1]
	const m22 = B.gg - c[3]
	const g11 = (m11 * d22 - m12 * d12) / det
	const g12 = (m12 * d11 - m11 * d12) / det
	const g21 = (m21 * d22 - m22 * d12) / det
	const g22 = (m22 * d11 - m21 * d12) / det
	const ds = a.at.s - b.at.s
	const dg = a.at.g - b.at.g
	const at = { s: b.at.s + g11 * ds + g12 * dg, g: b.at.g + g21 * ds + g22 * dg }
	const ss = B.ss - (g11 * m11 + g12 * m12)
	const sg = B.sg - (g11 * m21 + g12 * m22)
	const gg = B.gg - (g21 * m21 + g22 * m22)
	return { at, covariance: { ss, sg, gg }, sd: { s: Math.sqrt(Math.max(0, ss)), g: Math.sqrt(Math.max(0, gg)) } }
}
