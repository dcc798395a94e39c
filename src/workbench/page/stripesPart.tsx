/** Stripes: groups of bands and gaps laid off a line. */
import type { Cell } from '../cells.ts'
import { nameFrom } from '../marksOf.ts'
import type { Data } from './bench.ts'
import { Block } from './block.tsx'
import { edgeChoices, type PartProps } from './edgesPart.tsx'
import { Control, Form, Labelled, unitOf } from './fields.tsx'
import { Rows } from './rows.tsx'
import { choices, EVIDENCE, handCell, NOTE, named, TEMPLATES, WHAT, wordsOf } from './schemeWords.ts'
import { Swatch } from './swatch.tsx'

export function StripesPart({ bench, panel, index, opened, open }: PartProps) {
	const list = ['panels', index, 'stripes'] as const
	const stripes = panel.stripes ?? []
	const paints = bench.job?.paints
	const edges = edgeChoices(panel.edges)
	const edge = edges[edges.length - 1]?.[0]
	const paint = named(paints)[0]
	const begin = () => {
		const width = unitOf(bench) === 'in' ? '1/8' : 3
		const id = nameFrom('stripe', named(stripes), 'stripe')
		bench.insert([...list], stripes.length, { id, edge, lay: 'outboard', bands: [{ paint, width }] })
		open(`stripes ${stripes.length}`)
	}
	return (
		<>
			<h3>Stripes</h3>
			{stripes.map((stripe, i) => {
				const which = `stripes ${i}`
				return (
					<Block
						key={which}
						title={wordsOf(stripe, 'stripe')}
						about={<Swatch bands={bandsOf(stripe)} paints={paints} />}
						open={opened === which}
						toggle={() => open(opened === which ? undefined : which)}
						remove={() => {
							bench.remove([...list], i)
							open(undefined)
						}}
					>
						<StripeForm bench={bench} panel={panel} index={index} stripe={stripe} at={[...list, i]} />
					</Block>
				)
			})}
			<p>
				<button type="button" disabled={edge === undefined || paint === undefined} onClick={begin}>
					Lay a stripe
				</button>
				{edge === undefined ? (
					<span class="hint"> It is laid off an edge: there is none yet.</span>
				) : (
					paint === undefined && <span class="hint"> It needs a paint: write one in below.</span>
				)}
			</p>
		</>
	)
}

const bandsOf = (stripe: Data) => (Array.isArray(stripe.bands) ? (stripe.bands as readonly Data[]) : [])

const GAP = 'gap'
/** A band or a gap as two cells. A width that changes along the line is said to taper; a figure in its place makes it even. */
const BAND = {
	show(entry: unknown) {
		const band = entry as Data
		if (GAP in band) return { what: GAP, width: band.gap }
		return { what: band.paint, width: Array.isArray(band.width) ? 'tapers' : band.width }
	},
	put(entry: unknown, key: string, value: unknown) {
		const { paint, width, gap, ...rest } = entry as Data
		const what = key === 'what' ? value : GAP in (entry as Data) ? GAP : paint
		const figure = key === 'width' ? value : (width ?? gap)
		return what === GAP ? { ...rest, gap: figure } : { ...rest, paint: what, width: figure }
	},
}

interface StripeFormProps extends Pick<PartProps, 'bench' | 'panel' | 'index'> {
	readonly stripe: Data
	readonly at: readonly (string | number)[]
}

