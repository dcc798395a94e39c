/** Where a decal goes: by marks, at a place, between two lines, off a line, or along one. */
import type { Cell } from '../cells.ts'
import type { DecalView } from '../decalView.ts'
import type { Path } from '../document.ts'
import { knownNames } from '../marksOf.ts'
import type { Bench, Data, PanelData } from './bench.ts'
import { edgeChoices } from './edgesPart.tsx'
import { Control, Form, Labelled, unitOf } from './fields.tsx'
import { Rows } from './rows.tsx'
import { sidesOf } from './spotCells.ts'

interface PlaceProps {
	readonly bench: Bench
	readonly panel: PanelData
	readonly decal: Data
	/** where the decal stands in the file */
	readonly at: readonly (string | number)[]
	/** as it is worked out, on the first of its sides */
	readonly view: DecalView | undefined
}

const KINDS = [
	['marks', 'by marks that were measured'],
	['spot', 'at a station and a girth'],
	['between', 'half-way between two lines'],
	['off', 'off a line'],
	['follow', 'along a line, bend for bend'],
] as const
const KIND: Cell = { key: 'kind', says: 'It is placed', kind: 'choice', of: KINDS }

const POINTS = {
	sided: ['middle', 'front', 'rear', 'top', 'bottom', 'top-front', 'top-rear', 'bottom-front', 'bottom-rear'],
	across: ['middle', 'left', 'right', 'top', 'bottom', 'top-left', 'top-right', 'bottom-left', 'bottom-right'],
} as const
const LENGTHS = 'lengths'
const pointWords = (across: boolean) =>
	POINTS[across ? 'across' : 'sided'].map(
		(point) => [point, point === 'middle' ? 'its middle' : `its ${point.replace('-', ', ')}`] as const,
	)

const isAcross = (decal: Data) => decal.hand === 'across'
export const placeOf = (decal: Data) => (typeof decal.place === 'object' && decal.place !== null ? (decal.place as Data) : {})

export function DecalPlaceForm(props: PlaceProps) {
	const { bench, panel, decal, at } = props
	const place = placeOf(decal)
	const path = [...at, 'place']
	const edges = edgeChoices(panel.edges)
	const kinds = KINDS.filter(
		([kind]) =>
			(kind !== 'between' || edges.length > 1) &&
			(!['off', 'follow'].includes(kind) || edges.length > 0) &&
			(!isAcross(decal) || ['marks', 'spot'].includes(kind)),
	)
	const chosen = { ...KIND, of: KINDS.filter(([kind]) => kind === place.kind || kinds.some(([one]) => one === kind)) } as Cell
	return (
		<>
			<div class="form">
				<Question
					bench={bench}
					cell={chosen}
					value={place.kind}
					at={[...path, 'kind']}
					write={(kind) => bench.set(path, placed(String(kind), props))}
				/>
			</div>
			{place.kind === 'marks' ? (
				<Marks {...props} />
			) : (
				<>
					<Form bench={bench} at={path} entry={place} cells={cellsOf(props, edges)} />
					<Point {...props} />
					<Turned {...props} />
					{place.kind === 'spot' && <Form bench={bench} at={path} entry={place} cells={KNOWN} />}
				</>
			)}
		</>
	)
}

const KNOWN: readonly Cell[] = [
	{
		key: 'sd',
		says: 'Its place is known to',
		kind: 'length',
		sign: 'positive',
		hint: 'One standard deviation; a tape’s where not said.',
	},
	{ key: 'sdDeg', says: 'Its angle, degrees', kind: 'figure' },
]

