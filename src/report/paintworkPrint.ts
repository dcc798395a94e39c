/** What the papers of taping and painting are made from. */
import type { Result } from '../engine/compute.ts'
import type { Paintwork, PanelPaintwork } from '../engine/paintwork.ts'
import type { Paint } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Stage } from '../stages/parts.ts'
import type { StageTape } from '../tape/run.ts'

export interface PaintworkPrint {
	readonly result: Result
	readonly shop: Shop
	readonly paintwork: Paintwork
	/** the number of the piece that is a knife mask, by the mask's id */
	readonly pieceOf?: (mask: string) => number | undefined
}

/** One stage of one panel with its tape. */
export interface StageWork {
	readonly work: PanelPaintwork
	readonly stage: Stage
	readonly tape: StageTape
	readonly paint: Paint
	/** "Side cover, left" */
	readonly title: string
	/** a name for files and for elements of a page, no two alike: side-cover-left-2-gold */
	readonly key: string
}

/** Of a part's coats the last that is on before a stage; a candy's base alone is on until the candy is. */
export function lastOn({ work, stage }: Pick<StageWork, 'work' | 'stage'>, coats: readonly string[]): string | undefined {
	const on = work.stages.filter(({ number }) => number < stage.number).map(({ paint }) => paint)
	return coats.filter((coat) => on.includes(coat)).at(-1)
}

/** Every stage of every panel, session by session, panels in the order of the job. */
export function stageWorks({ result, paintwork }: Pick<PaintworkPrint, 'result' | 'paintwork'>): readonly StageWork[] {
	const all = paintwork.panels.flatMap((work) => {
		const title = panelTitle(work)
		return work.stages.flatMap((stage, i): StageWork[] => {
			const tape = work.tape[i]
			const paint = result.job.paints.find(({ id }) => id === stage.paint)
			if (!tape || !paint) return []
			return [{ work, stage, tape, paint, title, key: `${work.prefix}/${stage.number}/${stage.paint}`.replaceAll('/', '-') }]
		})
	})
	const taken = new Set<string>()
	return all
		.sort((a, b) => a.stage.number - b.stage.number)
		.map((of) => {
			let key = of.key
			for (let i = 2; taken.has(key); i++) key = `${of.key}-${i}`
			taken.add(key)
			return { ...of, key }
		})
}

/** Of a pair, and of a panel that is on one side, the side is said too. */
export const panelTitle = ({ title, hand }: Pick<PanelPaintwork, 'title' | 'hand'>): string =>
	hand === 'centre' || title.toLowerCase().split(/\W+/).includes(hand) ? title : `${title}, ${hand}`

/** Stages by their session. */
export function sessionsOf(works: readonly StageWork[]): readonly (readonly StageWork[])[] {
	const numbers = [...new Set(works.map(({ stage }) => stage.number))]
	return numbers.map((number) => works.filter(({ stage }) => stage.number === number))
}
