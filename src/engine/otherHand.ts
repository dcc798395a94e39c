/** Of a pair the second panel: what was worked out of the first holds of it too, under names of its own. */
import { metricRoom } from '../chart/chart.ts'
import type { Curve } from '../chart/point.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { otherSide } from '../tape/mirror.ts'
import type { StageTape } from '../tape/run.ts'
import type { PanelPaintwork } from './panelPaintwork.ts'

/**
 * The work on one panel of a pair, told of the other. Undefined where the two are not the same in the (s, g) plane to the last
 * digit: a patch or a painted edge on one of them alone, another mode for its first paint.
 */
export function onOtherHand(
	work: PanelPaintwork,
	{ seen, moved, prefix, first }: Pick<PanelPaintwork, 'seen' | 'moved' | 'prefix'> & { readonly first: Stage['mode'] },
): PanelPaintwork | undefined {
	if (work.stages.some(({ mode }, i) => i === 0 && mode !== first) || !areAlike(work.seen, seen)) return undefined
	const id = (own: string) => prefix + own.slice(work.prefix.length)
	const films = { ...work.films, hand: seen.hand, chart: seen.chart }
	return {
		...{ ...work, hand: seen.hand, prefix, seen, moved, films },
		proof: { ...work.proof, hand: seen.hand },
		stages: work.stages.map(
			(stage): Stage => ({
				...stage,
				edges: stage.edges.map((edge) => ({
					...{ ...edge, curve: named(edge.curve), borders: edge.borders.map(otherSide), lines: edge.lines.map(otherSide) },
				})),
			}),
		),
		tape: work.tape.map((stage): StageTape => {
			const along = <T extends { readonly id: string; readonly line: Curve; readonly follows: readonly string[] }>(
				one: T,
			): T => ({
				...{ ...one, id: id(one.id), line: named(one.line), follows: one.follows.map(otherSide) },
			})
			return {
				...{ ...stage, runs: stage.runs.map(along), knives: stage.knives.map(along) },
				backing: stage.backing.map((one) => ({ ...one, over: id(one.over) })),
				laps: stage.laps.map((lap) => ({ ...lap, under: id(lap.under), over: id(lap.over) })),
				trims: stage.trims.map((trim) => ({ ...trim, run: id(trim.run), over: id(trim.over) })),
				...{ lay: stage.lay.map(id), lift: stage.lift.map(id) },
			}
		}),
	}
}

const named = (curve: Curve): Curve => ({ ...curve, id: otherSide(curve.id) })

function areAlike(one: Seen, other: Seen): boolean {
	const [a, b] = [metricRoom(), metricRoom()]
	return (
		written(one, otherSide) === written(other, (name) => name) &&
		one.area.every((loop) => loop.every(({ s, g }) => one.chart.metric(s, g, a).j === other.chart.metric(s, g, b).j))
	)
}

/** All that stages and tape are worked out from, as text. */
const written = ({ area, parts, borders }: Seen, name: (own: string) => string): string =>
	JSON.stringify([area, parts, borders], (key, value) =>
		key === 'side' ? undefined : typeof value === 'string' ? name(value) : value,
	)
