/** What the page shows of taping and painting: the engine's paintwork as plain data and words. */
import type { PanelClear } from '../engine/paintwork.ts'
import type { Problem } from '../job/problem.ts'
import type { ClearFilm } from '../paint/clear.ts'
import { filmWords } from '../paint/clearProblems.ts'
import { DECAL_CHOICE } from '../paint/decalChoice.ts'
import type { PaintQuantity } from '../paint/quantity.ts'
import type { PaintSystem } from '../paint/system.ts'
import type { Session } from '../plan/days.ts'
import { isClearStep } from '../plan/steps.ts'
import { clearKey, clearStepsOf, clearTitle, clearWords, PHASE } from '../report/clearWords.ts'
import { type PaintworkPrint, panelTitle, type StageWork, stageWorks } from '../report/paintworkPrint.ts'
import { knifeWhy } from '../report/runWords.ts'
import { shoppingItems } from '../report/shoppingList.ts'
import { ASSUMED, hoursWords, liftWords, mlWords, recoatWords, smallMixWords } from '../report/sprayWords.ts'
import { type StepWords, stepWords } from '../report/stepWords.ts'
import { lengthFigure } from '../template/measured.ts'
import { lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type GroundView, groundView } from './decalView.ts'

/** One stage of one panel, or its clear and decals. */
export interface StageHead {
	readonly key: string
	readonly session: number
	readonly title: string
	/** whether anything is left open beside a painted line, and tape over what is to be painted */
	readonly gap: { readonly says: string; readonly wrong: boolean }
	readonly masks: readonly { readonly number: number; readonly says: string }[]
}

/** One session: a paint on all of its panels. */
export interface SessionView {
	readonly number: number
	readonly paint: string
	readonly name: string
	readonly panels: string
	readonly day: string
	readonly coats: string
	readonly film: string
	readonly perCoat: string
	readonly ml: string
	readonly cups: string
	/** what has to be waited for, in words */
	readonly waits: readonly string[]
	/** figures that are usual ones */
	readonly assumed: readonly string[]
}

export interface ClearView {
	readonly panel: string
	readonly asked: boolean
	/** a row for each place: what is sprayed, what comes off, what is left */
	readonly films: readonly { readonly where: string; readonly steps: string; readonly left: string; readonly least: string }[]
	readonly usual: Readonly<Record<'before' | 'over' | 'elsewhere' | 'flow' | 'filmUm', string>>
	readonly takenOff: string
	readonly rubThrough: readonly string[]
}

export interface FilmsView {
	readonly panel: string
	readonly films: readonly { readonly says: string; readonly paints: string; readonly area: string }[]
	readonly ridges: readonly { readonly says: string }[]
}

export interface PaintworkView {
	readonly revision: string
	readonly steps: readonly StepWords[]
	readonly stages: readonly StageHead[]
	readonly order: {
		readonly paints: readonly string[]
		readonly says: string
		readonly why: string
		readonly asked: boolean
		readonly others: readonly { readonly paints: readonly string[]; readonly says: string; readonly why: string }[]
	}
	readonly sessions: readonly SessionView[]
	/** of each paint by its id, the figures that stand where the job says none */
	readonly usual: Readonly<Record<string, Readonly<Record<string, string>>>>
	readonly clears: readonly ClearView[]
	readonly films: readonly FilmsView[]
	readonly shopping: readonly { readonly what: string; readonly need: string; readonly buy: string }[]
	readonly decals: Readonly<Record<'under' | 'over', readonly string[]>>
	readonly grounds: readonly GroundView[]
	readonly problems: readonly Problem[]
}

