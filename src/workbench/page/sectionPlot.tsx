/** Gauge sections as they are typed, in true proportion: the one in hand in ink, the others faintly behind it. */
import { formatLength } from '../../units/format.ts'
import type { Unit } from '../../units/length.ts'
import { boxRound, type PlottedSection, type Reading } from '../sectionPoints.ts'

interface PlotProps {
	readonly sections: readonly PlottedSection[]
	readonly current: number
	/** the reading that sticks out most, as the shape counts them */
	readonly worst: { readonly section: number; readonly reading: number; readonly mm: number } | undefined
	readonly unit: Unit
}

const WIDTH = 400
const MARGIN = 16
const MOST_HEIGHT = 300

export function SectionPlot({ sections, current, worst, unit }: PlotProps) {
	const box = boxRound(sections)
	const own = sections[current]
	if (!box || !own) return <p class="hint">The section is drawn here as its readings are typed.</p>
	const [w, h] = [Math.max(1, box.maxX - box.minX), Math.max(1, box.maxY - box.minY)]
	const scale = Math.min((WIDTH - 2 * MARGIN) / w, (MOST_HEIGHT - 2 * MARGIN) / h)
	const height = h * scale + 2 * MARGIN
	const left = (WIDTH - w * scale) / 2
	const at = ({ dropMm }: PlottedSection, [x, d]: Reading) =>
		[left + (x - box.minX) * scale, MARGIN + (d + dropMm - box.minY) * scale] as const
	const path = (section: PlottedSection) =>
		section.points.map((p, i) => `${i === 0 ? 'M' : 'L'} ${at(section, p).map(figure).join(' ')}`).join(' ')
	const out = worst?.section === current ? own.counted.indexOf(worst.reading) : -1
	const placed = own.points.map((p) => at(own, p))
	const circled = placed[out]
	return (
		<svg
			class="section-plot"
			viewBox={`0 0 ${WIDTH} ${figure(height)}`}
			role="img"
			aria-label={`Section ${current + 1} with ${own.points.length} readings, in true proportion`}
		>
			<path class="chain" d={`M ${figure(left - box.minX * scale)} 4 V ${figure(height - 4)}`} />
			{sections.map((section, i) => (i === current ? null : <path key={i} class="other" d={path(section)} />))}
			<path class="own" d={path(own)} />
			{placed.map(([x, y], i) => (
				<circle key={i} class={own.counted[i] === undefined ? 'mirrored' : 'read'} cx={figure(x)} cy={figure(y)} r={3} />
			))}
			{circled && worst && (
				<>
					<circle class="worst" cx={figure(circled[0])} cy={figure(circled[1])} r={9} />
					<text
						x={figure(circled[0] + (circled[0] > WIDTH / 2 ? -13 : 13))}
						y={figure(Math.min(height - 6, circled[1] + 24))}
						text-anchor={circled[0] > WIDTH / 2 ? 'end' : 'start'}
					>
						{formatLength(Math.abs(worst.mm), unit, { decimals: unit === 'mm' ? 2 : 3 }).text} off
					</text>
				</>
			)}
		</svg>
	)
}

const figure = (x: number) => Math.round(x * 10) / 10
