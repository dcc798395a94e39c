/** Where lines come to tied seams, by what they miss each other there, and what may not be tied. */
import type { Problem } from '../job/problem.ts'
import type { Job, Seam as SeamInput } from '../job/schema.ts'
import type { PanelResult } from './panelResult.ts'
import type { EdgeHit } from './seamLines.ts'
import { type MetSeam, meetSeam } from './seamMeet.ts'
import { halfWrap } from './tieBend.ts'
import type { TieMiss, TiePart } from './tieShares.ts'
import { notTied } from './tieWords.ts'

/** More than this is no chance of reading: something is measured wrong (common practice, no source). */
const MOST_STEP_MM = 3
const MOST_KINK_DEG = 3
/** A line that runs along a seam has no place where it comes to it. */
const LEAST_ANGLE_DEG = 10
export const DEG = Math.PI / 180

/** One line at a tied seam before anything is bent: first the panel that declares the seam. */
export interface Meeting {
	/** JSON pointer to the pair of lines */
	readonly path: string
	readonly of: readonly [PanelResult, PanelResult]
	readonly edges: readonly [string, string]
	readonly hits: readonly [EdgeHit, EdgeHit]
	readonly input: SeamInput
	readonly met: MetSeam
	readonly miss: TieMiss
	/** the panel lies farther along its line (1) or before (-1) */
	readonly inward: readonly [1 | -1, 1 | -1]
}

export interface Half {
	readonly meeting: Meeting
	readonly half: 0 | 1
}

/** Every place where lines are to be tied. */
export function meetingsOf(
	job: Job,
	own: PanelResult,
	theirs: PanelResult,
	input: SeamInput,
	path: string,
	problems: Problem[],
): Meeting[] {
	const met = meetSeam(own, theirs, input, { job, path })
	// What is wrong with the seam itself is said where its panels are compared.
	if ('notOn' in met) return []
	const [left, right] = met.lies
	if (left === undefined || right === undefined || left === right) {
		problems.push(notTied.sides(own, theirs, path, left === undefined ? own : right === undefined ? theirs : undefined))
		return []
	}
	const keeps = input.tie?.keeps
	const shares = keeps === own.id ? ([0, 1] as const) : keeps === theirs.id ? ([1, 0] as const) : ([0.5, 0.5] as const)
	return input.lines.flatMap((edges, i) => {
		const { pairs } = met.lines[i] as MetSeam['lines'][number]
		const at = `${path}/lines/${i}`
		return pairs.flatMap((pair): Meeting[] => {
			const [p, q] = pair
			const angle = halfWrap(q.angle - p.angle)
			const alongMm = q.alongMm * met.stretch - p.alongMm - met.overGap(p.angle + shares[0] * angle)
			const where = { path: at, of: [own, theirs], edges, hits: pair } as const
			if (Math.sin(p.angle) < Math.sin(LEAST_ANGLE_DEG * DEG) || Math.sin(q.angle) < Math.sin(LEAST_ANGLE_DEG * DEG)) {
				problems.push(notTied.along(where, LEAST_ANGLE_DEG))
				return []
			}
			if (Math.abs(alongMm) > MOST_STEP_MM || Math.abs(angle) > MOST_KINK_DEG * DEG) {
				problems.push(notTied.far(where, alongMm, angle / DEG, MOST_STEP_MM, MOST_KINK_DEG))
				return []
			}
			const part = (half: 0 | 1): TiePart => {
				const [of, hit] = [half === 0 ? own : theirs, pair[half]]
				const { fold, orientation } = handed(of, hit, met, half)
				const scale = half === 0 ? 1 : met.stretch
				return {
					place: '',
					share: shares[half],
					alongByMove: (-fold * scale) / Math.sin(hit.turn),
					angleByTurn: (orientation * fold) as 1 | -1,
				}
			}
			const inward = (half: 0 | 1): 1 | -1 => {
				const { orientation } = handed(half === 0 ? own : theirs, pair[half], met, half)
				return (half === 0 ? left : right) * orientation * Math.sin(pair[half].turn) > 0 ? 1 : -1
			}
			return [
				{
					...{ ...where, input, met },
					miss: { parts: [part(0), part(1)], alongMm, angle },
					inward: [inward(0), inward(1)],
				},
			]
		})
	})
}

/** How a line lies on its side against how it was fitted (-1 where it is its mirror image), and how that side is seen. */
export function handed(of: PanelResult, { fit, side }: EdgeHit, met: MetSeam, half: 0 | 1) {
	const mirrored = of.lines?.edges[fit]?.hand === 'mirrored' && of.panel.hand === 'centre' && side === 'left'
	const { chart } = of.shape?.now.find(({ hand }) => hand === side) ?? met.halves[half]
	return { fold: mirrored ? -1 : 1, orientation: chart.orientation }
}
