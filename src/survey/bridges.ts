import type { Chart } from '../chart/chart.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint } from '../chart/point.ts'
import { nearTurn } from '../chart/round.ts'
import { mayBeShort } from '../chart/taut.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import type { Adjustment } from './adjust.ts'
import type { Observation } from './observe.ts'
import { mm, sayObservation } from './words.ts'

/** What is said of a group: more names are a list nobody walks down. */
const MOST_SAID = 5

/** Tapes pulled tight over hollows, where that tells in what they read: said once of a panel, of the one it tells most in. */
export function bridgeNotes(
	chart: Chart,
	panel: Panel,
	panelPath: string,
	{ observations, places }: Adjustment,
): readonly Problem[] {
	const tight = observations.filter(({ reading: { reading } }) => 'pull' in reading && reading.pull === 'tight')
	const said = tight
		.flatMap((o) => {
			const told = noteOf(chart, panel, o, o.keys.map((key) => places.get(key)!) as [ChartPoint, ChartPoint])
			return told && told.shortMm > o.sd ? [{ o, ...told }] : []
		})
		.sort((a, b) => b.shortMm - a.shortMm || a.o.reading.index - b.o.reading.index)
	const worst = said[0]
	if (!worst) return []
	const others = said.slice(1).map(({ o }) => sayObservation(o))
	const alike = others.length === 0 ? '' : `; the same goes for ${listedShort(others, 'and', MOST_SAID)}`
	const { o, shortMm: _, found, ...rest } = worst
	return [{ ...rest, found: `${sayObservation(o)}, ${found}${alike}`, path: `${panelPath}/readings/${o.reading.index}` }]
}

type Note = Omit<Problem, 'path'> & { readonly shortMm: number }

function noteOf(chart: Chart, panel: Panel, o: Observation, at: readonly [ChartPoint, ChartPoint]): Note | undefined {
	const bridges = o.predict(chart, at)?.bridges
	if (!bridges) {
		const path = distance(chart, at[0], nearTurn(chart, at[0], at[1]))
		return (
			path && {
				...{ code: 'TAPE_MAY_BRIDGE', severity: 'warning', place: placeOn(panel, at[0]) },
				shortMm: mayBeShort(chart, at[0], path),
				found:
					'pulled tight where the panel may be hollow, of which only lengths along it are known: it is taken as pressed down',
				expected: 'a tape pressed down, so that it follows the panel into its hollows',
				fix: 'Press it down and read it again, or give the shape of the panel.',
			}
		)
	}
	const highest = bridges.reduce((a, b) => (a && a.liftMm >= b.liftMm ? a : b), bridges[0])
	if (!highest) return undefined
	const shortMm = bridges.reduce((sum, b) => sum + b.shortMm, 0)
	return {
		...{ code: 'TAPE_BRIDGES', severity: 'note', place: placeOn(panel, highest.at) },
		shortMm,
		found: `pulled tight, which bridges a hollow here: it lifts up to ${mm(highest.liftMm)} and is ${mm(shortMm)} shorter than pressed down`,
		expected: 'this only where the tape really hung so; it is reckoned as lifted',
		fix: 'Nothing, if it was pulled tight; write "pull": "pressed" if it was pressed down into the hollow.',
	}
}
