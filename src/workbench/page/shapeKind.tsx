/** How the shape was captured, and taking another way: a new shape is written when its figures are there, not before. */
import { useState } from 'preact/hooks'
import { type Cell, valueAt } from '../cells.ts'
import type { Data } from './bench.ts'
import { Control, Labelled, unitOf } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { NewScan } from './newScan.tsx'
import { NewSections } from './newSections.tsx'

const KINDS = [
	['flat', 'flat: a side cover'],
	['rolled', 'bent one way, as a sheet of card can be: a chain case, a tube'],
	['revolved', 'one shape across, swept round: a mudguard'],
	['sections', 'bent both ways, read with a profile gauge: a tank, a wing'],
	['taped', 'bent both ways, read with a tape alone'],
	['scan', 'a scan of it'],
] as const

/** The figures that a shape cannot do without. */
const NEEDED: Readonly<Record<string, { readonly cells: readonly Cell[]; readonly made: (figures: Data) => Data }>> = {
	flat: {
		cells: [
			{ key: 'length', says: 'Length along the baseline', kind: 'length', sign: 'positive' },
			{ key: 'width', says: 'Width to each side of it', kind: 'length', sign: 'positive' },
		],
		made: (figures) => ({ kind: 'flat', ...figures }),
	},
	rolled: {
		cells: [
			{ key: 'radius', says: 'Radius of the bend', kind: 'length', sign: 'positive', must: true },
			{ key: 'length', says: 'Length along the straight direction', kind: 'length', sign: 'positive', must: true },
		],
		made: ({ radius, length }) => ({ kind: 'rolled', round: { profile: { radius }, baseline: 'along-axis' }, length }),
	},
	revolved: {
		cells: [
			{ key: 'chord', says: 'Straight-edge on the crown', kind: 'length', sign: 'positive', must: true },
			{ key: 'rise', says: 'The crown stands above its middle by', kind: 'length', sign: 'positive', must: true },
			{ key: 'radius', says: 'Radius across', kind: 'length', sign: 'positive', must: true },
			{ key: 'length', says: 'Length along the crown', kind: 'length', sign: 'positive', must: true },
		],
		made: ({ chord, rise, radius, length }) => ({ kind: 'revolved', crown: { chord, rise }, profile: { radius }, length }),
	},
	taped: {
		cells: [
			{
				...{ key: 'stations', says: 'Lines were struck square off it at', kind: 'lengths', must: true },
				hint: 'stations, front to rear, with semicolons between them',
			},
			{ key: 'girth', says: 'Lengths were laid at girth', kind: 'length', sign: 'not-negative', must: true },
			{
				...{ key: 'lengths', says: 'From line to line the tape read', kind: 'lengths', must: true },
				hint: 'at most 100 mm each; other girths and long tapes follow below',
			},
			{ key: 'length', says: 'Length along the baseline', kind: 'length', sign: 'positive' },
		],
		made: ({ stations, girth, lengths, length }) => ({
			...{ kind: 'taped', stations, laid: [{ girth, lengths }] },
			...(length === undefined ? {} : { length }),
		}),
	},
}

export function ShapeKind({ bench, index, found }: LineProps & { readonly found: Data }) {
	const [wanted, setWanted] = useState<string>()
	const [figures, setFigures] = useState<Data>({})
	const kind = String(found.kind ?? '')
	const next = wanted !== undefined && wanted !== kind ? wanted : undefined
	const needed = next === undefined ? undefined : NEEDED[next]
	const take = (value: Data) => {
		bench.set(['panels', index, 'found'], value)
		setWanted(undefined)
		setFigures({})
	}
	return (
		<>
			<label class="which-kind">
				How its shape was captured
				<select
					value={next ?? kind}
					data-at={`panels/${index}/found/kind`}
					onChange={(event) => setWanted(event.currentTarget.value)}
				>
					{KINDS.map(([value, words]) => (
						<option key={value} value={value}>
							{words}
						</option>
					))}
				</select>
			</label>
			{next && (
				<section class="taking">
					{needed && (
						<div class="form">
							{needed.cells.map((cell) => (
								<Labelled key={String(cell.key)} cell={cell}>
									{(id) => (
										<Control
											cell={cell}
											id={id}
											value={valueAt(figures, cell.key)}
											unit={unitOf(bench)}
											write={(value) => setFigures({ ...figures, [String(cell.key)]: value })}
										/>
									)}
								</Labelled>
							))}
							<button
								type="button"
								disabled={needed.cells.some((cell) => 'must' in cell && cell.must && valueAt(figures, cell.key) === undefined)}
								onClick={() => take(needed.made(figures))}
							>
								Take this shape in place of the one above
							</button>
						</div>
					)}
					{next === 'sections' && (
						<NewSections bench={bench} least={3} taken={(sections) => take({ kind: 'sections', sections })} />
					)}
					{next === 'scan' && <NewScan bench={bench} taken={take} />}
					<button type="button" onClick={() => setWanted(undefined)}>
						Leave the shape as it is
					</button>
				</section>
			)}
		</>
	)
}