function cellsOf({ decal, panel }: PlaceProps, edges: readonly (readonly [string, string])[]): readonly Cell[] {
	const { kind } = placeOf(decal)
	const station: Cell = { key: 'station', says: 'Station', kind: 'length', must: true }
	const distance: Cell = {
		key: 'distance',
		says: kind === 'follow' ? 'From it to the decal’s bottom' : 'From it',
		kind: 'length',
		sign: 'not-negative',
		must: true,
	}
	const edge: Cell = { key: 'edge', says: 'The line', kind: 'choice', of: edges }
	const lay: Cell = { key: 'lay', says: 'To which side of it', kind: 'choice', of: LAY }
	switch (kind) {
		case 'spot': {
			const girth: Cell = { key: 'girth', says: 'Girth', kind: 'length', sign: 'not-negative', unsaid: '0' }
			// on both sides of a centreline it is counted to either
			const counted = panel.hand !== 'centre' || isAcross(decal)
			const side: Cell = {
				key: 'side',
				says: 'Side',
				kind: 'choice',
				of: sidesOf(panel).map((one) => [one, one] as const),
				unsaid: 'on it',
			}
			return [station, girth, ...(counted ? [side] : [])]
		}
		case 'between':
			return [
				{ key: ['edges', 0], says: 'One line', kind: 'choice', of: edges },
				{ key: ['edges', 1], says: 'The other line', kind: 'choice', of: edges },
				station,
			]
		case 'off':
			return [edge, lay, distance, station]
		case 'follow':
			return [edge, lay, distance, { ...station, says: 'Station of its middle' }]
		default:
			return []
	}
}

const LAY = [
	['inboard', 'inboard, towards the baseline'],
	['outboard', 'outboard, away from the baseline'],
] as const
interface QuestionProps {
	readonly bench: Bench
	readonly cell: Cell
	readonly value: unknown
	readonly at: Path
	readonly write: (value: unknown) => void
}

/** One cell of the place, whose answer is written otherwise than it is shown. */
const Question = ({ bench, cell, value, at, write }: QuestionProps) => (
	<Labelled cell={cell}>
		{(id) => <Control cell={cell} id={id} value={value} unit={unitOf(bench)} at={at} write={write} />}
	</Labelled>
)

/** Which place of the decal lies there: by name, or by two lengths from its middle. */
function Point({ bench, decal, at }: PlaceProps) {
	const place = placeOf(decal)
	if (place.kind !== 'spot' && place.kind !== 'off') return null
	const path = [...at, 'place', 'point']
	const across = isAcross(decal)
	const two = Array.isArray(place.point)
	const cell: Cell = {
		key: 'point',
		says: 'What of it lies there',
		kind: 'choice',
		unsaid: 'its middle',
		of: [...pointWords(across).slice(1), [LENGTHS, 'a place by two lengths']],
	}
	return (
		<div class="form">
			<Question
				bench={bench}
				cell={cell}
				value={two ? LENGTHS : place.point === 'middle' ? undefined : place.point}
				at={path}
				write={(value) => bench.set(path, value === LENGTHS ? [0, 0] : value)}
			/>
			{two && <Form bench={bench} at={path} entry={place.point} cells={twoLengths(across)} />}
		</div>
	)
}

const twoLengths = (across: boolean): readonly Cell[] => [
	{ key: 0, says: across ? 'To the right of its middle' : 'Rearward of its middle', kind: 'length', must: true },
	{ key: 1, says: 'Up from its middle', kind: 'length', must: true },
]

const DEGREES = 'degrees'

/** Its baseline: by degrees, level, or along the line. */
function Turned({ bench, decal, at, view }: PlaceProps) {
	const place = placeOf(decal)
	if (place.kind === 'follow' || place.kind === 'marks') return null
	const path = [...at, 'place', 'angle']
	const spot = place.kind === 'spot'
	const by = typeof place.angle === 'number'
	const cell: Cell = {
		...{ key: 'angle', says: 'Its baseline', kind: 'choice' },
		unsaid: spot ? 'along the panel' : 'along the line there',
		of: [
			['level', 'level on the standing vehicle'],
			[DEGREES, 'turned by degrees'],
		],
	}
	const shown = by ? DEGREES : place.angle === 'along' ? undefined : place.angle
	const degrees: Cell = {
		...{ key: 'angle', says: 'Degrees', kind: 'figure', must: true },
		hint: isAcross(decal) ? 'It turns anticlockwise as read.' : 'It rises towards the rear; less than 0 falls.',
	}
	return (
		<div class="form">
			<Question
				bench={bench}
				cell={cell}
				value={shown}
				at={path}
				write={(value) => bench.set(path, value === DEGREES ? Math.round(10 * (view?.riseDeg ?? 0)) / 10 : value)}
			/>
			{by && <Form bench={bench} at={[...at, 'place']} entry={place} cells={[degrees]} />}
		</div>
	)
}

