/** How each paint is sprayed, as its sheet or a card says; beside a blank the usual figure that stands in for it. */
import { useState } from 'preact/hooks'
import type { Cell } from '../cells.ts'
import type { PaintworkView } from '../paintworkView.ts'
import type { Bench, Data } from './bench.ts'
import { Form } from './fields.tsx'
import { choices } from './schemeWords.ts'

export function SprayedPart({ bench, view }: { readonly bench: Bench; readonly view: PaintworkView | undefined }) {
	const [opened, open] = useState<number>()
	const paints = bench.job?.paints ?? []
	return (
		<>
			<h3>How each paint is sprayed</h3>
			{paints.map((paint, i) => (
				<section key={i} class={opened === i ? 'block open' : 'block'}>
					<button
						type="button"
						class="block-head"
						aria-expanded={opened === i}
						onClick={() => open(opened === i ? undefined : i)}
					>
						<span class="block-title">{String(paint.name ?? paint.id)}</span>
						<span class="block-about">{paint.sprayed === undefined ? 'usual figures' : 'figures given'}</span>
					</button>
					{opened === i && (
						<div class="block-body">
							<Form
								bench={bench}
								at={['paints', i]}
								entry={paint}
								cells={sprayedCells(paints, paint, view?.usual[String(paint.id)])}
							/>
						</div>
					)}
				</section>
			))}
		</>
	)
}

type Usual = Readonly<Record<string, string>> | undefined

function sprayedCells(paints: readonly Data[], paint: Data, usual: Usual): readonly Cell[] {
	const { sprayed } = paint as { readonly sprayed?: Data }
	const key = (name: string) => ['sprayed', name] as const
	/** said while the job says nothing itself */
	const hint = (name: string) =>
		usual?.[name] === undefined || sprayed?.[name] !== undefined ? {} : { hint: `now ${usual[name]}` }
	const others = paints.filter(({ id }) => id !== paint.id)
	return [
		{
			...{ key: key('as'), says: 'It is', kind: 'choice', unsaid: 'a colour by itself' },
			of: [
				['ground-coat', 'a ground coat below another'],
				['colour', 'a colour by itself'],
				['mid-coat', 'a mid-coat that is seen through'],
				['clear', 'a clear'],
			],
		},
		{ key: key('over'), says: 'Always over', kind: 'choice', unsaid: 'nothing in particular', of: choices(others) },
		{ key: key('coats'), says: 'Coats', kind: 'figure', ...hint('coats') },
		{ key: key('filmUm'), says: 'Dry film of a coat, um', kind: 'figure', ...hint('filmUm') },
		{ key: key('volumeSolids'), says: 'Volume solids as sprayed, %', kind: 'figure', ...hint('volumeSolids') },
		{ key: key('transfer'), says: 'Stays on the panel, part of 1', kind: 'figure', ...hint('transfer') },
		{ key: key('allowance'), says: 'Mixed over, part of 1', kind: 'figure', ...hint('allowance') },
		{ key: key('mix'), says: 'Mixed', kind: 'words' },
		{ key: key('potLifeHours'), says: 'Pot life, hours', kind: 'figure', ...hint('potLifeHours') },
		{ key: ['sprayed', 'recoatHours', 'from'], says: 'Next coat from, hours', kind: 'figure', ...hint('recoatHours') },
		{ key: ['sprayed', 'recoatHours', 'to'], says: 'Next coat until, hours', kind: 'figure' },
		{ key: key('tapeHours'), says: 'Tape on it after, hours', kind: 'figure', ...hint('tapeHours') },
		{
			...{ key: key('lift'), says: 'Lift tape', kind: 'choice', unsaid: 'not said', ...hint('lift') },
			of: [
				['tacky', 'while it is tacky'],
				['dry-to-tape', 'once it is dry enough to be taped'],
				['cured', 'once it is cured'],
			],
		},
		{ key: key('source'), says: 'Where that comes from', kind: 'words' },
	]
}
