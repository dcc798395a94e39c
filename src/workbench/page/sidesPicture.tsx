/** Left laid over right, and edges as taped against the plan, with what they are off drawn many times as large. */
import type { Line } from '../scene.ts'
import type { OverlayView, SidesView, TapedLineView } from '../sidesView.ts'

export function SidesPicture({ both, stale }: { readonly both: SidesView; readonly stale: boolean }) {
	return (
		<div class={stale ? 'sides-picture stale' : 'sides-picture'}>
			{both.overlay && <Overlay {...both.overlay} />}
			{both.taped && <Taped {...both.taped} />}
		</div>
	)
}

const drawn = (factor: number) => (factor === 1 ? 'drawn as large as it is' : `drawn ${factor} times as large`)

function Overlay({ factor, lines, pairs }: OverlayView) {
	const place = placing([...lines, ...pairs.flatMap(({ at, off }) => [at, off]), [pairs[0]?.at[0] ?? 0, 0]])
	const { x, y } = place
	return (
		<figure>
			<figcaption>
				<strong>Left laid over right.</strong> Each stick leads from a mark, ringed, to where the right one lies against the left
				one, {drawn(factor)}. Away from the centreline: the right one lies farther out. A square end with “?” is more than chance.
			</figcaption>
			<svg viewBox={place.box} role="img" aria-label="Left laid over right">
				<Baseline place={place} />
				{lines.map((line) => (
					<path key={line.slice(0, 2).join()} class="plan" d={pathOf(line, place)} />
				))}
				{pairs.map(({ says, at, off, odd }) => {
					const [ax, ay, bx, by] = [x(at[0]), y(at[1]), x(off[0]), y(off[1])]
					return (
						<g key={says} class={odd ? 'odd' : ''}>
							<path class="stick" d={`M${ax} ${ay}L${bx} ${by}`} />
							<circle class="ring" cx={ax} cy={ay} r={5} />
							{odd ? (
								<rect class="end" x={bx - 5} y={by - 5} width={10} height={10} />
							) : (
								<circle class="end" cx={bx} cy={by} r={3} />
							)}
							<text x={ax} y={by < ay ? ay + 22 : ay - 11} text-anchor="middle">
								{odd ? `${says} ?` : says}
							</text>
						</g>
					)
				})}
			</svg>
		</figure>
	)
}

function Taped({ factor, edges, lines }: NonNullable<SidesView['taped']>) {
	const place = placing([...edges, ...lines.flatMap(({ plan, taped }) => [plan, taped]), [lines[0]?.plan[0] ?? 0, 0]])
	return (
		<figure>
			<figcaption>
				<strong>As taped.</strong> Thin: the plan. Bold: the tape from the first place to the last that was measured, what it is
				off {drawn(factor)}; dashed where it has to be looked at or laid again.
			</figcaption>
			<svg viewBox={place.box} role="img" aria-label="Edges as taped against the plan">
				<Baseline place={place} />
				{edges.map((line) => (
					<path key={line.slice(0, 2).join()} class="plan faint" d={pathOf(line, place)} />
				))}
				{lines.map((line) => (
					<g key={`${line.name} ${line.side}`}>
						<title>{titleOf(line)}</title>
						<path class="plan" d={pathOf(line.plan, place)} />
						{isPoint(line.plan) ? (
							<OnePlace {...line} place={place} />
						) : (
							<path class={line.verdict === 'go' ? 'tape' : 'tape off-plan'} d={pathOf(line.taped, place)} />
						)}
					</g>
				))}
			</svg>
		</figure>
	)
}

const isPoint = (line: Line) => line.every((mm, i) => mm === line[i % 2])

function OnePlace({ plan, taped, verdict, place: { x, y } }: TapedLineView & { readonly place: Placing }) {
	const [ax, ay, bx, by] = [x(plan[0] ?? 0), y(plan[1] ?? 0), x(taped[0] ?? 0), y(taped[1] ?? 0)]
	return (
		<>
			<path class={verdict === 'go' ? 'stick' : 'tape off-plan'} d={`M${ax} ${ay}L${bx} ${by}`} />
			<circle class="ring" cx={ax} cy={ay} r={5} />
			<circle class="end" cx={bx} cy={by} r={4} />
		</>
	)
}

const titleOf = ({ name, side, verdict }: TapedLineView) =>
	`${name}${side === 'both' ? '' : `, ${side}`}: ${verdict === 'go' ? 'go' : verdict === 'look' ? 'look again' : 'lay again'}`

function Baseline({ place: { x, y, from, to } }: { readonly place: Placing }) {
	return (
		<>
			<path class="chain" d={`M${x(from) - 12} ${y(0)}H${x(to) + 12}`} />
			<text class="front" x={x(from) - 18} y={y(0) + 5} text-anchor="end">
				FRONT
			</text>
		</>
	)
}

interface Placing {
	readonly box: string
	readonly x: (mm: number) => number
	readonly y: (mm: number) => number
	readonly from: number
	readonly to: number
}

/** Room of the picture, and for words beside and above it. */
const WIDE = 820
const MOST_HIGH = 400
const BESIDE = 70
const ABOVE = 30

/** One scale for both ways; front to the left, outboard up. */
function placing(lines: readonly Line[]): Placing {
	const xs = lines.flatMap((line) => line.filter((_, i) => i % 2 === 0))
	const ys = lines.flatMap((line) => line.filter((_, i) => i % 2 === 1))
	const [from, to, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
	const scale = Math.min((WIDE - 2 * BESIDE) / Math.max(1, to - from), (MOST_HIGH - 2 * ABOVE) / Math.max(1, high - low))
	const height = Math.round(scale * (high - low) + 2 * ABOVE)
	const left = (WIDE - scale * (to - from)) / 2
	const round = (px: number) => Math.round(10 * px) / 10
	return {
		box: `0 0 ${WIDE} ${height}`,
		x: (mm) => round(left + scale * (mm - from)),
		y: (mm) => round(ABOVE + scale * (high - mm)),
		...{ from, to },
	}
}

function pathOf(line: Line, { x, y }: Placing): string {
	let d = ''
	for (let i = 0; i + 1 < line.length; i += 2) d += `${i === 0 ? 'M' : 'L'}${x(line[i] as number)} ${y(line[i + 1] as number)}`
	return d
}
