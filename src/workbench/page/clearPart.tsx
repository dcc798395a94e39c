/** The clear of the panel that is looked at: its recipe, what is left of it, and the owner's choice for its decals. */
import type { Cell } from '../cells.ts'
import type { ClearView } from '../paintworkView.ts'
import type { Data } from './bench.ts'
import { Form } from './fields.tsx'
import { type LineProps, panelTitle } from './lineProps.ts'
import { Rows } from './rows.tsx'
import { choices } from './schemeWords.ts'

export function ClearPart({ bench, panel, index, paintwork }: LineProps) {
	const clear = (panel.clear ?? {}) as Data
	const { view } = paintwork
	const own = view?.clears.find((one) => one.panel === panel.id)
	const at = ['panels', index, 'clear'] as const
	const chosen = clear.decals === 'under' || clear.decals === 'over' ? clear.decals : undefined
	return (
		<>
			<h3>Clear on {panelTitle(panel)}</h3>
			{own && <Left clear={own} />}
			<fieldset>
				<legend>Decals: the owner’s choice</legend>
				<Form bench={bench} at={[...at]} entry={clear} cells={DECALS} />
				{view && (
					<div class="consequences">
						{(['under', 'over'] as const).map((which) => (
							<div key={which} class={chosen === which ? 'chosen' : ''}>
								<strong>
									{which === 'under' ? 'Under the clear' : 'Over the clear'}
									{chosen === which && ': chosen'}
								</strong>
								<ul>
									{view.decals[which].map((sentence) => (
										<li key={sentence}>{sentence}</li>
									))}
								</ul>
							</div>
						))}
					</div>
				)}
			</fieldset>
			<details class="more">
				<summary>Its recipe: every figure is yours to change</summary>
				<Form bench={bench} at={[...at]} entry={clear} cells={recipe(bench.job?.paints, clear, own)} />
				<Rows
					bench={bench}
					list={[...at, 'takenOff']}
					rows={Array.isArray(clear.takenOff) ? clear.takenOff : []}
					one="round"
					caption={own && !Array.isArray(clear.takenOff) ? `Taken off again; now ${own.takenOff}.` : 'Taken off again.'}
					cells={[
						{ key: 'what', says: 'By', kind: 'choice', of: TAKEN },
						{ key: 'um', says: 'um a round', kind: 'figure', must: true },
						{ key: 'rounds', says: 'Rounds', kind: 'figure' },
					]}
					begin={() => ({ what: 'flatting' })}
				/>
			</details>
		</>
	)
}

const TAKEN = [
	['flatting', 'flatting'],
	['cutting', 'cutting'],
	['polishing', 'polishing'],
] as const

const DECALS: readonly Cell[] = [
	{
		...{ key: 'decals', says: 'Decals', kind: 'choice', unsaid: 'not decided' },
		of: [
			['under', 'under the clear'],
			['over', 'over the clear'],
		],
	},
	{ key: ['decided', 'by'], says: 'Decided by', kind: 'words' },
	{ key: ['decided', 'on'], says: 'On', kind: 'words' },
	{ key: ['decided', 'note'], says: 'Note', kind: 'words', long: true },
]

function recipe(paints: readonly Data[] | undefined, clear: Data, own: ClearView | undefined): readonly Cell[] {
	const coats = (key: keyof ClearView['usual'], says: string): Cell => ({
		...{ key, says, kind: 'figure' },
		...(own && clear[key] === undefined ? { hint: `now ${own.usual[key]}` } : {}),
	})
	return [
		{ key: 'paint', says: 'Clear', kind: 'choice', unsaid: 'a usual two-pack clear', of: choices(paints) },
		coats('before', 'Coats before decals'),
		coats('over', 'Coats over decals'),
		coats('elsewhere', 'Coats elsewhere'),
		coats('flow', 'Flow coats after flatting'),
		coats('filmUm', 'Dry film of a coat, um'),
	]
}

function Left({ clear }: { readonly clear: ClearView }) {
	return (
		<>
			<table class="step-rows">
				<thead>
					<tr>
						<th scope="col">Where</th>
						<th scope="col">On and off, um</th>
						<th scope="col">Left</th>
					</tr>
				</thead>
				<tbody>
					{clear.films.map(({ where, steps, left }) => (
						<tr key={where}>
							<th scope="row">{where}</th>
							<td>{steps}</td>
							<td>{left}</td>
						</tr>
					))}
				</tbody>
			</table>
			<ul class="said">
				{clear.rubThrough.map((says) => (
					<li key={says}>{says}</li>
				))}
			</ul>
		</>
	)
}
