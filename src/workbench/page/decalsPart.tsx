/** The decals of a panel: what goes where on it, how it is handed, what it is made of; and what is known of the one that is open. */
import type { Cell } from '../cells.ts'
import { nameFrom } from '../marksOf.ts'
import { titleOf } from './artworkPart.tsx'
import type { Data } from './bench.ts'
import { Block } from './block.tsx'
import { DecalPlaceForm, placeOf } from './decalPlace.tsx'
import { DecalTold } from './decalTold.tsx'
import type { PartProps } from './edgesPart.tsx'
import { edgeChoices } from './edgesPart.tsx'
import { Form, unitOf } from './fields.tsx'
import { PrintButtons } from './printButtons.tsx'
import { choices, handCell, NOTE, named, WHAT } from './schemeWords.ts'
import { Ticks } from './stripesPart.tsx'
import type { PaintworkBench } from './usePaintwork.ts'

export function DecalsPart(props: PartProps) {
	const { bench, panel, index, view, opened, open } = props
	const list = ['panels', index, 'decals'] as const
	const decals = panel.decals ?? []
	const artwork = bench.job?.artwork ?? []
	const first = artwork[artwork.length - 1]
	const begin = () => {
		if (!first) return
		const id = nameFrom(titleOf(first), [...named(decals), ...named(panel.stripes), ...named(panel.fields)], 'decal')
		bench.insert([...list], decals.length, { id, artwork: first.id, place: begun(props) })
		open(`decals ${decals.length}`)
	}
	return (
		<>
			<h3>Decals of this panel</h3>
			{decals.map((decal, i) => {
				const which = `decals ${i}`
				return (
					<Block
						key={which}
						title={wordsOf(decal, artwork)}
						about={aboutOf(decal, artwork)}
						open={opened === which}
						toggle={() => open(opened === which ? undefined : which)}
						remove={() => {
							bench.remove([...list], i)
							open(undefined)
						}}
					>
						<DecalForm {...props} decal={decal} at={[...list, i]} />
					</Block>
				)
			})}
			<p>
				<button type="button" disabled={!first} onClick={begin}>
					Lay a decal
				</button>
				<span class="hint">
					{first ? (view?.scenes.length ? '' : ' This panel has no place for it yet.') : ' It needs an artwork: add one above.'}
				</span>
			</p>
		</>
	)
}

const artworkOf = (decal: Data, artwork: readonly Data[]) => artwork.find(({ id }) => id === decal.artwork)
export const wordsOf = (decal: Data, artwork: readonly Data[]) => {
	const of = artworkOf(decal, artwork)
	return String(decal.what ?? (of ? titleOf(of) : decal.id) ?? 'decal')
}
const PLACED: Readonly<Record<string, string>> = {
	marks: 'by marks',
	spot: 'at',
	between: 'between lines at',
	off: 'off a line at',
	follow: 'along a line at',
}

function aboutOf(decal: Data, artwork: readonly Data[]): string {
	const place = placeOf(decal)
	const of = artworkOf(decal, artwork)
	const where = `${PLACED[String(place.kind)] ?? ''}${place.station === undefined ? '' : ` station ${place.station}`}`
	return `${of ? titleOf(of) : `no artwork ${decal.artwork ?? ''}`}, ${where}`
}

/** In the middle of the panel, or of its right side. */
function begun({ bench, panel, view }: PartProps): Data {
	const box = view?.scenes[0]?.box
	const inches = unitOf(bench) === 'in'
	const figure = (mm: number) => (inches ? Math.round((mm / 25.4) * 4) / 4 : Math.round(mm))
	const x = box ? Math.abs((box.minX + box.maxX) / 2) : 0
	if (panel.hand === 'centre') return { kind: 'spot', station: figure(x), girth: figure(box ? box.maxY / 2 : 0) }
	const y = figure(box ? (box.minY + box.maxY) / 2 : 0)
	return { kind: 'spot', station: figure(x), girth: Math.abs(y), ...(y === 0 ? {} : { side: y > 0 ? 'above' : 'below' }) }
}

const MATERIAL: Cell = {
	...{ key: 'material', says: 'Made of', kind: 'choice', unsaid: 'a water-slide decal' },
	of: [
		['dry-transfer', 'a dry transfer'],
		['cast-film', 'cast film'],
		['calendered-film', 'calendered film'],
		['paint', 'paint: masked and sprayed'],
	],
}
const TURN: Cell = {
	...{ key: 'turn', says: 'On the other side', kind: 'choice', unsaid: 'it reads as before' },
	of: [['reflects', 'all of it is mirrored: arrows, wings']],
}
const FACES: Cell = {
	...{ key: 'faces', says: 'To the front goes', kind: 'choice', unsaid: 'the left end of the artwork' },
	of: [['right', 'the right end of the artwork']],
}
const FRAME: Cell = {
	...{ key: 'frame', says: 'Laid through', kind: 'choice', unsaid: 'a window of its own outline' },
	of: [['corners', 'marks for the corners of a clear carrier']],
}

