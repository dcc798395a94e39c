/** Edges: the lines through marks. */
import type { Cell } from '../cells.ts'
import { knownNames, marksForEdge, nameFrom, type Through, throughOf, withThrough } from '../marksOf.ts'
import type { Data } from './bench.ts'
import { Block } from './block.tsx'
import { Form } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { Rows } from './rows.tsx'
import { EVIDENCE, handCell, NOTE, named, WHAT, wordsOf } from './schemeWords.ts'

export interface PartProps extends LineProps {
	/** which one is open: "edges 0" */
	readonly opened: string | undefined
	readonly open: (which: string | undefined) => void
}

const HOW: Cell = {
	key: 'how',
	says: 'The line',
	kind: 'choice',
	of: [
		['smooth', 'passes smoothly'],
		['corner', 'has a corner here'],
		['pulled', 'is pulled taut to here'],
		['pulled-corner', 'is pulled taut to a corner here'],
	],
}
const END = (key: 'front' | 'rear'): Cell => ({
	key,
	says: key === 'front' ? 'Front end' : 'Rear end',
	kind: 'choice',
	of: [
		['at-mark', 'ends at its mark'],
		['runs-off', 'runs off the panel'],
	],
	unsaid: 'ends at its mark',
})
const SIDES: Cell = {
	key: 'sides',
	says: 'Measured on both sides',
	kind: 'choice',
	of: [
		['mean', 'the mean of the two on both'],
		['left', 'the left one on both'],
		['right', 'the right one on both'],
		['each', 'each side as it was'],
	],
	unsaid: 'the mean of the two on both',
}

const THROUGH = {
	show: throughOf,
	put: (entry: unknown, key: string, value: unknown) =>
		key === 'tolerance'
			? withThrough(entry ?? '', { tolerance: value })
			: withThrough(entry ?? '', { [key]: value } as Partial<Through>),
}

export function EdgesPart({ bench, panel, index, opened, open }: PartProps) {
	const list = ['panels', index, 'edges'] as const
	const edges = panel.edges ?? []
	const marks = marksForEdge(panel)
	const begin = () => {
		const id = nameFrom('line', named(edges), 'line')
		bench.insert([...list], edges.length, { id, through: marks })
		open(`edges ${edges.length}`)
	}
	return (
		<>
			<h3>Edges</h3>
			{edges.map((edge, i) => {
				const which = `edges ${i}`
				const through = Array.isArray(edge.through) ? (edge.through as readonly unknown[]) : []
				return (
					<Block
						key={which}
						title={wordsOf(edge, 'edge')}
						about={about(through)}
						open={opened === which}
						toggle={() => open(opened === which ? undefined : which)}
						remove={() => {
							bench.remove([...list], i)
							open(undefined)
						}}
					>
						<Rows
							bench={bench}
							list={[...list, i, 'through']}
							rows={through}
							one="mark"
							least={2}
							caption="The marks in order, front to rear."
							cells={[
								{ key: 'mark', says: 'Mark', kind: 'name', known: knownNames(panel), must: true },
								HOW,
								{ key: 'tolerance', says: 'Within', kind: 'length', sign: 'positive' },
							]}
							form={THROUGH}
							begin={() => ''}
							ordered
						/>
						<Form
							bench={bench}
							at={[...list, i]}
							entry={edge}
							cells={[
								WHAT,
								{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
								...handCell(panel, 'both sides alike'),
								...(panel.hand === 'centre' || panel.hand === 'pair' ? [SIDES] : []),
								{ key: 'closed', says: 'Comes back to its first mark', kind: 'yes', unsaid: false },
								END('front'),
								END('rear'),
								EVIDENCE,
								NOTE,
							]}
							also={['through']}
						/>
					</Block>
				)
			})}
			<p>
				<button type="button" disabled={marks.length < 2} onClick={begin}>
					Lay an edge through {marks.length < 2 ? 'marks' : through(marks)}
				</button>
				{marks.length < 2 && <span class="hint"> Two marks at least have to be measured first.</span>}
			</p>
		</>
	)
}

const through = (marks: readonly string[]) => (marks.length > 3 ? `${marks[0]} to ${marks[marks.length - 1]}` : marks.join(', '))

function about(list: readonly unknown[]): string {
	const names = list.map((one) => throughOf(one).mark)
	const corners = list.filter((one) => throughOf(one).how.includes('corner')).length
	const pulled = list.filter((one) => throughOf(one).how.includes('pulled')).length
	return [
		through(names),
		...(corners > 0 ? [`${corners} ${corners === 1 ? 'corner' : 'corners'}`] : []),
		...(pulled > 0 ? [`${pulled} pulled`] : []),
	].join(', ')
}

export const edgeChoices = (edges: readonly Data[] | undefined) =>
	(edges ?? []).flatMap((one) => (typeof one.id === 'string' ? [[one.id, wordsOf(one, one.id)] as const] : []))