/** A mark and the place of the decal that it is, in cells. */
const MARK = {
	show(entry: unknown) {
		const { mark, point } = (entry ?? {}) as Data
		const [along, up] = Array.isArray(point) ? point : []
		return { mark, point: Array.isArray(point) ? LENGTHS : point, along, up }
	},
	put(entry: unknown, key: string, value: unknown) {
		const { mark, point, along, up } = { ...MARK.show(entry), [key]: value } as Data
		const two = key === 'along' || key === 'up' || (key === 'point' ? value === LENGTHS : point === LENGTHS)
		const where = two ? [along ?? 0, up ?? 0] : point
		return { ...(mark === undefined ? {} : { mark }), ...(where === undefined ? {} : { point: where }) }
	},
}

function Marks({ bench, panel, decal, at }: PlaceProps) {
	const across = isAcross(decal)
	const place = placeOf(decal)
	return (
		<Rows
			bench={bench}
			list={[...at, 'place', 'marks']}
			rows={Array.isArray(place.marks) ? place.marks : []}
			one="mark"
			least={2}
			caption="Places of the decal that were measured on the old panel."
			cells={[
				{ key: 'mark', says: 'Mark', kind: 'name', known: knownNames(panel), must: true },
				{ key: 'point', says: 'It is', kind: 'choice', of: [...pointWords(across), [LENGTHS, 'by two lengths']] },
				{ key: 'along', says: across ? 'Right' : 'Rear', kind: 'length' },
				{ key: 'up', says: 'Up', kind: 'length' },
			]}
			form={MARK}
			begin={() => ({ point: 'middle' })}
		/>
	)
}

/** Another kind of place, where the decal lies now as far as that is known. */
function placed(kind: string, { bench, panel, decal, view }: PlaceProps): Data {
	const old = placeOf(decal)
	const inches = unitOf(bench) === 'in'
	const figure = (mm: number) => (inches ? Math.round((mm / 25.4) * 32) / 32 : Math.round(2 * mm) / 2)
	const station = old.station ?? figure(view?.station ?? 0)
	const edges = edgeChoices(panel.edges).map(([id]) => id)
	const edge = old.edge ?? edges[0]
	const lay = old.lay ?? 'outboard'
	switch (kind) {
		case 'marks': {
			const names = knownNames(panel)
			return { kind, marks: isAcross(decal) ? [{ mark: names[0], point: 'left' }, { mark: names[1], point: 'right' }] : [{ mark: names[0], point: 'front' }, { mark: names[1], point: 'rear' }] } // biome-ignore format: as a table
		}
		case 'spot': {
			const girth = figure(Math.abs(view?.girth ?? 0))
			const [more, less] = panel.hand === 'centre' ? ['right', 'left'] : ['above', 'below']
			const counted = panel.hand !== 'centre' || isAcross(decal)
			return { kind, station, girth, ...(counted && girth > 0 ? { side: (view?.girth ?? 0) < 0 ? less : more } : {}) }
		}
		case 'between':
			return { kind, edges: [edges[0], edges[1]], station }
		case 'off':
			return { kind, edge, distance: old.distance ?? (inches ? 1 : 25), lay, station }
		default:
			return { kind, edge, distance: old.distance ?? (inches ? 0.25 : 6), lay, station }
	}
}
