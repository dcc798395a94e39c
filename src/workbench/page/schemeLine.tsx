/** Scheme: edges through marks, stripes laid off them, fields between them, and the paints. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import { formatLength } from '../../units/format.ts'
import { dragged, type Grip, gripAt, partsOf } from '../bandDrag.ts'
import { EdgesPart } from './edgesPart.tsx'
import { unitOf } from './fields.tsx'
import { FieldsPart, PaintsPart } from './fieldsPart.tsx'
import type { LineProps } from './lineProps.ts'
import { Problems } from './problems.tsx'
import { StripesPart } from './stripesPart.tsx'

/** One drag is one step back: each has a name of its own. */
let drags = 0

export function SchemeLine(props: LineProps) {
	const { bench, panel, index, problems, drag } = props
	const [opened, setOpened] = useState<string>()
	useEffect(() => setOpened(undefined), [panel.id])
	const [list, place] = opened?.split(' ') ?? []
	const stripe = list === 'stripes' ? panel.stripes?.[Number(place)] : undefined
	const unit = unitOf(bench)
	const last = useRef<number | string | undefined>(undefined)
	useEffect(() => {
		if (!stripe || place === undefined) return drag(undefined)
		const path = `/panels/${index}/stripes/${place}`
		const to = (grip: Grip, x: number, y: number) => {
			const { mm, value } = dragged(grip, x, y, unit)
			if (value !== last.current && (last.current !== undefined || mm !== grip.startMm)) {
				bench.set(['panels', index, 'stripes', Number(place), ...grip.key], value, `drag ${drags}`)
				last.current = value
			}
			return `${grip.what} ${formatLength(mm, unit, unit === 'in' ? { fraction: 32 } : { decimals: 1 }).text}`
		}
		const end = () => {
			drags++
			last.current = undefined
		}
		drag({
			path,
			cursor: 'ns-resize',
			begin(scene, x, y, reachMm) {
				const bands = scene.bands.filter((band) => band.path === path)
				const grip = gripAt(partsOf(stripe, unit), bands, x, y, reachMm)
				return grip && { to: (px, py) => to(grip, px, py), end }
			},
		})
	}, [stripe, place, index, unit])
	useEffect(() => () => drag(undefined), [])
	const parts = { ...props, opened, open: setOpened }
	return (
		<div class="scheme-line">
			<StripesPart {...parts} />
			<EdgesPart {...parts} />
			<FieldsPart {...parts} />
			<PaintsPart bench={bench} />
			<Problems problems={problems} bench={bench} go={(problem) => going(problem, index, setOpened)} />
		</div>
	)
}

/** Opens the edge, the stripe or the field that a problem of this panel is about. */
function going({ path }: Problem, index: number, open: (which: string) => void) {
	const [, list, place] = new RegExp(`^/panels/${index}/(edges|stripes|fields)/(\\d+)`).exec(path) ?? []
	return list === undefined ? undefined : () => open(`${list} ${place}`)
}
