/** Artwork of the job: what decals are, with a picture of each; drawings, shapes by their measures, tracings and lettering. */
import type { Cell } from '../cells.ts'
import type { ArtworkView } from '../decalView.ts'
import { nameFrom } from '../marksOf.ts'
import { ArtworkPicture } from './artworkPicture.tsx'
import type { Data } from './bench.ts'
import { Block } from './block.tsx'
import type { PartProps } from './edgesPart.tsx'
import { Form, unitOf } from './fields.tsx'
import { NewDrawing } from './newDrawing.tsx'
import { Rows } from './rows.tsx'
import { named } from './schemeWords.ts'

export const titleOf = (one: Data) => String(one.title ?? one.id ?? 'artwork')
const shapeOf = (one: Data) => (typeof one.shape === 'object' && one.shape !== null ? (one.shape as Data) : {})

const KINDS: Readonly<Record<string, string>> = {
	rectangle: 'a rectangle',
	ellipse: 'round or oval',
	traced: 'traced round the old decal',
	drawing: 'a drawing',
	lettering: 'lettering',
}

export function ArtworkPart(props: PartProps) {
	const { bench, papers, artwork, opened, open } = props
	const list = bench.job?.artwork ?? []
	const inches = unitOf(bench) === 'in'
	const begin = (words: string, shape: Data) => {
		bench.insert(['artwork'], list.length, { id: nameFrom(words, named(list), 'artwork'), title: words, shape })
		open(`artwork ${list.length}`)
	}
	return (
		<>
			<h3>Artwork of the job</h3>
			{list.map((one, i) => {
				const which = `artwork ${i}`
				const view = artwork.find(({ id }) => id === one.id)
				return (
					<Block
						key={which}
						title={titleOf(one)}
						about={<About view={view} one={one} />}
						open={opened === which}
						toggle={() => open(opened === which ? undefined : which)}
						remove={() => {
							bench.remove(['artwork'], i)
							open(undefined)
						}}
					>
						{view && <ArtworkPicture artwork={view} title={titleOf(one)} />}
						<p class="hint">{view ? `${view.says}.` : 'There is no picture of it yet: see what is open below.'}</p>
						<ShapeForm {...props} one={one} at={['artwork', i]} />
					</Block>
				)
			})}
			<NewDrawing bench={bench} papers={papers} taken={(index) => open(`artwork ${index}`)} />
			<p class="adding">
				<button type="button" onClick={() => begin('lettering', { kind: 'lettering', text: 'ABC', height: inches ? 1 : 20 })}>
					Add lettering
				</button>
				<button
					type="button"
					onClick={() => begin('rectangle', { kind: 'rectangle', width: inches ? 4 : 100, height: inches ? 1.5 : 40 })}
				>
					Add a rectangle
				</button>
				<button
					type="button"
					onClick={() => begin('round', { kind: 'ellipse', width: inches ? 2 : 50, height: inches ? 2 : 50 })}
				>
					Add a round or oval
				</button>
				<button type="button" onClick={() => begin('tracing', { kind: 'traced', points: inches ? TRACED_IN : TRACED_MM })}>
					Add a tracing
				</button>
			</p>
		</>
	)
}

/** A shape to be typed over. */
const TRACED_MM = [[0, 0], [60, 0], [30, 40]] // biome-ignore format: a table
const TRACED_IN = [[0, 0], [2.5, 0], [1.25, 1.5]] // biome-ignore format: a table

function About({ view, one }: { readonly view: ArtworkView | undefined; readonly one: Data }) {
	const kind = KINDS[String(shapeOf(one).kind)] ?? ''
	if (!view) return <>{kind}</>
	return (
		<>
			{view.says.split(',').slice(0, 2).join(',')}
			<ArtworkPicture artwork={view} title={titleOf(one)} />
		</>
	)
}