function StripeForm({ bench, panel, stripe, at }: StripeFormProps) {
	const bands = bandsOf(stripe)
	const paints = choices(bench.job?.paints)
	const edge = (panel.edges ?? []).find(({ id }) => id === stripe.edge)
	const across = (stripe.hand ?? edge?.hand) === 'across'
	const offset: Cell = { key: 'offset', says: 'Off the line by', kind: 'length', unsaid: '0' }
	return (
		<>
			<p class="hint">
				The edges of its bands can be dragged in the picture, to {unitOf(bench) === 'in' ? '1/32 in' : 'half a millimetre'}.
			</p>
			<Rows
				bench={bench}
				list={[...at, 'bands']}
				rows={bands}
				one="band"
				least={1}
				caption="Bands and gaps in order, away from the line."
				cells={[
					{ key: 'what', says: 'Paint', kind: 'choice', of: [...paints, [GAP, 'a gap']] },
					{ key: 'width', says: 'Width', kind: 'length', sign: 'not-negative', must: true },
				]}
				form={BAND}
				begin={() => (bands.length % 2 === 1 ? { gap: undefined } : { paint: paints[0]?.[0], width: undefined })}
				ordered
				more={(row) =>
					bands[row] && !(GAP in bands[row]) && !Array.isArray(bands[row].width) ? (
						<button
							type="button"
							onClick={() => {
								const { width } = bands[row] as Data
								bench.set(
									[...at, 'bands', row, 'width'],
									[
										{ along: 0, width },
										{ along: unitOf(bench) === 'in' ? 4 : 100, width },
									],
								)
							}}
						>
							Taper it
						</button>
					) : null
				}
			/>
			{bands.map((band, k) =>
				Array.isArray(band.width) ? (
					<Rows
						key={k}
						bench={bench}
						list={[...at, 'bands', k, 'width']}
						rows={band.width}
						one="width"
						least={2}
						caption={`Band ${k + 1} tapers: its widths, by length along the line from its front end.`}
						cells={[
							{ key: 'along', says: 'Along', kind: 'length', sign: 'not-negative', must: true },
							{ key: 'width', says: 'Width', kind: 'length', sign: 'not-negative', must: true },
						]}
						begin={() => ({})}
					/>
				) : null,
			)}
			<Form
				bench={bench}
				at={at}
				entry={stripe}
				cells={[
					{ key: 'edge', says: 'Laid off', kind: 'choice', of: edgeChoices(panel.edges) },
					{ key: 'lay', says: 'To which side', kind: 'choice', of: across ? ACROSS : LAY },
					offset,
				]}
			/>
			<End bench={bench} at={at} stripe={stripe} end="front" />
			<End bench={bench} at={at} stripe={stripe} end="rear" />
			<Form
				bench={bench}
				at={at}
				entry={stripe}
				cells={[
					WHAT,
					{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
					...handCell(panel, 'as its line'),
					{
						key: 'corners',
						says: 'At corners',
						kind: 'choice',
						of: [
							['mitred', 'mitred'],
							['rounded', 'rounded'],
						],
						unsaid: 'mitred',
					},
					TEMPLATES,
					EVIDENCE,
					NOTE,
				]}
				also={['edge', 'lay', 'offset', 'bands', 'front', 'rear', 'over']}
			/>
			<Over bench={bench} panel={panel} stripe={stripe} at={at} />
		</>
	)
}

const LAY = [
	['inboard', 'inboard, towards the baseline'],
	['outboard', 'outboard, away from the baseline'],
	['centred', 'half to each side of the line'],
] as const
const ACROSS = [
	['front', 'to the front'],
	['rear', 'to the rear'],
	['centred', 'half to each side of the line'],
] as const

const SHAPES = [
	['square', 'square'],
	['raked', 'raked'],
	['pointed', 'pointed'],
	['rounded', 'rounded'],
	['runs-off', 'runs off the panel'],
] as const

/** The shape of an end, with the figure that it needs. */
function End({ bench, at, stripe, end }: Pick<StripeFormProps, 'bench' | 'at' | 'stripe'> & { readonly end: 'front' | 'rear' }) {
	const own = stripe[end] as Data | undefined
	const says = end === 'front' ? 'Front end' : 'Rear end'
	const unit = unitOf(bench)
	const shape: Cell = { key: 'shape', says, kind: 'choice', of: SHAPES, unsaid: 'as its line ends' }
	const shaped = (shape: unknown) => {
		const point = { shape, length: unit === 'in' ? 1 : 25 }
		bench.set(
			[...at, end],
			shape === undefined ? undefined : shape === 'raked' ? { shape, angleDeg: 60 } : shape === 'pointed' ? point : { shape },
		)
	}
	return (
		<div class="form end">
			<Labelled cell={shape}>
				{(id) => <Control cell={shape} id={id} value={own?.shape} unit={unit} at={[...at, end, 'shape']} write={shaped} />}
			</Labelled>
			{own?.shape === 'raked' && (
				<Form
					bench={bench}
					at={[...at, end]}
					entry={own}
					cells={[{ key: 'angleDeg', says: 'Rake in degrees, 90 is square', kind: 'figure', must: true }]}
				/>
			)}
			{own?.shape === 'pointed' && (
				<Form
					bench={bench}
					at={[...at, end]}
					entry={own}
					cells={[{ key: 'length', says: 'Length of the point', kind: 'length', sign: 'positive', must: true }]}
				/>
			)}
		</div>
	)
}

/** Other stripes that this one may cross. */
function Over({ bench, panel, stripe, at }: Pick<StripeFormProps, 'bench' | 'panel' | 'stripe' | 'at'>) {
	const others = (panel.stripes ?? []).filter(({ id }) => id !== stripe.id)
	const over = Array.isArray(stripe.over) ? stripe.over.map(String) : []
	if (others.length === 0 && over.length === 0) return null
	return <Ticks bench={bench} path={[...at, 'over']} legend="It may cross" chosen={over} of={edgeChoices(others)} least={0} />
}

/** Some of several, by their names. */
export function Ticks({
	bench,
	path,
	legend,
	chosen,
	of,
	least,
}: {
	readonly bench: PartProps['bench']
	readonly path: readonly (string | number)[]
	readonly legend: string
	readonly chosen: readonly string[]
	readonly of: readonly (readonly [value: string, words: string])[]
	readonly least: number
}) {
	const strange = chosen.filter((one) => !of.some(([value]) => value === one)).map((one) => [one, one] as const)
	return (
		<fieldset class="ticks" data-at={path.join('/')}>
			<legend>{legend}</legend>
			{[...of, ...strange].map(([value, words]) => {
				const on = chosen.includes(value)
				return (
					<label key={value} class="pick">
						<input
							type="checkbox"
							checked={on}
							disabled={on && chosen.length <= least}
							onChange={() => {
								const next = on ? chosen.filter((one) => one !== value) : [...chosen, value]
								bench.set(path, next.length === 0 ? undefined : next)
							}}
						/>
						{words}
					</label>
				)
			})}
		</fieldset>
	)
}
