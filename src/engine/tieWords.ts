/** What is said of lines that could not be tied over a seam. */
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { PanelResult } from './panelResult.ts'
import type { EdgeHit } from './seamLines.ts'
import type { RunIn } from './tieRunIn.ts'

/** A line at a seam, on both panels. */
export interface TiedPair {
	/** JSON pointer to the pair of lines */
	readonly path: string
	readonly of: readonly [PanelResult, PanelResult]
	readonly edges: readonly [string, string]
	readonly hits: readonly [EdgeHit, EdgeHit]
}

/** It on one of the two. */
export interface TiedHalf {
	readonly meeting: TiedPair
	readonly half: 0 | 1
}

const nameOf = ({ panel }: PanelResult, edge: string) => panel.edges.find(({ id }) => id === edge)?.what ?? edge
/** A panel of one side has no other one. */
const sideOf = ({ panel }: PanelResult, { side }: EdgeHit) => (side === 'both' || panel.hand === side ? '' : ` (${side})`)

/** The mark of a line nearest to where it comes to the seam. */
function nearestMark({ lines }: PanelResult, { fit, at }: EdgeHit): string {
	const far = (p: { readonly s: number; readonly g: number }) => Math.hypot(p.s - at.s, Math.abs(p.g) - Math.abs(at.g))
	const marks = [...(lines?.edges[fit]?.fitted.passes ?? [])].sort((a, b) => far(a.at) - far(b.at))
	return marks[0]?.key ?? 'its last mark'
}

const readAgain = ({ of: [own, theirs], hits }: TiedPair) =>
	`read ${nearestMark(own, hits[0])} of ${own.id} and ${nearestMark(theirs, hits[1])} of ${theirs.id} again, the marks nearest the seam`

/** "upper line (left)", on one of the two. */
const called = ({ of, edges, hits }: TiedPair, half: 0 | 1) => `${nameOf(of[half], edges[half])}${sideOf(of[half], hits[half])}`

const on = ({ path, of, hits }: TiedPair, half: 0 | 1) => ({
	path,
	place: placeOn(of[half].panel, hits[half].at, hits[half].side),
})

export const notTied = {
	far: (tie: TiedPair, stepMm: number, kinkDeg: number, mostMm: number, mostDeg: number): Problem => ({
		...{ code: 'SEAM_TIE_FAR', severity: 'error', ...on(tie, 0) },
		found: `${called(tie, 0)} misses ${nameOf(tie.of[1], tie.edges[1])} of ${tie.of[1].id} at the seam by ${Math.abs(stepMm).toFixed(1)} mm and ${Math.abs(kinkDeg).toFixed(1)} degrees: too much to share, it is not tied`,
		expected: `at most ${mostMm} mm and ${mostDeg} degrees`,
		fix: readAgain(tie),
	}),
	along: (tie: TiedPair, leastDeg: number): Problem => ({
		...{ code: 'SEAM_TIE_ALONG', severity: 'error', ...on(tie, 0) },
		found: `${called(tie, 0)} runs nearly along the seam with ${tie.of[1].id}: it is not tied`,
		expected: `a line that comes to the seam under ${leastDeg} degrees or more`,
		fix: 'leave this line out of the seam, or look whether the datums of the seam are the right ones',
	}),
	sides: (own: PanelResult, theirs: PanelResult, path: string, unclear: PanelResult | undefined): Problem => ({
		...{ code: 'SEAM_TIE_SIDES', severity: 'error', path: `${path}/tie`, place: { panel: own.id } },
		found: unclear
			? `a seam of which it is not clear on which side of it ${unclear.id} lies: no line is tied over it`
			: `${own.id} and ${theirs.id} on the same side of their seam, as one looks at each: no line is tied over it`,
		expected: 'one panel on each side of the seam',
		fix: unclear
			? `give ${unclear.id} an outline that ends at the seam, or measure its lines no farther than the seam`
			: 'look whether the datums stand in the same order along the seam on both panels',
	}),
}

/** Why a line cannot be bent towards a seam on one of its panels. */
export function refusal({ meeting, half }: TiedHalf, moveMm: number, run: Extract<RunIn, { readonly why: string }>): Problem {
	const [of, other] = [meeting.of[half], meeting.of[half === 0 ? 1 : 0]]
	const what = `${called(meeting, half)} on ${of.id}, which would have to move ${Math.abs(moveMm).toFixed(1)} mm at the seam with ${other.id}`
	const common = { severity: 'error', ...on(meeting, half) } as const
	switch (run.why) {
		case 'mark':
			return {
				...{ code: 'SEAM_TIE_MARK', ...common },
				found: `${what} and then passes ${run.offMm.toFixed(1)} mm from mark ${run.key}: it is not tied`,
				expected: `at most ${run.tolerance.toFixed(1)} mm`,
				fix: `${readAgain(meeting)}; or let the other panel give more, or give ${run.key} a larger tolerance`,
			}
		case 'corner':
			return {
				...{ code: 'SEAM_TIE_CORNER', ...common },
				found: `${what} and has a corner ${run.atMm.toFixed(0)} mm from it: it is not tied`,
				expected: 'a length without a corner over which the line can bend',
				fix: `let ${of.id} keep its lines ("keeps": "${of.id}")`,
			}
		case 'short':
			return {
				...{ code: 'SEAM_TIE_SHORT', ...common },
				found: `${what} and is only ${run.roomMm.toFixed(0)} mm long there: it is not tied`,
				expected: 'a length over which the line can bend',
				fix: `let ${of.id} keep its lines ("keeps": "${of.id}")`,
			}
		case 'tape':
			return {
				...{ code: 'SEAM_TIE_TIGHT', ...common },
				found: `${what} and bends to a radius of ${run.radiusMm.toFixed(0)} mm: no tape in stock follows, it is not tied`,
				expected: 'a bend that a tape of the shop follows',
				fix: 'let it bend over a greater length ("over"), or leave that to the program',
			}
	}
}

/** A bend that is tied all the same, though the eye may see it. */
export function seenProblem({ meeting, half }: TiedHalf, turnDeg: number, overMm: number): Problem {
	return {
		...{ code: 'SEAM_TIE_SEEN', severity: 'warning', ...on(meeting, half) },
		found: `${called(meeting, half)} on ${meeting.of[half].id} bends by ${turnDeg.toFixed(1)} degrees over the last ${overMm.toFixed(0)} mm to the seam, which the eye may see`,
		expected: 'a turn that is not seen',
		fix: readAgain(meeting),
	}
}
