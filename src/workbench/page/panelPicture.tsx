/** Which way is front, and where the tape is hooked: each panel as one looks at its painted side. */

interface PictureOf {
	readonly hand: string
	/** what the tape is hooked on, in words */
	readonly hook: string
}

export function PanelPicture({ hand, hook }: PictureOf) {
	const hands = hand === 'pair' ? ['left', 'right'] : [hand]
	const height = 155 * hands.length
	return (
		<svg class="panel-picture" viewBox={`0 0 400 ${height}`} role="img" aria-label={describe(hand, hook)}>
			{hands.map((one, i) => (
				<g key={one} transform={`translate(0 ${155 * i})`}>
					<One hand={one} hook={hook} />
				</g>
			))}
		</svg>
	)
}

function One({ hand, hook }: PictureOf) {
	const mirrored = hand === 'right'
	const x = (at: number) => (mirrored ? 400 - at : at)
	const anchor = mirrored ? 'end' : 'start'
	const ticks = Array.from({ length: 10 }, (_, i) => 110 + 25 * i)
	return (
		<>
			<path class="ground" d={outline(hand, x)} />
			<path class="chain" d={`M ${x(50)} 78 H ${x(372)}`} />
			{/* The tape: hooked at the first datum, figures running rearward. */}
			<path class="tape" d={`M ${x(85)} 78 H ${x(345)}`} />
			{ticks.map((at, i) => (
				<path key={at} class="tick" d={`M ${x(at)} 72 V ${i % 2 === 0 ? 84 : 79}`} />
			))}
			<circle class="hook" cx={x(85)} cy={78} r={7} />
			<text x={x(85)} y={64} text-anchor="middle" class="strong">
				0
			</text>
			<path class="leader" d={`M ${x(85)} 86 V 130`} />
			<text x={x(85)} y={144} text-anchor={anchor}>
				{short(hook)}
			</text>
			<path class="front" d={`M ${x(70)} 20 H ${x(24)} m ${mirrored ? -12 : 12} -7 L ${x(24)} 20 l ${mirrored ? -12 : 12} 7`} />
			<text x={x(78)} y={25} text-anchor={anchor} class="strong">
				FRONT
			</text>
			{hand === 'centre' ? (
				<>
					<text x={392} y={48} text-anchor="end" class="strong">
						RIGHT
					</text>
					<text x={392} y={118} text-anchor="end" class="strong">
						LEFT
					</text>
				</>
			) : (
				<text x={x(392)} y={25} text-anchor={mirrored ? 'start' : 'end'} class="strong">
					{hand === 'left' ? 'LEFT panel, seen from outside' : 'RIGHT panel, seen from outside'}
				</text>
			)}
		</>
	)
}

const outline = (hand: string, x: (at: number) => number) =>
	hand === 'centre'
		? `M ${x(60)} 78 C ${x(60)} 44 ${x(120)} 34 ${x(210)} 36 C ${x(300)} 38 ${x(350)} 56 ${x(364)} 78 C ${x(350)} 100 ${x(300)} 118 ${x(210)} 120 C ${x(120)} 122 ${x(60)} 112 ${x(60)} 78 Z`
		: `M ${x(58)} 96 C ${x(60)} 50 ${x(110)} 38 ${x(190)} 40 C ${x(290)} 42 ${x(350)} 64 ${x(366)} 92 C ${x(340)} 116 ${x(250)} 126 ${x(180)} 124 C ${x(110)} 124 ${x(62)} 120 ${x(58)} 96 Z`

/** As much of the words as there is room for. */
const short = (words: string) => (words.length > 50 ? `${words.slice(0, 48).trimEnd()}…` : words)

function describe(hand: string, hook: string): string {
	const how: Readonly<Record<string, string>> = {
		centre:
			'A panel on the centreline, seen from above: front to the left, the right side above the baseline and the left side below it.',
		pair: 'Two panels, each seen from outside: of the left one front is to the left, of the right one front is to the right.',
		left: 'A left panel seen from outside: front is to the left.',
		right: 'A right panel seen from outside: front is to the right.',
	}
	return `${how[hand] ?? how.centre} The tape is hooked at station 0 (${hook}), and its figures run rearward.`
}
