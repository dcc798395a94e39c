/** Shape: how the panel's bend was captured, and what those readings are good for. */
import { isGuessed } from '../../job/guess.ts'
import type { Cell } from '../cells.ts'
import { plottedSection } from '../sectionPoints.ts'
import type { Data, PanelData } from './bench.ts'
import { Form, unitOf } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { NotYet } from './notYet.tsx'
import { Prepared } from './prepared.tsx'
import { Problems } from './problems.tsx'
import { Rows } from './rows.tsx'
import { SectionPlot } from './sectionPlot.tsx'
import { Points, Sections } from './sections.tsx'
import { ShapeKind } from './shapeKind.tsx'
import { listOf, sidesOf, spot } from './spotCells.ts'

export function ShapeLine(props: LineProps) {
	const { bench, panel, index, view, problems } = props
	const found = (panel.found ?? {}) as Data
	const said = view?.shape
	return (
		<div class="shape-line">
			<ShapeKind {...props} found={found} />
			{found.kind === 'flat' && <Flat {...props} />}
			{found.kind === 'rolled' && <Rolled {...props} />}
			{found.kind === 'revolved' && <Revolved {...props} />}
			{found.kind === 'sections' && <Sections {...props} gauge={said?.gauge?.of === 'found' ? said.gauge : undefined} />}
			{found.kind === 'scan' && <Scan {...props} />}
			{found.kind === 'taped' && <Taped {...props} />}
			{said && said.limit.length > 0 && (
				<section class="next">
					<h3>How far it can be measured</h3>
					<ul>
						{said.limit.map((why) => (
							<li key={why}>Beyond the hatched line: {why}.</li>
						))}
					</ul>
				</section>
			)}
			{said?.gauge && (
				<section class="next">
					<h3>What the sections are good for</h3>
					<ul>
						{said.gauge.said.map((text) => (
							<li key={text}>{text}</li>
						))}
					</ul>
				</section>
			)}
			<Prepared {...props} />
			{!KNOWN.includes(String(found.kind)) && <NotYet bench={bench} at={['panels', index]} entry={{ found }} shown={[]} />}
			<Problems problems={problems} bench={bench} />
		</div>
	)
}

const KNOWN = ['flat', 'rolled', 'revolved', 'sections', 'scan', 'taped']

interface Own {
	readonly bench: LineProps['bench']
	readonly panel: PanelData
	readonly index: number
}
const foundOf = ({ panel }: Own) => (panel.found ?? {}) as Data
const pathOf = ({ index }: Own) => ['panels', index, 'found'] as const

const FRONT: Cell = { key: 'front', says: 'Station of its front end', kind: 'length', unsaid: '0' }
const SD: Cell = {
	key: 'sd',
	says: 'One reading is good to',
	kind: 'length',
	sign: 'positive',
	hint: 'one standard deviation; 0.5 mm where nothing is said',
}

function Flat(own: Own) {
	const bend = foundOf(own).bend as Data | undefined
	return (
		<>
			{isGuessed(foundOf(own)) && (
				<p class="guess" role="note">
					<strong>A guess:</strong> flat, and of this size, until you say its shape. Nothing of it was measured.
				</p>
			)}
			<Form
				bench={own.bench}
				at={pathOf(own)}
				entry={foundOf(own)}
				cells={[
					{ key: 'length', says: 'Length along the baseline', kind: 'length', sign: 'positive' },
					{ key: 'width', says: 'Width to each side of it', kind: 'length', sign: 'positive' },
					FRONT,
					...(bend
						? ([
								{ key: ['bend', 'radius'], says: 'The baseline is bent, radius', kind: 'length', sign: 'positive', must: true },
								{ key: ['bend', 'towards'], says: 'Its centre lies', kind: 'choice', of: towards(own.panel) },
							] satisfies Cell[])
						: []),
				]}
				also={['kind', 'bend']}
			/>
			<p>
				<button
					type="button"
					onClick={() =>
						own.bench.set([...pathOf(own), 'bend'], bend ? undefined : { radius: 1000, towards: sidesOf(own.panel)[0] })
					}
				>
					{bend ? 'The baseline on it is straight' : 'The baseline on it is bent'}
				</button>
			</p>
		</>
	)
}