export function paintworkView(print: PaintworkPrint): PaintworkView {
	const { result, paintwork } = print
	const { unit } = result.job
	const works = stageWorks(print)
	const { choice } = paintwork
	const names = (order: readonly string[]) => order.map((id) => nameOf(print, id)).join(', then ')
	return {
		revision: result.revision,
		steps: paintwork.steps.flatMap((step) => {
			if (isClearStep(step)) return [clearWords(print, step)]
			const of = works.find(({ work, stage }) => work.prefix === step.prefix && stage.number === step.stage)
			return of ? [stepWords(print, of, step)] : []
		}),
		stages: [...works.map((of) => stageHead(print, of)), ...clearHeads(print)],
		order: {
			...{ paints: choice.chosen.order, says: names(choice.chosen.order), why: choice.chosen.why, asked: choice.asked },
			others: choice.alternatives.map(({ order, why }) => ({ paints: order, says: names(order), why })),
		},
		sessions: paintwork.sessions.map((session) => sessionView(print, session)),
		usual: Object.fromEntries([...paintwork.systems].map(([id, system]) => [id, usualOf(system)])),
		clears: [...paintwork.clears].map(([panel, clear]) => clearView(panel, clear)),
		films: result.panels.map(({ id }) => filmsView(print, id, unit)),
		shopping: shoppingItems(print).map(({ what, need, buy, assumed }) => ({
			...{ what, need: assumed ? `${need}${ASSUMED}` : need, buy: buy ?? '' },
		})),
		grounds: (result.grounds ?? []).map((ground) => groundView(ground, (id) => nameOf(print, id), unit)),
		decals: {
			under: DECAL_CHOICE.under.map(({ sentence }) => sentence),
			over: DECAL_CHOICE.over.map(({ sentence }) => sentence),
		},
		problems: paintwork.problems.map((problem) => ({
			...problem,
			...{
				found: lengthsIn(problem.found, unit),
				expected: lengthsIn(problem.expected, unit),
				fix: lengthsIn(problem.fix, unit),
			},
		})),
	}
}

const nameOf = ({ paintwork, result }: PaintworkPrint, id: string) =>
	paintwork.systems.get(id)?.name ?? result.job.paints.find((paint) => paint.id === id)?.name ?? id

/** Less is no place that anybody would see, mm^2. */
const SEEN_MM2 = 0.01

function stageHead(print: PaintworkPrint, of: StageWork): StageHead {
	const { unit } = print.result.job
	const { gap, knives } = of.tape
	const open = gap.openMm2 > SEEN_MM2
	const over = gap.overMm2 > SEEN_MM2
	const looked = lengthFigure(gap.lineMm, unit)
	const says =
		gap.lineMm === 0
			? 'no line to tape'
			: [
					open
						? `beside ${looked} of painted line ${lengthFigure(gap.widestMm, unit)} at the widest is covered by nothing`
						: `beside ${looked} of painted line nothing is left open`,
					over
						? `tape lies over ${gap.overMm2.toFixed(1)} mm² of what is to be painted`
						: 'no tape lies on what is to be painted',
				].join('; ')
	return {
		...{ key: of.key, session: of.stage.number, title: `${of.title}: ${of.paint.name}`, gap: { says, wrong: open || over } },
		masks: knives
			.filter(({ laid }) => laid === of.stage.number)
			.map((mask) => {
				const piece = print.pieceOf?.(mask.id)
				const made = piece === undefined ? '' : `, piece ${piece} of the templates`
				return { number: mask.number, says: `knife mask ${mask.number}${made}: ${knifeWhy(mask)}` }
			}),
	}
}

/** One list of steps for each panel, after its stages. */
function clearHeads(print: PaintworkPrint): readonly StageHead[] {
	const steps = clearStepsOf(print)
	return [...new Set(steps.map(({ panel }) => panel))].map((panel) => {
		const own = steps.filter((step) => step.panel === panel)
		const title = print.result.panels.find(({ id }) => id === panel)?.title ?? panel
		return {
			...{ key: clearKey(panel), session: own[0]?.session ?? 0, title: `${title}: ${clearTitle(own)}` },
			...{ gap: { says: 'nothing to tape', wrong: false }, masks: [] },
		}
	})
}