/** What stands where nothing is said is shown as that. */
const unsaid = (decal: Data): Data => ({
	...decal,
	...(decal.material === 'water-slide' ? { material: undefined } : {}),
	...(decal.turn === 'reads' ? { turn: undefined } : {}),
	...(decal.faces === 'left' ? { faces: undefined } : {}),
	...(decal.frame === 'window' ? { frame: undefined } : {}),
})

interface FormProps extends PartProps {
	readonly decal: Data
	readonly at: readonly (string | number)[]
}

function DecalForm(props: FormProps) {
	const { bench, panel, index, view, papers, paintwork, decal, at } = props
	const artwork = bench.job?.artwork ?? []
	const views = (view?.decals ?? []).filter(({ decal: id }) => id === decal.id)
	const path = `/panels/${index}/decals/${at[3]}`
	const cells: readonly Cell[] = [
		MATERIAL,
		...(decal.material === 'paint'
			? [{ key: 'paint', says: 'Sprayed with', kind: 'choice', of: choices(bench.job?.paints) } as const]
			: []),
		...handCell(panel, 'both sides alike'),
		...(decal.hand === 'across' ? [] : [TURN, ...(decal.turn === 'reflects' ? [FACES] : [])]),
		{
			key: 'clearance',
			says: 'Keeps clear by',
			kind: 'length',
			sign: 'not-negative',
			unsaid: unitOf(bench) === 'in' ? '5/64' : '2',
		},
	]
	const printed: readonly Cell[] = [
		FRAME,
		{ key: 'reverse', says: 'Printed mirrored, to be laid face down', kind: 'yes', unsaid: false },
		WHAT,
		{ key: 'id', says: 'Name in the file', kind: 'name', must: true },
		NOTE,
	]
	const of = artwork.map((one) => [String(one.id), titleOf(one)] as const)
	return (
		<>
			<Form bench={bench} at={at} entry={decal} cells={[{ key: 'artwork', says: 'Artwork', kind: 'choice', of }]} />
			<DecalPlaceForm bench={bench} panel={panel} decal={decal} at={at} view={views[0]} />
			<DecalTold
				views={views}
				scenes={view?.scenes ?? []}
				path={path}
				ground={(id) => paintwork.view?.grounds.find((one) => one.panel === panel.id && one.id === id)?.told ?? []}
				stale={bench.stale}
			/>
			{views.length > 0 && decal.material !== 'paint' && <GroundSaid {...paintwork} />}
			<Form bench={bench} at={at} entry={unsaid(decal)} cells={cells} />
			<Over {...props} />
			<Form
				bench={bench}
				at={at}
				entry={unsaid(decal)}
				cells={printed}
				also={['artwork', 'place', 'over', ...cells.map(({ key }) => String(key))]}
			/>
			{views.length > 0 && (
				<PrintButtons
					papers={papers}
					files={views.map(({ frame, side }) => ({
						file: { kind: 'piece', piece: frame } as const,
						says: `Placing frame${side === 'both' ? '' : `, ${side}`} (SVG)`,
					}))}
				/>
			)}
		</>
	)
}

/** Why it is not told yet what it lies on. */
function GroundSaid({ view, stale, nothing, fault }: PaintworkBench) {
	const says =
		fault !== undefined
			? `What it lies on could not be worked out, by a fault of this program: ${fault}. The job is as it was.`
			: nothing
				? 'What it lies on is told once stripes and colour fields have their paints.'
				: stale
					? `What it lies on is worked out${view ? ' anew' : ''}…`
					: ''
	return (
		<p class="hint" role="status">
			{says}
		</p>
	)
}

/** What it lies over on purpose. */
function Over({ bench, panel, decal, at }: FormProps) {
	const artwork = bench.job?.artwork ?? []
	const others = (panel.decals ?? []).filter(({ id }) => id !== decal.id)
	const patches = Array.isArray(panel.patches) ? (panel.patches as readonly Data[]) : []
	const holes = Array.isArray(panel.holes) && panel.holes.length > 0
	const of = [
		...edgeChoices(panel.stripes),
		...edgeChoices(panel.fields),
		...edgeChoices(patches),
		...others.map((one) => [String(one.id), wordsOf(one, artwork)] as const),
		...(holes ? [['holes', 'holes'] as const] : []),
	]
	const chosen = Array.isArray(decal.over) ? decal.over.map(String) : []
	if (of.length === 0 && chosen.length === 0) return null
	return <Ticks bench={bench} path={[...at, 'over']} legend="It lies over, on purpose" chosen={chosen} of={of} least={0} />
}