const towards = (panel: PanelData) => sidesOf(panel).map((side) => [side, `on the side called ${side}`] as const)

function Rolled(own: Own) {
	const found = foundOf(own)
	const round = (found.round ?? {}) as Data
	const cells: readonly Cell[] = round.cone
		? [
				{
					key: ['round', 'cone', 'frontDiameter'],
					says: 'Diameter at the front',
					kind: 'length',
					sign: 'not-negative',
					must: true,
				},
				{
					key: ['round', 'cone', 'rearDiameter'],
					says: 'Diameter at the rear',
					kind: 'length',
					sign: 'not-negative',
					must: true,
				},
				{ key: ['round', 'cone', 'slant'], says: 'Length along the slope', kind: 'length', sign: 'positive', must: true },
			]
		: [
				{
					key: ['round', 'baseline'],
					says: 'The baseline runs',
					kind: 'choice',
					of: [
						['along-axis', 'along the straight direction'],
						['round-profile', 'round the bend'],
					],
				},
			]
	return (
		<>
			<Form
				bench={own.bench}
				at={pathOf(own)}
				entry={found}
				cells={[
					...cells,
					{ key: 'length', says: 'Length along the straight direction', kind: 'length', sign: 'positive' },
					FRONT,
				]}
				also={['kind', 'round']}
			/>
			{!round.cone && <Profile {...own} at={[...pathOf(own), 'round', 'profile']} profile={round.profile as Data} />}
		</>
	)
}

function Revolved(own: Own) {
	const found = foundOf(own)
	const crown = (found.crown ?? {}) as Data
	const cells: readonly Cell[] =
		crown.radius === undefined
			? [
					{ key: ['crown', 'chord'], says: 'Straight-edge on the crown', kind: 'length', sign: 'positive', must: true },
					{ key: ['crown', 'rise'], says: 'The crown stands above its middle by', kind: 'length', sign: 'positive', must: true },
				]
			: [{ key: ['crown', 'radius'], says: 'Radius of the crown', kind: 'length', sign: 'positive', must: true }]
	return (
		<>
			<Form
				bench={own.bench}
				at={pathOf(own)}
				entry={found}
				cells={[...cells, { key: 'length', says: 'Length along the crown', kind: 'length', sign: 'positive', must: true }, FRONT]}
				also={['kind', 'crown', 'profile']}
			/>
			<Profile {...own} at={[...pathOf(own), 'profile']} profile={found.profile as Data} />
		</>
	)
}

/** The shape across: gauge points, a radius, or a straight line. */
function Profile({
	bench,
	panel,
	at,
	profile = {},
}: Own & { readonly at: readonly (string | number)[]; readonly profile: Data | undefined }) {
	const points = Array.isArray(profile.points)
	const cells: readonly Cell[] = points
		? [{ key: 'half', says: 'Only one half was read', kind: 'yes', unsaid: false }, SD]
		: profile.radius === undefined
			? [
					{ key: 'straight', says: 'Straight across, length', kind: 'length', sign: 'positive', must: true },
					{ key: 'slopeDeg', says: 'Falls away by (degrees)', kind: 'figure' },
				]
			: [
					{ key: 'radius', says: 'Radius across', kind: 'length', sign: 'positive', must: true },
					{ key: 'arc', says: 'Length round the arc', kind: 'length', sign: 'positive' },
				]
	return (
		<>
			<h3>The shape across</h3>
			<Form bench={bench} at={at} entry={profile} cells={cells} also={['points']} />
			{points && (
				<>
					<SectionPlot sections={[plottedSection(profile, unitOf(bench))]} current={0} worst={undefined} unit={unitOf(bench)} />
					<Points
						bench={bench}
						list={[...at, 'points']}
						points={listOf(profile.points)}
						half={profile.half === true}
						hand={panel.hand}
					/>
				</>
			)}
		</>
	)
}