function sessionView(print: PaintworkPrint, session: Session): SessionView {
	const { number, paint, panels, system, quantity, day, tapedOver, clear } = session
	const waits = [
		...(session.coatsHours ? [`its coats take ${hoursWords(session.coatsHours)}`] : []),
		...(session.mixes !== undefined && session.mixes > 1 ? [`mix ${session.mixes} times, a mix does not outlast it`] : []),
		...(session.tapeHours !== undefined ? [`tape may lie on it after ${hoursWords(session.tapeHours)}`] : []),
		...(tapedOver && session.tapeHours === undefined ? ['when tape may lie on it is not said: see its sheet'] : []),
		...(session.flatFirst ? ['flat what is below it first: that is past its window'] : []),
	]
	const small = print.paintwork.smallMixes.find((each) => each.session === number)
	if (small) waits.push(smallMixWords(small).replace(/^Session \d+: |\.$/g, ''))
	const titles = print.paintwork.panels.filter(({ prefix }) => panels.includes(prefix)).map(panelTitle)
	return {
		...{ number, paint, panels: titles.join(', ') },
		name: clear ? `${nameOf(print, paint)}, ${PHASE[clear]}` : nameOf(print, paint),
		day: day === undefined ? 'the day is not known' : `day ${day}`,
		...(clear === 'finish' ? NOTHING_SPRAYED : figures(system, quantity)),
		...{ waits, assumed: clear === 'finish' ? [] : assumedWords(system) },
	}
}

function figures(system: PaintSystem | undefined, quantity: PaintQuantity | undefined) {
	const films = quantity?.panels.map(({ coats, filmUm }) => coats * filmUm) ?? []
	const cups = quantity ? Math.max(...quantity.cupsPerCoat) : 0
	return {
		coats: quantity ? String(quantity.mlPerCoat.length) : String(system?.coats.value ?? ''),
		film: films.length > 0 ? filmWords(Math.max(...films)) : '',
		perCoat: quantity ? mlWords(Math.max(...quantity.mlPerCoat)) : '',
		ml: quantity ? mlWords(quantity.ml) : '',
		cups: quantity ? (cups === 1 ? 'one cup a coat' : `${cups} cups a coat`) : '',
	}
}

const NOTHING_SPRAYED = { coats: '', film: '', perCoat: '', ml: '', cups: '' }

const FIGURES: Readonly<Record<string, string>> = {
	coats: 'coats',
	filmUm: 'film of a coat',
	volumeSolids: 'volume solids',
	transfer: 'what stays on the panel',
	allowance: 'allowance',
	potLifeHours: 'pot life',
	recoatHours: 'recoat window',
	tapeHours: 'tape after',
	lift: 'when to lift',
}
const assumedWords = (system: PaintSystem | undefined) => (system?.assumed ?? []).map((name) => FIGURES[name] ?? name)

const WHAT: Readonly<Record<PaintSystem['as'], string>> = {
	...{ 'ground-coat': 'a ground coat', colour: 'a colour', 'mid-coat': 'a mid-coat', clear: 'a clear' },
}
/** What stands in where the job says nothing, in words. */
function usualOf(system: PaintSystem): Readonly<Record<string, string>> {
	const { recoatHours } = system
	const of = (figure: { readonly source: string }, says: string) => `${says} (${figure.source})`
	return {
		as: WHAT[system.as],
		coats: of(system.coats, String(system.coats.value)),
		filmUm: of(system.filmUm, String(system.filmUm.value)),
		volumeSolids: of(system.volumeSolids, String(system.volumeSolids.value)),
		transfer: of(system.transfer, String(system.transfer.value)),
		allowance: of(system.allowance, String(system.allowance.value)),
		potLifeHours: of(system.potLifeHours, hoursWords(system.potLifeHours.value)),
		recoatHours: of(recoatHours, recoatWords(recoatHours.value)),
		tapeHours: of(system.tapeHours, hoursWords(system.tapeHours.value)),
		lift: of(system.lift, liftWords(system)),
	}
}

