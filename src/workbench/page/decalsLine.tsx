/** Decals: artwork of the job, the decals of a panel, what is printed of them. The picture moves the one that is open. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import { decalAt, type Moved, movedBy, movedByKey } from '../decalDrag.ts'
import type { Scene } from '../scene.ts'
import { ArtworkPart } from './artworkPart.tsx'
import type { Data } from './bench.ts'
import { DecalsPart } from './decalsPart.tsx'
import { unitOf } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { type Printable, PrintButtons, PrintSaid } from './printButtons.tsx'
import { Problems } from './problems.tsx'

/** One drag is one step back: each has a name of its own. */
let drags = 0

export function DecalsLine(props: LineProps) {
	const { bench, panel, index, view, papers, problems, drag } = props
	const [opened, setOpened] = useState<string>()
	useEffect(() => setOpened(undefined), [panel.id])
	const [list, place] = opened?.split(' ') ?? []
	const path = list === 'decals' ? `/panels/${index}/decals/${place}` : undefined
	const unit = unitOf(bench)
	const scenes = useRef<readonly Scene[]>([])
	scenes.current = view?.scenes ?? []
	const at = path === undefined ? undefined : (['panels', index, 'decals', Number(place), 'place'] as const)
	useEffect(() => {
		const write = ({ edits }: Moved, doing: string) => {
			for (const { key, value } of edits) if (at) bench.set([...at, key], value, doing)
		}
		const open = () => scenes.current.flatMap(({ decals }) => decals).find((one) => one.path === path)
		drag({
			path,
			cursor: 'move',
			begin(scene, x, y, reachMm) {
				const decal = path === undefined ? undefined : decalAt(scene, x, y, path)
				if (!decal) return undefined
				let last: string | undefined
				return {
					to(px, py) {
						const moved = movedBy(decal.hold, px - x, py - y, unit)
						if (!moved) return 'why' in decal.hold ? `Not dragged: ${decal.hold.why}` : ''
						const next = JSON.stringify(moved.edits)
						// a touch is no drag
						const begun = last !== undefined || Math.hypot(px - x, py - y) > reachMm / 2
						if (begun && next !== last) write(moved, `drag ${drags}`)
						if (begun) last = next
						return moved.says
					},
					end() {
						drags++
					},
				}
			},
			tapped(scene, x, y) {
				const decal = decalAt(scene, x, y)
				if (!decal) return false
				setOpened(`decals ${decal.path.split('/').pop()}`)
				return true
			},
			...(path === undefined
				? {}
				: {
						keys: 'Move it by the arrow keys, with Shift ten times as far; turn it by comma and full stop',
						pressed(key: string, large: boolean) {
							const decal = open()
							const moved = decal && movedByKey(decal.hold, key, large, unit)
							if (moved) write(moved, `keys ${path}`)
							return moved?.says
						},
					}),
		})
	}, [path, unit])
	useEffect(() => () => drag(undefined), [])
	const parts = { ...props, opened, open: setOpened }
	return (
		<div class="decals-line">
			<ArtworkPart {...parts} />
			<DecalsPart {...parts} />
			<h3>To print</h3>
			<PrintButtons papers={papers} files={printable(bench.job?.panels ?? [])} />
			<PrintSaid papers={papers} />
			<p class="hint">
				The placing frames are among the templates, under Sheets; each by itself is made where its decal is open.
			</p>
			<Problems problems={problems} bench={bench} go={(problem) => going(problem, index, setOpened)} />
		</div>
	)
}

/** Painted emblems are masked, not printed. */
function printable(panels: readonly Data[]): readonly Printable[] {
	const all = panels
		.flatMap(({ decals }) => (Array.isArray(decals) ? (decals as readonly Data[]) : []))
		.filter(({ material }) => material !== 'paint')
	return [
		...(all.some(({ reverse }) => reverse !== true)
			? [{ file: { kind: 'decals', name: 'decals.pdf' }, says: 'Decals, true to size (PDF)' } as const]
			: []),
		...(all.some(({ reverse }) => reverse === true)
			? [{ file: { kind: 'decals', name: 'decals-mirrored.pdf' }, says: 'Decals, mirrored (PDF)' } as const]
			: []),
		{ file: { kind: 'sheets' }, says: 'Templates with placing frames (PDF)' },
	]
}

/** Opens the artwork or the decal that a problem is about. */
function going({ path }: Problem, index: number, open: (which: string) => void) {
	const [, artwork] = /^\/artwork\/(\d+)/.exec(path) ?? []
	const [, decal] = new RegExp(`^/panels/${index}/decals/(\\d+)`).exec(path) ?? []
	const which = artwork !== undefined ? `artwork ${artwork}` : decal !== undefined ? `decals ${decal}` : undefined
	return which === undefined ? undefined : () => open(which)
}
