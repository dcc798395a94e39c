/** Gauge sections: which one is in hand, where it stands, its readings as a table, and its plot. */
import { useState } from 'preact/hooks'
import { formatLength } from '../../units/format.ts'
import type { Cell } from '../cells.ts'
import type { Path } from '../document.ts'
import { plottedSection } from '../sectionPoints.ts'
import type { ShapeView } from '../shapeView.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { Form, unitOf } from './fields.tsx'
import { NewSections } from './newSections.tsx'
import { NotYet } from './notYet.tsx'
import { Rows } from './rows.tsx'
import { SectionPlot } from './sectionPlot.tsx'

interface SectionsProps {
	readonly bench: Bench
	readonly panel: PanelData
	readonly index: number
	readonly gauge: ShapeView['gauge'] | undefined
}

export function Sections({ bench, panel, index, gauge }: SectionsProps) {
	const unit = unitOf(bench)
	const found = (panel.found ?? {}) as Data
	const at = ['panels', index, 'found'] as const
	const list = [...at, 'sections'] as const
	const sections = (Array.isArray(found.sections) ? found.sections : []) as readonly Data[]
	const [chosen, setChosen] = useState(gauge?.worst.section ?? 0)
	const current = Math.min(chosen, sections.length - 1)
	const section = sections[current]
	const missed = gauge?.without[current]
	return (
		<>
			<Form bench={bench} at={at} entry={found} cells={WHOLE} also={['kind', 'sections', 'crown', 'baseline', 'closed']} />
			<SectionPlot
				sections={sections.map((one) => plottedSection(one, unit))}
				current={current}
				worst={gauge?.worst}
				unit={unit}
			/>
			<fieldset class="which-section">
				<legend>Section, by how far along</legend>
				{sections.map((one, i) => (
					<label key={i} class={i === current ? 'pick current' : 'pick'}>
						<input type="radio" name="section" checked={i === current} onChange={() => setChosen(i)} />
						{String(one.along ?? '?')}
						{gauge?.worst.section === i && <span class="worst-mark"> sticks out</span>}
					</label>
				))}
			</fieldset>
			{section && (
				<>
					<Form
						bench={bench}
						at={[...list, current]}
						entry={section}
						cells={[
							ALONG,
							DROP,
							...(Array.isArray(section.points) ? [HALF] : []),
							CREASES,
							...(section.traced === undefined ? [] : [TRACED]),
						]}
						also={['points', 'left', 'right']}
					/>
					{missed !== undefined && (
						<p>
							Without this section the shape would miss it by{' '}
							{formatLength(missed, unit, { decimals: unit === 'mm' ? 2 : 3 }).text}.
						</p>
					)}
					{Array.isArray(section.points) && (
						<Points
							bench={bench}
							list={[...list, current, 'points']}
							points={section.points}
							half={section.half === true}
							hand={panel.hand}
						/>
					)}
					{(['left', 'right'] as const).map((side) =>
						Array.isArray(section[side]) ? (
							<div key={side}>
								<h3>
									{panel.hand === 'centre'
										? side === 'left'
											? 'Left half'
											: 'Right half'
										: side === 'left'
											? 'Lower half'
											: 'Upper half'}
								</h3>
								<Points
									bench={bench}
									list={[...list, current, side]}
									points={section[side] as readonly unknown[]}
									half
									hand={panel.hand}
									least={2}
								/>
							</div>
						) : null,
					)}
					<p>
						<button type="button" disabled={sections.length <= 3} onClick={() => bench.remove([...list], current)}>
							Take section {current + 1} away
						</button>{' '}
						{sections.length <= 3 && <span class="hint">A shape needs three at least.</span>}
					</p>
				</>
			)}
			<details class="more">
				<summary>Put another section in</summary>
				<NewSections
					bench={bench}
					least={1}
					taken={([one]) => {
						if (!one) return
						const place = placeOf(sections, one, unit)
						bench.insert([...list], place, one)
						setChosen(place)
					}}
				/>
			</details>
			<Crown bench={bench} at={at} found={found} />
			<NotYet bench={bench} at={at} entry={found} shown={['kind', 'sections', 'crown', 'sd', 'front', 'closed', 'baseline']} />
			{found.baseline !== undefined && (
				<Form bench={bench} at={[...at, 'baseline']} entry={found.baseline} cells={BASELINE} also={[]} />
			)}
		</>
	)
}

