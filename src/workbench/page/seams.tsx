/** Where a panel meets another: the places that both have, and the lines that go on from one to the other. */
import { useState } from 'preact/hooks'
import type { Cell } from '../cells.ts'
import type { Data, PanelData } from './bench.ts'
import { Block } from './block.tsx'
import { edgeChoices } from './edgesPart.tsx'
import { Control, Form, Labelled, unitOf } from './fields.tsx'
import { type LineProps, panelTitle } from './lineProps.ts'
import { Rows } from './rows.tsx'
import { named, WHAT } from './schemeWords.ts'
import { listOf, pairs } from './spotCells.ts'

type Own = Pick<LineProps, 'bench' | 'panel' | 'index'>

export function Seams({ bench, panel, index }: Own) {
	const [opened, open] = useState<number>()
	const list = ['panels', index, 'seams'] as const
	const seams = listOf(panel.seams) as readonly Data[]
	const others = (bench.job?.panels ?? []).filter(({ id }) => id !== panel.id)
	const titleOf = (id: unknown) => {
		const other = others.find((one) => one.id === id)
		return other ? panelTitle(other) : String(id ?? 'another panel')
	}
	if (others.length === 0 && seams.length === 0) return null
	return (
		<details class="more" open={seams.length > 0}>
			<summary>Where it meets other panels</summary>
			{seams.map((seam, i) => (
				<Block
					key={i}
					title={String(seam.what ?? `seam with ${titleOf(seam.with)}`)}
					about={titleOf(seam.with)}
					open={opened === i}
					toggle={() => open(opened === i ? undefined : i)}
					remove={() => {
						bench.remove([...list], i)
						open(undefined)
					}}
				>
					<Seam bench={bench} panel={panel} others={others} seam={seam} at={[...list, i]} />
				</Block>
			))}
			<Begin
				bench={bench}
				panel={panel}
				others={others}
				begin={(seam) => {
					bench.insert([...list], seams.length, seam)
					open(seams.length)
				}}
			/>
		</details>
	)
}

interface SeamProps extends Pick<Own, 'bench' | 'panel'> {
	readonly others: readonly PanelData[]
	readonly seam: Data
	readonly at: readonly (string | number)[]
}

function Seam({ bench, panel, others, seam, at }: SeamProps) {
	const other = others.find(({ id }) => id === seam.with)
	const both = [panel, ...(other ? [other] : [])].map((one) => [String(one.id), panelTitle(one)] as const)
	const two = (key: 'datums' | 'edges', one: 'datum' | 'line'): readonly Cell[] =>
		[panel, other].map(
			(each, k): Cell => ({
				...{ key: k, says: each ? panelTitle(each) : 'The other', must: true },
				...{ kind: 'name', known: one === 'datum' ? named(each?.datums) : named(each?.[key]) },
			}),
		)
	return (
		<>
			<Rows
				bench={bench}
				list={[...at, 'datums']}
				rows={listOf(seam.datums)}
				one="place"
				least={2}
				caption="Places that both panels have, in order along the seam: datums of each."
				cells={two('datums', 'datum')}
				begin={() => []}
				ordered
			/>
			<Rows
				bench={bench}
				list={[...at, 'lines']}
				rows={listOf(seam.lines)}
				one="line"
				caption={`Lines that go on over the seam${other ? `: ${edgeChoices(other.edges).length === 0 ? 'the other panel has none yet' : 'edges of each'}` : ''}.`}
				cells={two('edges', 'line')}
				begin={() => []}
			/>
			<Form
				bench={bench}
				at={at}
				entry={seam}
				cells={[
					WHAT,
					{ key: 'with', says: 'It meets', kind: 'choice', of: others.map((one) => [String(one.id), panelTitle(one)] as const) },
					{ key: 'gap', says: 'Width of the shut line', kind: 'length', sign: 'not-negative' },
					{ key: ['tie', 'keeps'], says: 'Its lines stay as they are', kind: 'choice', of: both, unsaid: 'each gives half' },
					{ key: ['tie', 'over'], says: 'A line is bent over', kind: 'length', sign: 'positive', unsaid: 'as the eye sees it' },
				]}
				also={['datums', 'lines', 'tie', 'proud']}
			/>
			<Proud bench={bench} both={both} seam={seam} at={at} />
		</>
	)
}

/** Which of the two stands higher. */
function Proud({ bench, both, seam, at }: Omit<SeamProps, 'others' | 'panel'> & { readonly both: ReturnType<typeof pairs> }) {
	const proud = seam.proud as Data | undefined
	const set = (value: unknown) => bench.set([...at, 'proud'], value)
	if (!proud) {
		const by = unitOf(bench) === 'in' ? '1/32' : 1
		return (
			<p>
				<button type="button" onClick={() => set({ panel: both[0]?.[0], by })}>
					One stands higher than the other
				</button>
			</p>
		)
	}
	return (
		<>
			<Form
				bench={bench}
				at={[...at, 'proud']}
				entry={proud}
				cells={[
					{ key: 'panel', says: 'The one that stands higher', kind: 'choice', of: both },
					{ key: 'by', says: 'By', kind: 'length', sign: 'positive', must: true },
				]}
				also={[]}
			/>
			<p>
				<button type="button" onClick={() => set(undefined)}>
					Neither stands higher
				</button>
			</p>
		</>
	)
}

/** A seam begins with the other panel and two places that both have. */
function Begin({ bench, panel, others, begin }: Omit<SeamProps, 'seam' | 'at'> & { readonly begin: (seam: Data) => void }) {
	const [chosen, setChosen] = useState<readonly (string | undefined)[]>([])
	const [id = others[0]?.id] = chosen
	const other = others.find((one) => one.id === id)
	const [own, its] = [named(panel.datums), named(other?.datums)]
	if (!other) return null
	const cell = (says: string, of: readonly string[]): Cell => ({ key: 'datum', says, kind: 'choice', of: pairs(of) })
	const choose = (i: number) => (value: unknown) => setChosen(Object.assign([...chosen], { [i]: value }))
	const title = panelTitle(other)
	const picks = [
		...[cell(`First place: datum here`, own), cell(`and of ${title}`, its)],
		...[cell(`Second place: datum here`, own), cell(`and of ${title}`, its)],
	]
	const [, a, b, c, d] = chosen
	return (
		<div class="form">
			<label>
				It meets
				<select value={id} onChange={(event) => setChosen([event.currentTarget.value])}>
					{others.map((one) => (
						<option key={one.id} value={one.id}>
							{panelTitle(one)}
						</option>
					))}
				</select>
			</label>
			{picks.map((one, i) => (
				<Labelled key={`${one.says} ${i}`} cell={one}>
					{(id) => <Control cell={one} id={id} value={chosen[i + 1]} unit={unitOf(bench)} write={choose(i + 1)} />}
				</Labelled>
			))}
			<button
				type="button"
				disabled={!a || !b || !c || !d || a === c || b === d}
				onClick={() => {
					begin({
						with: id,
						datums: [
							[a, b],
							[c, d],
						],
					})
					setChosen([])
				}}
			>
				Begin a seam
			</button>
		</div>
	)
}
