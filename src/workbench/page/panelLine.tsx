/** The panel: which one it is, which way is front, and the places that everything on it is measured from. */
import { useState } from 'preact/hooks'
import type { Cell } from '../cells.ts'
import { nameFrom } from '../marksOf.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { Form } from './fields.tsx'
import { FirstThree, HANDS, hookOf } from './firstThree.tsx'
import type { LineProps } from './lineProps.ts'
import { NotYet } from './notYet.tsx'
import { PanelPicture } from './panelPicture.tsx'
import { MarksFirst, Patches, RIM, rimCells, Strips } from './patches.tsx'
import { Problems } from './problems.tsx'
import { Rows } from './rows.tsx'
import { Seams } from './seams.tsx'
import { listOf, pairs, spot } from './spotCells.ts'

/** Keys of a panel that other lines of the card show. */
const ELSEWHERE = ['id', 'found', 'prepared', 'readings', 'edges', 'stripes', 'fields', 'proof', 'checks']

export function PanelLine(props: LineProps) {
	const { bench, panel, index, problems } = props
	const at = ['panels', index] as const
	const empty = (panel.readings ?? []).length === 0
	const datums = panel.datums ?? []
	const baseline = panel.baseline as Data | undefined
	const names = datums.map(({ id }) => String(id))
	return (
		<div class="panel-line">
			{empty && <FirstThree {...props} />}
			<Form bench={bench} at={at} entry={panel} cells={empty ? NOTES : [TITLE, HAND, ...NOTES]} />
			{!empty && <PanelPicture hand={String(panel.hand ?? 'centre')} hook={hookOf(panel)} />}
			<h3>Datums</h3>
			<Rows
				bench={bench}
				list={[...at, 'datums']}
				rows={datums}
				one="datum"
				caption="Places that are still there after stripping. Stations count rearward from the first."
				cells={[
					{ key: 'id', says: 'Name', kind: 'name', must: true },
					{ key: 'what', says: 'What it is', kind: 'words' },
					...spot(panel),
					...(panel.hand === 'pair' ? [WHICH] : []),
				]}
				begin={() => ({})}
				ordered
				also={[]}
			/>
			<h3>Baseline</h3>
			<Form
				bench={bench}
				at={[...at, 'baseline']}
				entry={baseline}
				cells={[
					{ key: 'from', says: 'From', kind: 'choice', of: pairs(names), unsaid: `the first datum (${names[0] ?? 'none yet'})` },
					{ key: 'to', says: 'To', kind: 'choice', of: pairs(names), unsaid: 'not said' },
				]}
				also={['interruptions']}
			/>
			<Rows
				bench={bench}
				list={[...at, 'baseline', 'interruptions']}
				rows={listOf(baseline?.interruptions)}
				one="interruption"
				caption="Where the tape could not lie on the baseline, by station."
				cells={[
					{ key: 'what', says: 'What is there', kind: 'words', must: true },
					{ key: 'from', says: 'From', kind: 'length', must: true },
					{ key: 'to', says: 'To', kind: 'length', must: true },
					{ key: 'width', says: 'Width', kind: 'length', sign: 'positive' },
				]}
				begin={() => ({})}
				also={[]}
			/>
			<Rim bench={bench} panel={panel} index={index} />
			<Patches bench={bench} panel={panel} index={index} />
			<Strips bench={bench} panel={panel} index={index} />
			<Seams bench={bench} panel={panel} index={index} />
			<NotYet bench={bench} at={at} entry={panel} shown={[...ELSEWHERE, ...HERE]} />
			<AddPanel bench={bench} />
			<Problems problems={problems} bench={bench} />
		</div>
	)
}

const HERE = ['title', 'hand', 'notes', 'datums', 'baseline', 'outline', 'holes', 'patches', 'strips', 'seams']
const TITLE: Cell = { key: 'title', says: 'Name for the prints', kind: 'words' }
const HAND: Cell = { key: 'hand', says: 'Where it sits', kind: 'choice', of: HANDS }
const NOTES: readonly Cell[] = [{ key: 'notes', says: 'Notes', kind: 'words', long: true }]
const WHICH: Cell = {
	key: 'panel',
	says: 'Of the pair',
	kind: 'choice',
	of: [
		['left', 'left'],
		['right', 'right'],
	],
	unsaid: 'both',
}

/** Where the panel ends and its holes, by figures. */
function Rim({ bench, panel, index }: { readonly bench: Bench; readonly panel: PanelData; readonly index: number }) {
	const at = ['panels', index] as const
	const [open, setOpen] = useState(false)
	const outline = panel.outline as Data | undefined
	if (!open && outline === undefined && listOf(panel.holes).length === 0) {
		return (
			<p>
				<button type="button" onClick={() => setOpen(true)}>
					Write in where the panel ends, or its holes
				</button>
			</p>
		)
	}
	return (
		<>
			<h3>Outline</h3>
			<Rows
				bench={bench}
				list={[...at, 'outline', 'points']}
				rows={listOf(outline?.points)}
				one="place"
				caption="Round the rim in order: marks by name, or places by station and girth."
				cells={rimCells(panel)}
				form={RIM}
				ordered
				also={[]}
				{...(outline === undefined ? {} : { begin: () => ({}) })}
			/>
			{outline === undefined ? (
				<MarksFirst
					bench={bench}
					panel={panel}
					least={2}
					of="the outline"
					says="Begin an outline"
					begin={(points) => bench.set([...at, 'outline'], { points })}
				/>
			) : (
				<Form
					bench={bench}
					at={[...at, 'outline']}
					entry={outline}
					cells={[{ key: 'mirrored', says: 'One half is given, the other mirrored', kind: 'yes', unsaid: false }]}
					also={['points']}
				/>
			)}
			<h3>Holes</h3>
			<Rows
				bench={bench}
				list={[...at, 'holes']}
				rows={listOf(panel.holes)}
				one="hole"
				caption="Holes and studs that show on the pieces."
				cells={[
					{ key: 'id', says: 'Name', kind: 'name', must: true },
					{ key: 'what', says: 'What it is', kind: 'words' },
					...spot(panel),
					{ key: 'diameter', says: 'Diameter', kind: 'length', sign: 'positive', must: true },
				]}
				begin={() => ({})}
				also={[]}
			/>
		</>
	)
}

function AddPanel({ bench }: { readonly bench: Bench }) {
	const [title, setTitle] = useState('')
	const [hand, setHand] = useState('centre')
	const panels = bench.job?.panels ?? []
	const add = (event: Event) => {
		event.preventDefault()
		const id = nameFrom(
			title,
			panels.map((each) => each.id),
			'panel',
		)
		bench.insert(['panels'], panels.length, { id, title: title.trim(), hand, found: { kind: 'flat' }, datums: [], readings: [] })
		bench.look(id)
		setTitle('')
	}
	return (
		<details class="more">
			<summary>Add another panel</summary>
			<form class="form" onSubmit={add}>
				<label>
					What it is called
					<input required value={title} onInput={(event) => setTitle(event.currentTarget.value)} />
				</label>
				<label>
					Where it sits
					<select value={hand} onChange={(event) => setHand(event.currentTarget.value)}>
						{HANDS.map(([value, words]) => (
							<option key={value} value={value}>
								{words}
							</option>
						))}
					</select>
				</label>
				<button type="submit">Add this panel</button>
			</form>
		</details>
	)
}
