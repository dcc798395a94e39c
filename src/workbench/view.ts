/** What the page shows of a job: the engine's answer as plain data, panel by panel. */
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { type Shop, TOLERANCES } from '../job/shop.ts'
import { tapedWords } from '../sides/tapedWords.ts'
import { sidesWords } from '../sides/words.ts'
import { crossingsIn, lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type CheckRow, checksOf } from './checkView.ts'
import { type ArtworkView, artworkView, type DecalView, decalViews } from './decalView.ts'
import { type ProofView, proofViewOf } from './proofView.ts'
import { type ReadingView, readingsOf } from './readings.ts'
import { type Scene, scenesOf } from './scene.ts'
import { type ShapeView, shapeViewOf } from './shapeView.ts'
import { type SidesView, sidesViewOf } from './sidesView.ts'

export interface PanelView {
	readonly id: string
	readonly title: string
	readonly hand: Panel['hand']
	/** JSON pointer to it */
	readonly path: string
	/** how its shape was captured */
	readonly capture: Panel['found']['kind']
	readonly scenes: readonly Scene[]
	readonly readings: readonly ReadingView[]
	/** left against right, and edges as taped, in words */
	readonly sides: readonly string[]
	readonly taped: readonly string[]
	/** the same as pictures */
	readonly both: SidesView
	/** where taped edges are to be measured, and where strips meet the old paint: known where strip stations were asked for */
	readonly checks: readonly CheckRow[]
	readonly proof: ProofView
	/** what the readings behind its shape are good for */
	readonly shape: ShapeView
	readonly decals: readonly DecalView[]
}

export interface JobView {
	readonly title: string
	readonly unit: Unit
	readonly revision: string
	/** in the job's unit */
	readonly problems: readonly Problem[]
	readonly panels: readonly PanelView[]
	/** what decals are: those that could be read */
	readonly artwork: readonly ArtworkView[]
}

/** Scenes and readings of the one panel that is looked at, a few words of all others. `tolerances`: what the shop lets lines and decals be off. */
export function viewOf(result: Result, looked: string | undefined, tolerances: Shop['tolerances'] = TOLERANCES): JobView {
	const { job } = result
	const { unit } = job
	return {
		title: job.title,
		unit,
		revision: result.revision,
		problems: result.problems.map((problem) => said(problem, unit)),
		panels: result.panels.map((panel, index) =>
			panel.id === looked ? whole(result, panel, index, tolerances) : brief(result, panel, index),
		),
		artwork: [...(result.artwork?.values() ?? [])].map((one) => artworkView(one, unit)),
	}
}

const said = (problem: Problem, unit: Unit): Problem => ({
	...problem,
	found: lengthsIn(problem.found, unit),
	expected: lengthsIn(problem.expected, unit),
	fix: lengthsIn(problem.fix, unit),
})

function brief({ job }: Result, { id, title, hand }: PanelResult, index: number): PanelView {
	return {
		...{ id, title, hand, path: `/panels/${index}`, capture: job.panels[index]?.found.kind ?? 'flat' },
		...{ scenes: [], readings: [], sides: [], taped: [], shape: { limit: [] } },
		...{ both: { both: [] }, checks: [], proof: { rows: [], lines: [] }, decals: [] },
	}
}

function whole(result: Result, panel: PanelResult, index: number, tolerances: Shop['tolerances']): PanelView {
	const { job } = result
	const path = `/panels/${index}`
	const words = (lines: readonly string[]) => lines.map((line) => crossingsIn(line, job.unit))
	return {
		...brief(result, panel, index),
		scenes: scenesOf(job, panel, path),
		readings: readingsOf(panel, path, job.unit, result.problems),
		shape: shapeViewOf(panel, job.unit),
		both: sidesViewOf(panel, job.unit),
		checks: checksOf(panel, job.unit),
		decals: decalViews(panel, job, tolerances),
		proof: proofViewOf(panel, tolerances.line, job.unit),
		sides: panel.sides ? words(sidesWords(panel.sides, panel.panel, job.unit)) : [],
		taped: panel.taped ? words(tapedWords(panel.taped, panel.panel, job.unit)) : [],
	}
}