const WHOLE: readonly Cell[] = [
	{ key: 'sd', says: 'One reading is good to', kind: 'length', sign: 'positive', unsaid: '0.5 mm' },
	{ key: 'front', says: 'Station at the first section', kind: 'length', unsaid: '0' },
	{ key: 'closed', says: 'Every section goes right round', kind: 'yes', unsaid: false },
]
const ALONG: Cell = { key: 'along', says: 'Along the panel', kind: 'length', must: true }
const DROP: Cell = { key: 'drop', says: 'Its zero lies below the straight-edge by', kind: 'length', unsaid: '0' }
const HALF: Cell = { key: 'half', says: 'Only one half was read', kind: 'yes', unsaid: false }
const CREASES: Cell = {
	key: 'creases',
	says: 'Folds cross it at',
	kind: 'lengths',
	hint: 'the place across of the reading on each',
}
const TRACED: Cell = {
	key: 'traced',
	says: 'Its tracing, as SVG path data in mm',
	kind: 'words',
	long: true,
	must: true,
}
const BASELINE: readonly Cell[] = [
	{ key: ['from', 'along'], says: 'The baseline starts along', kind: 'length' },
	{ key: ['from', 'across'], says: 'and across', kind: 'length', unsaid: '0' },
	{ key: ['to', 'along'], says: 'It ends along', kind: 'length' },
	{ key: ['to', 'across'], says: 'and across', kind: 'length', unsaid: '0' },
]

/** The readings of a gauge, across and down. */
export function Points({
	bench,
	list,
	points,
	half,
	hand,
	least = 3,
}: {
	readonly bench: Bench
	readonly list: Path
	readonly points: readonly unknown[]
	readonly half: boolean
	/** of the panel */
	readonly hand: unknown
	readonly least?: number
}) {
	const way = half ? 'the centre outward' : hand === 'centre' ? 'left to right' : 'below to above'
	return (
		<Rows
			bench={bench}
			list={list}
			rows={points}
			one="reading"
			caption={`Readings from ${way}. A table can be pasted in.`}
			cells={[
				{ key: 0, says: half ? 'Outward' : 'Across', kind: 'length', must: true },
				{ key: 1, says: 'Down', kind: 'length', must: true },
			]}
			begin={() => []}
			least={least}
		/>
	)
}

/** The shape of the crown line, where sections were read square to it. */
function Crown({ bench, at, found }: { readonly bench: Bench; readonly at: Path; readonly found: Data }) {
	const crown = found.crown as Data | undefined
	if (!crown) return null
	return (
		<>
			<h3>The crown line</h3>
			<Form
				bench={bench}
				at={[...at, 'crown']}
				entry={crown}
				cells={[{ key: 'sd', says: 'One reading is good to', kind: 'length', sign: 'positive' }]}
				also={['points']}
			/>
			<Rows
				bench={bench}
				list={[...at, 'crown', 'points']}
				rows={Array.isArray(crown.points) ? crown.points : []}
				one="reading"
				caption="Along, and down from the straight-edge, front to rear."
				cells={[
					{ key: 0, says: 'Along', kind: 'length', must: true },
					{ key: 1, says: 'Down', kind: 'length', must: true },
				]}
				begin={() => []}
				least={3}
			/>
		</>
	)
}

/** Front to rear. */
function placeOf(sections: readonly Data[], one: Data, unit: 'mm' | 'in'): number {
	const own = plottedSection(one, unit).alongMm ?? 0
	const after = sections.findIndex((each) => (plottedSection(each, unit).alongMm ?? Number.NEGATIVE_INFINITY) > own)
	return after < 0 ? sections.length : after
}
