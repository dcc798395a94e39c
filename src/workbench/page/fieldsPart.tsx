/** Colour fields between lines, and the paints that everything is painted in. */
import { nameFrom } from '../marksOf.ts'
import type { Bench, Data } from './bench.ts'
import { Block } from './block.tsx'
import { edgeChoices, type PartProps } from './edgesPart.tsx'
import { Form } from './fields.tsx'
import { NotYet } from './notYet.tsx'
import { Rows } from './rows.tsx'
import { choices, EVIDENCE, handCell, NOTE, named, TEMPLATES, WHAT, wordsOf } from './schemeWords.ts'
import { spot } from './spotCells.ts'
import { Ticks } from './stripesPart.tsx'

export function FieldsPart({ bench, panel, index, opened, open }: PartProps) {
	const list = ['panels', index, 'fields'] as const
	const fields = panel.fields ?? []
	const paints = bench.job?.paints
	const rims = [
		...edgeChoices(panel.edges),
		['outline', 'the outline of the panel'] as const,
		...(panel.hand === 'centre' ? [['centreline', 'the centreline'] as const] : []),
	]
	const paint = named(paints)[0]
	const begin = () => {
		const id = nameFrom('field', named(fields), 'field')
		const between = [rims[0]?.[0] ?? 'outline']
		bench.insert([...list], fields.length, { id, paint, between })
		open(`fields ${fields.length}`)
	}
	return (
		<>
			<h3>Colour fields</h3>
			{fields.map((field, i) => {
				const which = `fields ${i}`
				const at = [...list, i] as const
				return (
					<Block
						key={which}
						title={wordsOf(field, 'field')}
						about={<Paint paint={field.paint} paints={paints} />}
						open={opened === which}
						toggle={() => open(opened === which ? undefined : which)}
						remove={() => {
							bench.remove([...list], i)
							open(undefined)
						}}
					>
						<Form
							bench={bench}
							at={at}
							entry={field}
							cells={[{ key: 'paint', says: 'Paint', kind: 'choice', of: choices(paints) }]}
						/>
						<Ticks
							bench={bench}
							path={[...at, 'between']}
							legend="It lies between"
							chosen={Array.isArray(field.between) ? field.between.map(String) : []}
							of={rims}
							least={1}
						/>
						<Seed bench={bench} panel={panel} at={at} seed={field.seed as Data | undefined} />
						<Form
							bench={bench}
							at={at}
							entry={field}
							cells={[
								WHAT,
								{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
								...handCell(panel, 'as its lines'),
								TEMPLATES,
								EVIDENCE,
								NOTE,
							]}
							also={['paint', 'between', 'seed']}
						/>
					</Block>
				)
			})}
			<p>
				<button type="button" disabled={paint === undefined} onClick={begin}>
					Lay a colour field
				</button>
				{paint === undefined && <span class="hint"> It needs a paint: write one in below.</span>}
			</p>
		</>
	)
}

/** A place inside the field, where its lines leave a choice. */
function Seed({
	bench,
	panel,
	at,
	seed,
}: Pick<PartProps, 'bench' | 'panel'> & { readonly at: readonly (string | number)[]; readonly seed: Data | undefined }) {
	if (seed === undefined) {
		const side = panel.hand === 'centre' ? 'right' : 'above'
		return (
			<p>
				<button type="button" onClick={() => bench.set([...at, 'seed'], { station: 0, girth: 0, side })}>
					Say a place inside it
				</button>
				<span class="hint"> Where its lines leave more than one choice.</span>
			</p>
		)
	}
	return (
		<>
			<p class="hint">A place inside it:</p>
			<Form bench={bench} at={[...at, 'seed']} entry={seed} cells={spot(panel)} also={[]} />
			<p>
				<button type="button" onClick={() => bench.set([...at, 'seed'], undefined)}>
					No place is needed
				</button>
			</p>
		</>
	)
}

function Paint({ paint, paints }: { readonly paint: unknown; readonly paints: readonly Data[] | undefined }) {
	const one = paints?.find(({ id }) => id === paint)
	return (
		<>
			<span class="swatch" aria-hidden="true">
				<span class="band" style={{ flexGrow: 1, background: String(one?.colour ?? '#d8d2c4') }} />
			</span>
			{String(one?.name ?? paint ?? 'no paint')}
		</>
	)
}

export function PaintsPart({ bench }: { readonly bench: Bench }) {
	const paints = bench.job?.paints ?? []
	return (
		<>
			<h3>Paints of the job</h3>
			<Rows
				bench={bench}
				list={['paints']}
				rows={paints}
				one="paint"
				caption="The colour is for the drawings only."
				cells={[
					{ key: 'name', says: 'Name', kind: 'words', must: true },
					{ key: 'colour', says: 'Colour', kind: 'colour' },
					{ key: 'id', says: 'In the file', kind: 'name', must: true },
				]}
				begin={() => ({ colour: '#8a8a8a' })}
				form={PAINT(paints)}
			/>
			{paints.map((paint, i) => (
				<NotYet key={i} bench={bench} at={['paints', i]} entry={paint} shown={['id', 'name', 'colour', 'sprayed']} />
			))}
		</>
	)
}

/** A new paint gets its name in the file from its name. */
const PAINT = (paints: readonly Data[]) => ({
	show: (entry: unknown) => entry,
	put(entry: unknown, key: string, value: unknown) {
		const now = { ...(entry as Data), [key]: value }
		return now.id === undefined && typeof now.name === 'string' && now.name.trim() !== ''
			? { id: nameFrom(now.name, named(paints), 'paint'), ...now }
			: now
	},
})