const WHERE: Readonly<Record<ClearFilm['where'], string>> = {
	'below-decals': 'below decals',
	'over-decals': 'over decals',
	elsewhere: 'where no decals are',
}
const STEP: Readonly<Record<ClearFilm['steps'][number]['what'], string>> = {
	...{ coats: 'coats', 'flow-coats': 'flow coats', flatting: 'flatting', cutting: 'cutting', polishing: 'polishing' },
}

function clearView(panel: string, { plan, rubThrough }: PanelClear): ClearView {
	const { recipe } = plan
	const usual = (key: 'before' | 'over' | 'elsewhere' | 'flow' | 'filmUm') => `${recipe[key].value} (${recipe[key].source})`
	return {
		...{ panel, asked: plan.asked },
		films: plan.films.map(({ where, steps, filmUm, leastUm }) => ({
			where: WHERE[where],
			steps: steps.map(({ what, times, byUm }) => `${times} ${STEP[what]} ${byUm > 0 ? '+' : '−'}${Math.abs(byUm)}`).join(', '),
			left: filmWords(filmUm),
			least: filmWords(leastUm),
		})),
		usual: {
			...{ before: usual('before'), over: usual('over'), elsewhere: usual('elsewhere'), flow: usual('flow') },
			filmUm: usual('filmUm'),
		},
		takenOff: recipe.takenOff.value.map(({ what, um, rounds }) => `${STEP[what]} ${um} um × ${rounds}`).join(', '),
		rubThrough: rubThrough.map((one) =>
			one.where === 'rim'
				? `At the rim less than ${filmWords(one.leastUm)} is left on the way.`
				: `Along swage line ${one.number ?? ''} less than ${filmWords(one.leastUm)} is left on the way.`,
		),
	}
}

const MM2_PER_M2 = 1e6
const MM2_PER_FT2 = 304.8 ** 2
const areaWords = (mm2: number, unit: Unit) =>
	unit === 'mm' ? `${(mm2 / MM2_PER_M2).toFixed(4)} m²` : `${(mm2 / MM2_PER_FT2).toFixed(3)} sq ft`

function filmsView(print: PaintworkPrint, panel: string, unit: Unit): FilmsView {
	const works = print.paintwork.panels.filter(({ id }) => id === panel)
	const stacks = new Map<string, { um: number; paints: string; mm2: number }>()
	for (const { totalUm, films, areaMm2 } of works.flatMap(({ films: { cells } }) => cells)) {
		const paints = films.map(({ paint }) => nameOf(print, paint)).join(', over it ') || 'nothing'
		const one = stacks.get(`${totalUm} ${paints}`) ?? { um: totalUm, paints, mm2: 0 }
		stacks.set(`${totalUm} ${paints}`, { ...one, mm2: one.mm2 + areaMm2 })
	}
	const ridges = new Map<string, { says: string; mm: number }>()
	for (const { paint, kind, heightUm, lengthMm } of works.flatMap((work) => work.ridges)) {
		const seen = kind === 'line' ? 'on a line that is seen (full)' : 'below a later paint (dashed)'
		const says = `${nameOf(print, paint)} ends ${filmWords(heightUm)} high, ${seen}`
		ridges.set(says, { says, mm: (ridges.get(says)?.mm ?? 0) + lengthMm })
	}
	return {
		panel,
		films: [...stacks.values()]
			.sort((a, b) => a.um - b.um)
			.map(({ um, paints, mm2 }) => ({ says: filmWords(um), paints, area: areaWords(mm2, unit) })),
		ridges: [...ridges.values()].map(({ says, mm }) => ({ says: `${says}: ${lengthFigure(mm, unit)}` })),
	}
}
