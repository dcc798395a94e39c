/** Of a pair the second panel: what was worked out of the first holds of it too, under names of its own. */
import { type Chart, metricRoom } from '../chart/chart.ts'
import type { Curve } from '../chart/point.ts'
import type { Scheme } from '../scheme/scheme.ts'
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

/**
 * The second panel of a pair as it is to be seen, told of the first; undefined where their schemes, what can be painted of them
 * or their charts are not the same to the last digit.
 */
export function seenOnOtherHand(
	{ scheme, seen }: { readonly scheme: Scheme; readonly seen: Seen },
	other: Pick<Seen, 'hand' | 'chart' | 'area'> & { readonly scheme: Scheme },
): Seen | undefined {
	const { hand, chart, area } = other
	if (written([seen.area, scheme], otherSide) !== written([area, other.scheme], (name) => name)) return undefined
	if (!sameChart(seen, chart)) return undefined
	return {
		...{ panel: seen.panel, hand, chart, area },
		parts: seen.parts.map((part) => ({
			...{ ...part, id: otherSide(part.id), side: part.side === 'both' ? 'both' : (hand as 'left' | 'right') },
			...(part.band ? { band: { ...part.band, near: part.band.near.map(named), far: part.band.far.map(named) } } : {}),
		})),
		borders: seen.borders.map((border) => ({
			...{ ...border, id: otherSide(border.id), line: otherSide(border.line), curve: named(border.curve) },
		})),
	}
}

const named = (curve: Curve): Curve => ({ ...curve, id: otherSide(curve.id) })

const areAlike = (one: Seen, other: Seen): boolean =>
	written([one.area, one.parts, one.borders], otherSide) === written([other.area, other.parts, other.borders], (name) => name) &&
	sameChart(one, other.chart)

/** Whether a panel's chart measures as another wherever it can be painted. */
function sameChart({ area, chart }: Seen, other: Chart): boolean {
	const [a, b] = [metricRoom(), metricRoom()]
	return area.every((loop) => loop.every(({ s, g }) => chart.metric(s, g, a).j === other.metric(s, g, b).j))
}

/** Things as text, their names by `name`; which side they are on is left out. */
const written = (things: readonly unknown[], name: (own: string) => string): string =>
	JSON.stringify(things, (key, value) => (key === 'side' ? undefined : typeof value === 'string' ? name(value) : value))
