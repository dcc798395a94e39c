import { area } from '../chart/area.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import type { Paintwork, PanelPaintwork } from '../engine/paintwork.ts'
import type { KnifeMask, RunEnd, StageTape, TapeRun } from '../tape/run.ts'
import type { PaintworkData } from './paintworkSchema.ts'

type PanelData = PaintworkData['panels'][number]
type StageData = PanelData['stages'][number]

const at = ({ s, g }: ChartPoint): [number, number] => [s, g]
const loops = (region: ChartRegion) => region.map((loop) => loop.map(at))

/** Tape and paint as plain data. */
export function paintworkData({ choice, ...work }: Paintwork): PaintworkData {
	return {
		order: [...work.order],
		why: choice.chosen.why,
		minutes: choice.chosen.minutes,
		alternatives: choice.alternatives.map(({ order, minutes, why }) => ({ order: [...order], minutes, why })),
		panels: work.panels.map(panelData),
		clears: [...work.clears].map(([panel, { plan }]) => ({
			...{ panel, asked: plan.asked },
			...(plan.decals ? { decals: plan.decals } : {}),
			films: plan.films.map(({ where, coats, filmUm, leastUm }) => ({ where, coats, filmUm, leastUm })),
		})),
		paints: work.quantities.paints.map(({ paint, areaMm2, ml, cups }) => ({ paint, areaMm2, ml, cups })),
		tapes: work.shopping.tapes.map(({ tape, laidMm, buyMm, joints, rolls }) => ({
			...{ tape: tape.id, laidMm, buyMm, joints },
			...(rolls === undefined ? {} : { rolls }),
		})),
		sessions: work.sessions.map(({ number, paint, clear, panels, day, quantity }) => {
			const small = work.smallMixes.find(({ session }) => session === number)
			return {
				...{ number, paint, panels: [...panels] },
				...(clear === undefined ? {} : { clear }),
				...(day === undefined ? {} : { day }),
				...(quantity ? { ml: quantity.ml } : {}),
				...(small ? { mixAtLeastMl: small.leastMl, togetherWith: [...small.together] } : {}),
			}
		}),
		overstays: work.overstays.map(({ prefix, tape, ids, laid, until, hours, longestHours, liftAfter }) => ({
			...{ panel: prefix, tape: tape.id, runs: [...ids], laid, until, hours, longestHours },
			...(liftAfter === undefined ? {} : { liftAfter }),
		})),
		paperMm2: work.shopping.paperMm2,
		filmMm2: work.shopping.filmMm2,
		steps: work.steps.map(({ id, kind, runs, done }) => ({ id, kind, runs: [...runs], ...(done ? { done: done.on } : {}) })),
	}
}

function panelData({ id, hand, seen, stages, tape, proof, films, ridges, moved }: PanelPaintwork): PanelData {
	return {
		...{ panel: id, hand, holds: proof.holds },
		parts: proof.parts.map(({ part, areaMm2, rightMm2, bareMm2, wrongMm2, widestMm }) => ({
			...{ id: seen.parts[part]?.id ?? '', coats: [...(seen.parts[part]?.coats ?? [])] },
			...{ areaMm2, rightMm2, bareMm2, wrongMm2, widestMm },
		})),
		stages: stages.flatMap(({ number, paint, mode, open }, i): StageData[] => {
			const taped = tape[i]
			return taped ? [{ number, paint, mode, openMm2: area(seen.chart, open), open: loops(open), ...tapeData(taped) }] : []
		}),
		films: films.cells.map(({ films: list, totalUm, areaMm2 }) => ({
			films: list.map((film) => ({ ...film })),
			totalUm,
			areaMm2,
		})),
		ridges: ridges.map(({ line, ...ridge }) => ({ ...ridge, line: line.map(at) })),
		moved: moved.map(({ line, worstMm, worstAt }) => ({ line, worstMm, at: at(worstAt) })),
	}
}

function tapeData({ runs, knives, backing, paper, laps, trims, lay, lift, gap }: StageTape) {
	const { lineMm, stripMm, openMm2, widestMm, overMm2 } = gap
	return {
		runs: runs.map(runData),
		masks: knives.map(maskData),
		backing: backing.map(({ over, tape, lengthMm }) => ({ over, tape: tape.id, lengthMm })),
		paperMm2: paper.areaMm2,
		laps: laps.map((lap) => ({ ...lap, at: at(lap.at) })),
		trims: trims.map((trim) => ({ ...trim, at: at(trim.at) })),
		lay: [...lay],
		lift: [...lift],
		gap: { lineMm, stripMm, openMm2, widestMm, overMm2 },
	}
}

const endData = ({ kind, at: place, overMm, angleDeg }: RunEnd) => ({
	...{ kind, at: at(place), overMm },
	...(angleDeg === undefined ? {} : { angleDeg }),
})

function runData(run: TapeRun): StageData['runs'][number] {
	const { id, number, kind, tape, follows, offMm, lengthMm, joints, strain, offWidthMm, laid, until } = run
	return {
		...{
			id,
			number,
			kind,
			tape: tape.id,
			widthMm: tape.width,
			follows: [...follows],
			offMm,
			lengthMm,
			joints,
			strain,
			laid,
			until,
		},
		...{ front: endData(run.front), rear: endData(run.rear), outline: loops(run.outline) },
		...(offWidthMm === undefined ? {} : { offWidthMm }),
	}
}

const maskData = ({ id, number, why, lengthMm, laid, until, outline }: KnifeMask) => ({
	...{ id, number, why, lengthMm, laid, until },
	outline: loops(outline),
})
