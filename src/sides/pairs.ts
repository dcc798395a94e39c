import { readRef, refOf } from '../job/marks.ts'
import type { Panel } from '../job/schema.ts'
import type { Mark, Survey } from '../survey/survey.ts'

/** A mark on both sides, with how well their sums and differences are known. */
export interface MarkPair {
	readonly id: string
	readonly left: Mark
	readonly right: Mark
	/** variances of the sum and of the difference (right less left) of station and girth, mm^2 */
	readonly sum: { readonly s: number; readonly g: number }
	readonly difference: { readonly s: number; readonly g: number }
	/** edges that go through it, by id */
	readonly lines: readonly string[]
}

export interface Paired {
	readonly pairs: readonly MarkPair[]
	/** keys of marks that were measured on one side only, of lines that are on both */
	readonly alone: readonly string[]
}

/** The measured marks of a panel that were read on the left and on the right. Datums are what the rest is measured from. */
export function pairsOf(survey: Survey, panel: Panel): Paired {
	const pairs: MarkPair[] = []
	const alone: string[] = []
	const lines = linesThrough(panel)
	for (const key of Object.keys(survey.marks).sort()) {
		const mark = survey.marks[key]!
		if (mark.fixed || !mark.side) continue
		const other = survey.marks[`${mark.side === 'left' ? 'right' : 'left'}/${mark.id}`]
		const through = lines.get(mark.id) ?? []
		if (!other) {
			if (through.some(({ mirrored }) => mirrored)) alone.push(key)
			continue
		}
		if (mark.side === 'right' || other.fixed) continue
		const [ss, gg] = crossCovariance(survey, mark, other)
		pairs.push({
			id: mark.id,
			left: mark,
			right: other,
			sum: {
				s: mark.covariance.ss + other.covariance.ss + 2 * ss,
				g: mark.covariance.gg + other.covariance.gg + 2 * gg,
			},
			difference: {
				s: mark.covariance.ss + other.covariance.ss - 2 * ss,
				g: mark.covariance.gg + other.covariance.gg - 2 * gg,
			},
			lines: through.map(({ id }) => id),
		})
	}
	return { pairs, alone }
}

/** Edges by the name of each mark that they go through, and whether they are on both sides. */
function linesThrough(panel: Panel): ReadonlyMap<string, readonly { readonly id: string; readonly mirrored: boolean }[]> {
	const lines = new Map<string, { id: string; mirrored: boolean }[]>()
	for (const edge of panel.edges) {
		const mirrored = edge.hand === undefined || edge.hand === 'mirrored'
		for (const step of edge.through) {
			const { name } = readRef(refOf(step))
			lines.set(name, [...(lines.get(name) ?? []), { id: edge.id, mirrored }])
		}
	}
	return lines
}

/** Of station with station and of girth with girth: a width across ties the two sides together. */
function crossCovariance({ joint: { keys, covariance } }: Survey, left: Mark, right: Mark): readonly [number, number] {
	const i = keys.indexOf(left.key)
	const j = keys.indexOf(right.key)
	if (i < 0 || j < 0) return [0, 0]
	const n = 2 * keys.length
	return [covariance[2 * i * n + 2 * j]!, covariance[(2 * i + 1) * n + 2 * j + 1]!]
}
