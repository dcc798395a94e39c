/** How far one paint goes on below another, and whether what lies above is wide enough to hide it. */
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Paintwork, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { middleOf } from '../stages/asPainted.ts'
import type { Border, Part, Seen, Stage } from '../stages/parts.ts'

export type Underlap = (under: string, over: string) => number

/** Of a pair of paints as it is said of the pair, of all paints, of the shop; mm. */
export function underlapOf(paintwork: Paintwork | undefined, shop: Pick<Shop, 'taping'>): Underlap {
	const usual = paintwork?.underlap ?? shop.taping.underlap
	return (under, over) => paintwork?.underlaps?.find((each) => each.under === under && each.over === over)?.width ?? usual
}

export interface LapInput {
	readonly seen: Seen
	readonly stages: readonly Stage[]
	readonly panel: Panel
	readonly paintwork: Paintwork | undefined
	readonly shop: Pick<Shop, 'taping'>
}

/** Laps that would come out on the other side of the stripe that is to hide them, each pair of paints once a panel. */
export function underlapProblems({ seen, stages, panel, paintwork, shop }: LapInput): readonly Problem[] {
	const underlap = underlapOf(paintwork, shop)
	const found = new Map<string, { readonly mm: number; readonly wide: Wide }>()
	for (const stage of stages.filter(({ mode }) => mode === 'local')) {
		for (const wide of hiddenUnder(seen, stage)) {
			const over = nextCoat(wide.part, stage, stages)
			const mm = over === undefined ? 0 : underlap(stage.paint, over)
			const key = `${stage.paint} ${over}`
			const known = found.get(key)
			if (over === undefined || mm <= wide.widthMm || (known && known.wide.widthMm <= wide.widthMm)) continue
			found.set(key, { mm, wide })
		}
	}
	return [...found].map(([key, { mm, wide }]): Problem => {
		const [under, over] = key.split(' ') as [string, string]
		const index = paintwork?.underlaps?.findIndex((each) => each.under === under && each.over === over) ?? -1
		return {
			...{ code: 'UNDERLAP_TOO_WIDE', severity: 'warning' },
			path: index >= 0 ? `/paintwork/underlaps/${index}/width` : paintwork?.underlap === undefined ? '' : '/paintwork/underlap',
			place: placeOn(panel, middleOf(wide.border), wide.part.side),
			found: `${under} goes on ${mm} mm below ${wide.part.what}, which is ${wide.widthMm} mm wide`,
			expected: 'a lap that the stripe above it hides',
			fix:
				index >= 0
					? `Make the underlap of ${under} below ${over} less than ${wide.widthMm} mm.`
					: `Give ${under} below ${over} an underlap of its own in "underlaps", less than ${wide.widthMm} mm.`,
		}
	})
}

interface Wide {
	readonly border: Border
	readonly part: Part
	readonly widthMm: number
}

/** Bands that come later beside what a stage paints. */
const hiddenUnder = ({ parts, borders }: Seen, { standing }: Stage): readonly Wide[] =>
	borders.flatMap((border) =>
		[border.plus, border.minus].flatMap((i) => {
			const part = parts[i] as Part
			const other = border.plus === i ? border.minus : border.plus
			const laid = standing[i] === 'later' && standing[other] === 'painted' && !border.line.endsWith('/end')
			return laid && part.band ? [{ border, part, widthMm: part.band.widthMm }] : []
		}),
	)

/** The first of a part's paints that comes after a stage. */
const nextCoat = ({ coats }: Part, stage: Stage, stages: readonly Stage[]): string | undefined =>
	stages.find(({ number, paint }) => number > stage.number && coats.includes(paint))?.paint