const length = (
	key: Cell['key'],
	says: string,
	more: {
		readonly must?: boolean
		readonly sign?: 'positive' | 'not-negative'
		readonly unsaid?: string
		readonly hint?: string
	} = {},
): Cell => ({ ...{ key, says, kind: 'length' }, ...more })
const must = { must: true, sign: 'positive' } as const
const COLOUR: Cell = { key: 'colour', says: 'Colour in drawings', kind: 'colour' }
const FONT: Cell = {
	...{ key: 'font', says: 'Letters', kind: 'choice', unsaid: 'plain' },
	of: [
		['plain', 'plain'],
		['narrow', 'narrow'],
		['stencil', 'stencil'],
		['script', 'script'],
	],
}

const CELLS: Readonly<Record<string, readonly Cell[]>> = {
	rectangle: [
		length('width', 'Width', must),
		length('height', 'Height', must),
		length('corner', 'Radius of its corners', { sign: 'not-negative', unsaid: '0' }),
		COLOUR,
	],
	ellipse: [length('width', 'Width', must), length('height', 'Height', must), COLOUR],
	traced: [COLOUR],
	drawing: [
		{ key: 'file', says: 'File beside the job', kind: 'words', must: true },
		length('width', 'All that is printed is wide', { sign: 'positive' }),
		length('height', 'or high', { sign: 'positive', hint: 'One of them, where the drawing does not say its size.' }),
	],
	lettering: [
		{ key: 'text', says: 'What it says', kind: 'words', must: true },
		FONT,
		length('height', 'Height of a capital H', must),
		length('spacing', 'Added between letters', { unsaid: '0' }),
		length(['arc', 'radius'], 'On a circle of radius', { sign: 'positive' }),
		{ key: 'register', says: 'A registration mark', kind: 'yes', unsaid: false },
		COLOUR,
	],
}
const INSIDE: Cell = { key: ['arc', 'inside'], says: 'Inside, along its bottom', kind: 'yes', unsaid: false }

/** A place round a tracing: by two lengths, with a corner or smoothly. */
const ROUND = {
	show(entry: unknown) {
		const { at, corner } = Array.isArray(entry) ? { at: entry, corner: undefined } : ((entry ?? {}) as Data)
		const [x, y] = Array.isArray(at) ? at : []
		return { x, y, corner }
	},
	put(entry: unknown, key: string, value: unknown) {
		const { x, y, corner } = { ...ROUND.show(entry), [key]: value } as Data
		return corner === true ? { at: [x, y], corner } : [x, y]
	},
}

function ShapeForm({ bench, one, at }: PartProps & { readonly one: Data; readonly at: readonly (string | number)[] }) {
	const shape = shapeOf(one)
	const kind = String(shape.kind)
	const arc = kind === 'lettering' && typeof shape.arc === 'object'
	const cells = [...(CELLS[kind] ?? []), ...(arc ? [INSIDE] : [])]
	const withoutArc = () => bench.set([...at, 'shape', 'arc'], undefined)
	return (
		<>
			<Form bench={bench} at={[...at, 'shape']} entry={shape} cells={cells} also={['kind', 'points', 'arc']} />
			{arc && (
				<p>
					<button type="button" onClick={withoutArc}>
						Straight, on no circle
					</button>
				</p>
			)}
			{kind === 'traced' && Array.isArray(shape.points) && (
				<Rows
					bench={bench}
					list={[...at, 'shape', 'points']}
					rows={shape.points}
					one="place"
					least={3}
					caption="Places round it in order, each once, as measured on the old decal or its tracing paper."
					cells={[
						{ key: 'x', says: 'To the right', kind: 'length', must: true },
						{ key: 'y', says: 'Up', kind: 'length', must: true },
						{ key: 'corner', says: 'Corner', kind: 'yes', unsaid: false },
					]}
					form={ROUND}
					begin={() => []}
					ordered
				/>
			)}
			<Form bench={bench} at={at} entry={one} cells={own(kind)} also={['shape']} />
		</>
	)
}

const own = (kind: string): readonly Cell[] => [
	{ key: 'title', says: 'What it is', kind: 'words' },
	{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
	length('margin', 'Film beyond what is printed', { sign: 'not-negative' }),
	length('tolerance', 'Its outline may be off by', { sign: 'positive' }),
	{
		key: 'lettering',
		says: 'There are words in it',
		kind: 'yes',
		unsaid: kind === 'lettering',
		hint: 'Then it is never mirrored.',
	},
]
