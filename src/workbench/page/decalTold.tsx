/** What is known of a decal that is open, on each of its sides: as one sees it there, and in words. */
import type { SceneDecal } from '../decalScene.ts'
import type { DecalView, Told } from '../decalView.ts'
import type { Scene } from '../scene.ts'
import { pathOf } from './artworkPicture.tsx'

interface ToldProps {
	readonly views: readonly DecalView[]
	readonly scenes: readonly Scene[]
	/** JSON pointer to the decal */
	readonly path: string
	/** of decal/side: what it lies on, as far as paint is planned */
	readonly ground: (id: string) => readonly Told[]
	readonly stale: boolean
}

const SIDE: Readonly<Record<string, string>> = { left: 'LEFT', right: 'RIGHT', both: 'Across the centreline, as it reads' }

export function DecalTold({ views, scenes, path, ground, stale }: ToldProps) {
	const seen = scenes.flatMap((scene) => scene.decals.flatMap((decal) => (decal.path === path ? [{ scene, decal }] : [])))
	if (seen.length === 0 && views.length === 0) return <p class="hint">It has no place yet: see what is open below.</p>
	const sides = together(views.map((view) => [...view.told, ...ground(view.id)]))
	const alike = sides.slice(1).every((told) => told.length === 0)
	// the left one stands to the left
	const ordered = seen.toSorted((a, b) => (a.decal.side < b.decal.side ? -1 : 1))
	return (
		<div class={stale ? 'decal-told stale' : 'decal-told'}>
			<div class="decal-sides">
				{ordered.map(({ scene, decal }) => (
					<figure key={decal.id}>
						<AsSeen scene={scene} decal={decal} />
						<figcaption>{SIDE[decal.side]}</figcaption>
					</figure>
				))}
			</div>
			{sides.map((told, i) => {
				const side = views[i]?.side
				return (
					told.length > 0 && (
						<dl key={side} class="told-of-decal">
							{views.length > 1 && (
								<SideOf says={i > 0 ? `What differs on the ${side}` : alike ? 'On both sides' : `On the ${side}`} />
							)}
							{told.map(({ about, says, wrong }) => (
								<div key={about} class={wrong ? 'wrong' : ''}>
									<dt>{about}</dt>
									{says.map((words) => (
										<dd key={words}>{words}</dd>
									))}
								</div>
							))}
						</dl>
					)
				)
			})}
		</div>
	)
}

const SideOf = ({ says }: { readonly says: string }) => (
	<div class="side-of">
		<dt>{says}</dt>
		<dd />
	</div>
)

/** What both sides have alike is said once, with the first. */
function together(all: readonly (readonly Told[])[]): readonly (readonly Told[])[] {
	const [first = []] = all
	const same = (a: Told, b: Told) => a.about === b.about && a.says.join() === b.says.join()
	return all.map((told, i) => (i === 0 ? told : told.filter((one) => !first.some((other) => same(one, other)))))
}

/** Round the decal, shares of its larger size. */
const AROUND = 0.45
/** Turned so that one sees it as it is read: from its side, or from behind. */
const turnOf = ({ hand }: Scene, { side }: SceneDecal) => (hand !== 'centre' || side === 'left' ? 0 : side === 'right' ? 180 : 90)

function AsSeen({ scene, decal }: { readonly scene: Scene; readonly decal: SceneDecal }) {
	const deg = turnOf(scene, decal)
	const [c, s] = [Math.round(Math.cos((deg * Math.PI) / 180)), Math.round(Math.sin((deg * Math.PI) / 180))]
	// of the picture, y down, turned clockwise by so much
	const xs: number[] = []
	const ys: number[] = []
	for (const loop of decal.film)
		for (let i = 0; i + 1 < loop.length; i += 2) {
			const [x, y] = [loop[i] as number, -(loop[i + 1] as number)]
			xs.push(c * x - s * y)
			ys.push(s * x + c * y)
		}
	const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
	const room = AROUND * Math.max(x1 - x0, y1 - y0)
	const [left, top, width] = [x0 - room, y0 - room * 0.7, x1 - x0 + 2 * room]
	const height = y1 - y0 + 1.4 * room
	const px = width / 300
	const front = deg === 90 ? 'up' : scene.frontX * (deg === 180 ? -1 : 1) < 0 ? 'left' : 'right'
	return (
		<svg
			class="decal-seen"
			viewBox={`${left} ${top} ${width} ${height}`}
			role="img"
			aria-label={`${decal.what}, ${(SIDE[decal.side] ?? '').toLowerCase()}: front is ${front === 'up' ? 'up' : `to the ${front}`}`}
		>
			<g transform={`rotate(${deg})`}>
				<path d={pathOf(scene.ground)} class="ground" style={{ strokeWidth: `${1.2 * px}px` }} />
				{[...scene.fields, ...scene.bands].map(({ path, side, loops, colour }, i) => (
					<path key={`${path} ${side} ${i}`} d={pathOf(loops)} fill={colour} />
				))}
				{scene.decals.map((one) => (
					<g key={one.id} opacity={one.id === decal.id ? 1 : 0.5}>
						{one.inks.map(({ loops, colour }, i) => (
							<path key={i} d={pathOf(loops)} fill={colour} />
						))}
						<path d={pathOf(one.film)} class="film" style={{ strokeWidth: `${(one.id === decal.id ? 1.2 : 0.6) * px}px` }} />
						{one.cuts.map((cut, i) => (
							<path key={i} d={pathOf([cut]).replace('Z', '')} class="cut" style={{ strokeWidth: `${1.4 * px}px` }} />
						))}
					</g>
				))}
			</g>
			<Front front={front} x={left} y={top} width={width} px={px} />
		</svg>
	)
}

function Front({
	front,
	x,
	y,
	width,
	px,
}: {
	readonly front: 'left' | 'right' | 'up'
	readonly x: number
	readonly y: number
	readonly width: number
	readonly px: number
}) {
	const turn = front === 'left' ? 0 : front === 'right' ? 180 : 90
	const at = front === 'right' ? x + width - 20 * px : x + 20 * px
	return (
		<g class="front">
			<path
				d="M12 0H-8M-2-5L-10 0L-2 5"
				transform={`translate(${at} ${y + 14 * px}) rotate(${turn}) scale(${px})`}
				style={{ strokeWidth: '2px' }}
			/>
			<text
				x={front === 'right' ? at - 16 * px : at + 16 * px}
				y={y + 18.5 * px}
				text-anchor={front === 'right' ? 'end' : 'start'}
				style={{ fontSize: `${13 * px}px` }}
			>
				FRONT
			</text>
		</g>
	)
}
