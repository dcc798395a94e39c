/** What is said of the whole job: its name and notes, how near everything must come, and what no line of the card edits. */
import { useState } from 'preact/hooks'
import type { Unit } from '../../units/length.ts'
import type { Cell } from '../cells.ts'
import type { Bench } from './bench.ts'
import { Form, unitOf } from './fields.tsx'
import { AllNotYet, NotYet } from './notYet.tsx'
import type { Papers } from './papers.ts'

const NAME: readonly Cell[] = [
	{ key: 'title', says: 'Name of the job', kind: 'words', must: true },
	{ key: 'notes', says: 'Notes', kind: 'words', long: true },
]
const LIMITS: readonly Cell[] = [
	{
		...{ key: 'shape', says: 'A piece may be out of shape by', kind: 'length', sign: 'positive', unsaid: '0.3 mm' },
		hint: 'what bends more is divided',
	},
	{ key: 'gap', says: 'Smallest gap between stripes', kind: 'length', sign: 'not-negative', unsaid: '0.5 mm' },
	{
		...{ key: 'mark', says: 'A line passes its marks within', kind: 'length', sign: 'positive', unsaid: 'as measured' },
		hint: 'where the mark itself says nothing',
	},
]

export function TheJob({ bench }: { readonly bench: Bench }) {
	const [open, setOpen] = useState(false)
	return (
		<details
			class="the-job"
			open={open}
			onToggle={(event) => event.target === event.currentTarget && setOpen(event.currentTarget.open)}
		>
			<summary>The whole job: its name, notes and limits</summary>
			{open && (
				<>
					<Form bench={bench} at={[]} entry={bench.job} cells={NAME} />
					<h3>How near it must come</h3>
					<Form bench={bench} at={['limits']} entry={bench.job?.limits} cells={LIMITS} />
					<NotYet bench={bench} at={['limits']} entry={bench.job?.limits} shown={LIMITS.map(({ key }) => key)} />
					<AllNotYet bench={bench} />
				</>
			)}
		</details>
	)
}

/** In which unit plain figures are. With another one every length stays as it was: figures that had no unit say theirs. */
export function UnitOfJob({ bench, papers }: { readonly bench: Bench; readonly papers: Papers }) {
	const unit = unitOf(bench)
	// said until the job is changed again
	const [said, setSaid] = useState<{ readonly says: string; readonly of: string }>()
	const change = async (next: Unit) => {
		for (let text = bench.now(); ; text = bench.now()) {
			const made = await papers.inUnit(text, next)
			if (made === undefined)
				return setSaid({ of: text, says: 'The unit can be changed once nothing in the job must be mended.' })
			if (!bench.replace(text, made)) continue
			return setSaid({ of: made, says: CHANGED[next] })
		}
	}
	return (
		<div class="unit-of-job">
			<label>
				Figures in{' '}
				<select value={unit} data-at="unit" onChange={(event) => void change(event.currentTarget.value === 'in' ? 'in' : 'mm')}>
					<option value="mm">mm</option>
					<option value="in">inches</option>
				</select>
			</label>
			<span role="status">{said?.of === bench.text && said.says}</span>
		</div>
	)
}

const CHANGED: Readonly<Record<Unit, string>> = {
	mm: 'Figures without a unit are in mm from now on. No length has changed: those in inches say so.',
	in: 'Figures without a unit are in inches from now on. No length has changed: those in mm say so.',
}