function Scan(own: Own) {
	const found = foundOf(own)
	const three = (key: string, words: readonly string[], kind: 'figure' | 'length') =>
		words.map((says, i): Cell => ({ key: [key, i], says, kind, must: true }))
	return (
		<>
			<Form
				bench={own.bench}
				at={pathOf(own)}
				entry={found}
				cells={[
					{ key: 'file', says: 'File beside the job', kind: 'words', must: true },
					{
						key: 'unit',
						says: 'Unit of the scan',
						kind: 'choice',
						of: ['mm', 'cm', 'm', 'in'].map((unit) => [unit, unit] as const),
						unsaid: 'guessed, and said',
					},
					{
						key: 'symmetry',
						says: 'The middle is found by',
						kind: 'choice',
						of: [
							['shape', 'its own shape'],
							['datums', 'the datums alone'],
						],
						unsaid: 'its own shape',
					},
					{ key: 'noise', says: 'Single points scatter by', kind: 'length', sign: 'positive' },
					{ key: 'stations', says: 'Sections are taken at', kind: 'lengths' },
					FRONT,
				]}
				also={['kind', 'datums']}
			/>
			<Rows
				bench={own.bench}
				list={[...pathOf(own), 'datums']}
				rows={listOf(found.datums)}
				one="datum"
				least={3}
				caption="Places found both on the scan and on the vehicle, not in one line."
				cells={[
					{ key: 'id', says: 'Name', kind: 'name', must: true },
					{ key: 'what', says: 'What it is', kind: 'words' },
					...three('scan', ['Scan x', 'Scan y', 'Scan z'], 'figure'),
					...three('vehicle', ['Rearward', 'To the right', 'Up'], 'length'),
				]}
				begin={() => ({})}
				also={[]}
			/>
		</>
	)
}

function Taped(own: Own) {
	const found = foundOf(own)
	const end = (key: string, words: string) =>
		spot(own.panel).map((cell): Cell => ({ ...cell, key: [key, String(cell.key)], says: `${words} ${cell.says.toLowerCase()}` }))
	return (
		<>
			<Form
				bench={own.bench}
				at={pathOf(own)}
				entry={found}
				cells={[
					{ key: 'stations', says: 'Lines were struck at', kind: 'lengths', hint: 'stations, with semicolons between them' },
					{
						key: 'squared',
						says: 'Squared off with',
						kind: 'choice',
						of: [
							['t-strip', 'a T-strip'],
							['by-eye', 'the eye'],
						],
						unsaid: 'a T-strip',
					},
					SD,
					{ key: 'length', says: 'Length along the baseline', kind: 'length', sign: 'positive' },
					FRONT,
				]}
				also={['kind', 'laid', 'tapes']}
			/>
			<Rows
				bench={own.bench}
				list={[...pathOf(own), 'laid']}
				rows={listOf(found.laid)}
				one="laid tape"
				least={1}
				caption="Short lengths along lines of one girth: a list from line to line, or one length from one line to another."
				cells={[
					{ key: 'girth', says: 'Girth', kind: 'length', must: true },
					{
						key: 'side',
						says: 'Side',
						kind: 'choice',
						of: sidesOf(own.panel).map((side) => [side, side] as const),
						unsaid: own.panel.hand === 'centre' ? 'both alike' : 'above',
					},
					{ key: 'from', says: 'From', kind: 'length' },
					{ key: 'lengths', says: 'Lengths', kind: 'lengths' },
					{ key: 'to', says: 'To', kind: 'length' },
					{ key: 'length', says: 'One length', kind: 'length', sign: 'positive' },
				]}
				begin={() => ({})}
				also={[]}
			/>
			<Rows
				bench={own.bench}
				list={[...pathOf(own), 'tapes']}
				rows={listOf(found.tapes)}
				one="long tape"
				caption="Longer tapes pressed down from place to place: diagonals help most."
				cells={[...end('from', 'From'), ...end('to', 'To'), { key: 'length', says: 'Length', kind: 'length', must: true }]}
				begin={() => ({})}
				also={[]}
			/>
		</>
	)
}
