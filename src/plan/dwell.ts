/** Tape that the plan leaves on for longer than its sheet lets it lie. */
import type { Problem } from '../job/problem.ts'
import { plural } from '../job/say.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import type { Session } from './days.ts'
import type { Overstay } from './overstay.ts'
import type { PanelTape } from './steps.ts'

/** Rounding of hours that add up to just the limit. */
const SLACK_HOURS = 1e-9

/** Only where the hours of both its sessions are known: usual hours are no promise of a paint. */
export function overstays(panels: readonly PanelTape[], sessions: readonly Session[]): readonly Overstay[] {
	const out = new Map<string, Overstay>()
	for (const { prefix, id: panel, hand, tape } of panels) {
		for (const run of tape.flatMap(({ stage, runs }) => runs.filter(({ laid }) => laid === stage))) {
			const { longestHours } = run.tape
			const start = sessions.find(({ number }) => number === run.laid)?.hours?.start
			if (longestHours === undefined || start === undefined) continue
			const liesFor = (session: Session) => {
				const lifted = liftedAt(session)
				return lifted === undefined ? undefined : lifted - start
			}
			const own = sessions.filter(({ number }) => number >= run.laid && number <= run.until)
			const last = own.at(-1)
			const hours = last?.number === run.until ? liesFor(last) : undefined
			if (hours === undefined || hours <= longestHours + SLACK_HOURS) continue
			const key = [prefix, run.tape.id, run.laid, run.until].join(' ')
			const before = out.get(key)
			// A panel that a session leaves out can be untaped after it as well, but nobody would.
			const inTime = own.filter(
				(session) => session.panels.includes(prefix) && (liesFor(session) ?? Infinity) <= longestHours + SLACK_HOURS,
			)
			const liftAfter = inTime.at(-1)?.number
			out.set(key, {
				...{ prefix, panel, hand, tape: run.tape, laid: run.laid, until: run.until, hours, longestHours },
				runs: [...(before?.runs ?? []), run.number],
				ids: [...(before?.ids ?? []), run.id],
				...(liftAfter === undefined ? {} : { liftAfter }),
			})
		}
	}
	return [...out.values()]
}

/** While the paint is tacky, or when it takes tape; a paint that has cured is past that by an unknown time. */
function liftedAt({ hours, system }: Session): number | undefined {
	if (!hours) return undefined
	const { lift, tapeHours } = system ?? {}
	return hours.end + (lift && lift.value !== 'tacky' && tapeHours && !tapeHours.assumed ? tapeHours.value : 0)
}

const hoursSaid = (hours: number) => `${Number(hours.toFixed(1))} h`

/** What to do about it. */
export const overstayFix = ({ liftAfter, until }: Pick<Overstay, 'liftAfter' | 'until'>): string =>
	liftAfter === undefined || liftAfter >= until
		? 'Take a stock that may lie longer.'
		: `Lift it after session ${liftAfter} and lay it again before the next, or take a stock that may lie longer.`

/** `pathOf` a panel by its id. */
export const overstayProblems = (list: readonly Overstay[], pathOf: (panel: string) => string): readonly Problem[] =>
	list.map((one) => ({
		code: 'TAPE_STAYS_TOO_LONG',
		severity: 'warning',
		path: pathOf(one.panel),
		place: { panel: one.panel, ...(one.hand === 'centre' ? {} : { side: one.hand }) },
		found: `${plural(one.runs.length, 'run')} of ${tapeWords(one.tape)} tape (${one.runs.join(', ')}) on ${one.prefix} from session ${one.laid} until after session ${one.until}: at least ${hoursSaid(one.hours)} by the plan`,
		expected: `at most ${hoursSaid(one.longestHours)}, as its sheet says`,
		fix: overstayFix(one),
	}))
