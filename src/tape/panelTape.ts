/** All the tape of one panel, stage by stage: what is laid for each, what stays from before, what is lifted after it. */
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import type { Shop } from '../job/shop.ts'
import type { Region } from '../plane/point.ts'
import { areaOf, intersect, intersectSmall, subtract, union } from '../plane/region.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { strip } from '../stages/strip.ts'
import { backed } from './backing.ts'
import { gapOf, letPassAlong } from './gaps.ts'
import { lapsOf } from './laps.ts'
import { layStage } from './lay.ts'
import { layOrder } from './layOrder.ts'
import type { KnifeMask, LaidKnife, LaidRun, StageTape, TapeRun } from './run.ts'

/** On what is to be painted no more than this lies of a run that stays, mm^2. */
const CLEAR_MM2 = 0.5

/** The masking of every stage of a panel; a run that would be laid again in the next stage stays instead. */
export function tapePanel(seen: Seen, stages: readonly Stage[], shop: Shop, prefix: string): readonly StageTape[] {
	const counted = countedOver(
		stages.map((stage) => ({ stage, ...layStage({ seen, stage, shop }) })),
		prefix,
	)
	const byNumber = [...counted.runs, ...counted.knives].sort((a, b) => a.number - b.number)
	const allLaps = lapsOf(seen, byNumber)
	return stages.map((stage): StageTape => {
		const here = ({ laid, until }: { readonly laid: number; readonly until: number }) =>
			laid <= stage.number && until >= stage.number
		const runs = counted.runs.filter(here)
		const knives = counted.knives.filter(here)
		const lying = byNumber.filter(here)
		const ids = new Set(lying.map(({ id }) => id))
		const { lay, lift, trims, laps } = layOrder(
			lying.map(({ id, number, laid, until }) => ({ id, number, laid, until })),
			allLaps.filter(({ under, over }) => ids.has(under) && ids.has(over)),
		)
		const covers = lying.map(({ outline }) => toPlane(outline))
		const letPass = narrowerBy(seen, runs)
		const taped = union(covers)
		const gap = gapOf(seen, stage, taped, letPass)
		const { backing, paperMm2 } = backed(seen, stage, runs, shop.tapes, taped)
		return {
			stage: stage.number,
			paint: stage.paint,
			runs,
			knives,
			backing,
			laps,
			trims,
			paper: { areaMm2: paperMm2 },
			// Where tape leaves no gap and lies on nothing that is to be painted, what is open is what is meant to be.
			open: gap.openMm2 === 0 && gap.overMm2 === 0 ? stage.open : toChart(reallyOpen(seen, stage, taped, letPass)),
			gap,
			lay: lay.filter((id) => lying.some((each) => each.id === id && each.laid === stage.number)),
			lift: lift.filter((id) => lying.some((each) => each.id === id && each.until === stage.number)),
		}
	})
}

/** Half of what tape is narrower than its stripe, mm, by border: within what the shop lets pass. */
const narrowerBy = ({ borders }: Seen, runs: readonly TapeRun[]): ReadonlyMap<string, number> =>
	new Map(
		borders.flatMap(({ id, line }) => {
			const run = runs.find(({ kind, follows }) => kind === 'stripe' && follows.includes(line))
			return run ? [[id, Math.max(0, run.offMm)] as const] : []
		}),
	)

/** So near a painted line only the tape itself counts as cover, mm: farther off backing and paper lie on it. */
const BY_TAPE_ALONE_MM = 1

/** What is meant to be open, and beside painted lines all else that no tape and no mask covers. */
function reallyOpen({ chart, area }: Seen, stage: Stage, taped: Region, letPass: ReadonlyMap<string, number>): Region {
	const beside = stage.edges.flatMap((edge) =>
		edge.kind === 'line' ? strip(chart, edge.curve, letPassAlong(edge, letPass), BY_TAPE_ALONE_MM) : [],
	)
	if (beside.length === 0) return taped.length > 0 ? subtract(toPlane(stage.open), taped) : toPlane(stage.open)
	return intersect(subtract(union([toPlane(stage.open), beside]), taped), toPlane(area))
}

interface Lying {
	readonly id: string
	readonly number: number
	readonly laid: number
	readonly until: number
	readonly outline: ChartRegion
}

interface StageLaid {
	readonly stage: Stage
	readonly runs: readonly LaidRun[]
	readonly knives: readonly LaidKnife[]
}

/** Runs and masks of all stages, each once, numbered in the order they are laid. */
function countedOver(laid: readonly StageLaid[], prefix: string): { runs: readonly TapeRun[]; knives: readonly KnifeMask[] } {
	const runs: TapeRun[] = []
	const knives: KnifeMask[] = []
	let number = 0
	laid.forEach(({ stage, runs: laidRuns, knives: laidKnives }, i) => {
		/** laid before and still there: it stays, as it lies or with the ends that this stage asks for, if they do for both */
		const stays = <T extends Lying>(list: T[], now: Omit<T, 'id' | 'number' | 'until'>, same: (one: T) => boolean) => {
			const before = laid[i - 1]?.stage.number
			const index = list.findIndex((one) => one.until === before && same(one))
			const one = list[index]
			if (!one) return false
			const since = laid.filter((each) => each.stage.number >= one.laid && each.stage.number < stage.number)
			const { number: order, id } = one
			if (clearOf(one.outline, stage)) list[index] = { ...one, until: stage.number }
			else if (since.every((each) => clearOf(now.outline, each.stage))) {
				list[index] = { ...one, ...now, id, number: order, laid: one.laid, until: stage.number }
			} else return false
			return true
		}
		for (const run of inOrder(laidRuns)) {
			if (stays(runs, run, (one) => sameRun(one, run))) continue
			number++
			runs.push({ ...run, id: `${prefix}/${stage.paint}/run/${number}`, number, until: stage.number })
		}
		for (const knife of laidKnives) {
			if (stays(knives, knife, (one) => sameMask(one, knife))) continue
			number++
			knives.push({ ...knife, id: `${prefix}/${stage.paint}/mask/${number}`, number, until: stage.number })
		}
	})
	return { runs, knives }
}

/** Stripes first, then the painted edges from the longest, then what is hidden. */
const KINDS: readonly TapeRun['kind'][] = ['stripe', 'edge', 'lap']
const inOrder = (runs: readonly LaidRun[]) =>
	[...runs].sort((a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || Math.round(1e3 * (b.lengthMm - a.lengthMm)))

const sameRun = (a: TapeRun, b: LaidRun) =>
	a.kind !== 'lap' &&
	a.kind === b.kind &&
	a.tape.id === b.tape.id &&
	samePlace(a.front.at, b.front.at) &&
	samePlace(a.rear.at, b.rear.at) &&
	sameList(a.covers, b.covers)
const samePlace = (a: ChartPoint, b: ChartPoint) => Math.hypot(a.s - b.s, a.g - b.g) < 0.1
const sameMask = (a: KnifeMask, b: LaidKnife) =>
	a.why === b.why && Math.abs(a.lengthMm - b.lengthMm) < 0.05 && sameList(a.covers, b.covers) && sameList(a.follows, b.follows)
const sameList = <T>(a: readonly T[], b: readonly T[]) => a.length === b.length && a.every((each, i) => each === b[i])

const clearOf = (outline: ChartRegion, stage: Stage) => areaOf(intersectSmall(toPlane(outline), toPlane(stage.open))) < CLEAR_MM2
