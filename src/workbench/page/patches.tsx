/** What of a panel paper does not lie on, where strips are wanted, and what both share with the outline: places round a rim. */
import { useState } from 'preact/hooks'
import type { Cell } from '../cells.ts'
import { knownNames, nameFrom } from '../marksOf.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { Block } from './block.tsx'
import { Control, Form, unitOf } from './fields.tsx'
import { Rows } from './rows.tsx'
import { handCell, NOTE, named, WHAT, wordsOf } from './schemeWords.ts'
import { spot } from './spotCells.ts'

interface Own {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
}

export function Patches({ bench, panel, index }: Own) {
	const [opened, open] = useState<number>()
	const list = ['panels', index, 'patches'] as const
	const patches = (Array.isArray(panel.patches) ? panel.patches : []) as readonly Data[]
	const begin = (outline: readonly string[]) => {
		bench.insert([...list], patches.length, { id: nameFrom('patch', named(patches), 'patch'), outline })
		open(patches.length)
	}
	return (
		<details class="more" open={patches.length > 0}>
			<summary>Patches where paper does not lie: knee recesses, fillers</summary>
			{patches.map((patch, i) => (
				<Block
					key={i}
					title={wordsOf(patch, 'patch')}
					about={patch.painted === false ? 'paint ends at its rim' : 'paint runs on over it'}
					open={opened === i}
					toggle={() => open(opened === i ? undefined : i)}
					remove={() => {
						bench.remove([...list], i)
						open(undefined)
					}}
				>
					<Rows
						bench={bench}
						list={[...list, i, 'outline']}
						rows={Array.isArray(patch.outline) ? patch.outline : []}
						one="place"
						least={3}
						caption="Round its rim in order, each once: marks by name, or places by station and girth."
						cells={rimCells(panel)}
						form={RIM}
						begin={() => ({})}
						ordered
						also={[]}
					/>
					<Form
						bench={bench}
						at={[...list, i]}
						entry={patch}
						cells={[
							WHAT,
							{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
							...handCell(panel, 'as its places lie'),
							{ key: 'painted', says: 'Paint runs on over it', kind: 'yes', unsaid: true },
							NOTE,
						]}
						also={['outline']}
					/>
				</Block>
			))}
			<MarksFirst bench={bench} panel={panel} least={3} of="the patch" says="Begin a patch" begin={begin} />
		</details>
	)
}

/** Where girth strips are wanted. */
export function Strips({ bench, panel, index }: Own) {
	return (
		<details class="more" open={panel.strips !== undefined}>
			<summary>Where girth strips are wanted</summary>
			<p class="hint">Near the marks, where nothing is said, so that guides meet them.</p>
			<Form
				bench={bench}
				at={['panels', index, 'strips']}
				entry={panel.strips}
				cells={[
					{ key: 'stations', says: 'At the stations', kind: 'lengths', hint: 'with semicolons between them' },
					{ key: 'every', says: 'Or one every', kind: 'length', sign: 'positive' },
				]}
				also={[]}
			/>
		</details>
	)
}

/** One place round a rim. */
export const rimCells = (panel: PanelData): readonly Cell[] => [
	{ key: 'mark', says: 'Mark', kind: 'name', known: knownNames(panel) },
	...spot(panel, false),
	{ key: 'smooth', says: 'In a curve', kind: 'yes', unsaid: false },
]

/** A place round a rim: a mark by its name alone where nothing else is said of it. A new one is whole once it has a place. */
export const RIM = {
	show: (entry: unknown) => (typeof entry === 'string' ? { mark: entry } : entry),
	put(entry: unknown, key: string, value: unknown) {
		const now = { ...(RIM.show(entry) as Data), [key]: value }
		const said = Object.fromEntries(Object.entries(now).filter(([, one]) => one !== undefined)) as Data
		return Object.keys(said).length === 1 && said.mark !== undefined ? said.mark : said
	},
}

const COUNTED = ['First', 'Second', 'Third']

interface FirstProps {
	readonly bench: Bench
	readonly panel: PanelData
	readonly least: 2 | 3
	/** what goes through them */
	readonly of: string
	readonly says: string
	readonly begin: (marks: readonly string[]) => void
}

/** A rim begins with the marks that lie on it. */
export function MarksFirst({ bench, panel, least, of, says, begin }: FirstProps) {
	const [names, setNames] = useState<readonly (string | undefined)[]>([])
	const known = knownNames(panel)
	const cell: Cell = { key: 'mark', says: 'mark', kind: 'name', known }
	const places = COUNTED.slice(0, least)
	if (known.length < least) {
		return <p class="hint">It goes through {least} marks or datums at least: there are not so many yet.</p>
	}
	const chosen = places.flatMap((_, i) => names[i] ?? [])
	return (
		<div class="row-bar">
			{places.map((place, i) => (
				<Control
					key={place}
					cell={cell}
					label={`${place} mark of ${of}`}
					placeholder={`${place.toLowerCase()} mark`}
					value={names[i]}
					unit={unitOf(bench)}
					write={(name) => setNames(Object.assign([...names], { [i]: name }))}
				/>
			))}
			<button
				type="button"
				disabled={new Set(chosen).size < least}
				onClick={() => {
					begin(chosen)
					setNames([])
				}}
			>
				{says}
			</button>
		</div>
	)
}
