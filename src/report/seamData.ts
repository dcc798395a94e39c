/** Seams between panels in result.json. */
import { z } from 'zod'
import type { ChartPoint } from '../chart/point.ts'
import type { Seam } from '../engine/seams.ts'
import type { TiedMeeting } from '../engine/tie.ts'

const two = z.tuple([z.number(), z.number()])
const twoNames = z.tuple([z.string(), z.string()])
const side = z.enum(['left', 'right', 'both'])

const tied = z.strictObject({
	stepMm: z.number().describe('What it was before.'),
	kinkDeg: z.number(),
	gave: z
		.array(
			z.strictObject({
				alongMm: z.number().describe('Along the seam, the way it counts from its first datum.'),
				turnDeg: z.number().describe('Anticlockwise as one looks at the panel.'),
				movedMm: z.number().describe('Square off the line.'),
				way: z.string().describe('Up, down, inward, outward, forward, rearward, to the left or to the right.'),
				end: z.enum(['front', 'rear']).optional().describe('Which end of the line; none of a closed one.'),
				overMm: z.number().describe('Length over which the line was bent; 0 where it stays as it was.'),
			}),
		)
		.length(2)
		.describe('What the line gave on each panel.'),
})

export const seamResult = z.strictObject({
	label: z.string().describe('The letter that names of ticks on its templates begin with.'),
	panel: z.string(),
	with: z.string(),
	what: z.string().optional(),
	gapMm: z.number().describe('The most that a length between two datums differs by on the two panels.'),
	shutLineMm: z.number().optional().describe('Width of the shut line.'),
	proud: z.strictObject({ panel: z.string(), byMm: z.number() }).optional().describe('The panel that stands higher.'),
	lengths: z
		.array(
			z.strictObject({
				from: twoNames,
				to: twoNames,
				mm: two.describe('By tape on this panel, and on the other.'),
				limitMm: z.number().describe('How far the two may differ by chance (95 %).'),
			}),
		)
		.describe('Between each two of the datums that both panels have.'),
	meetings: z
		.array(
			z.strictObject({
				own: z.string(),
				theirs: z.string(),
				sides: z.tuple([side, side]),
				at: z.tuple([two, two]).describe('Station and girth on each panel.'),
				alongMm: two.describe('Along the seam from its first datum, on each panel.'),
				angleDeg: two.describe('From the direction of the seam to the line, anticlockwise as one looks at the panel, 0 to 180.'),
				ledMm: two.describe('How far the line was led on, straight, to the seam.'),
				stepMm: z
					.number()
					.describe('Between the two, straight over the shut line, once the two lengths of the seam are made one.'),
				kinkDeg: z.number(),
				tied: tied.optional().describe('Where the line was bent to flow over the seam.'),
			}),
		)
		.describe('Where lines go on over the seam: first on the panel that declares it.'),
})

const at = (p: ChartPoint): [number, number] => [p.s, p.g]

export const seamData = (seam: Seam): z.infer<typeof seamResult> => ({
	label: seam.label,
	panel: seam.panel,
	with: seam.with,
	...(seam.what === undefined ? {} : { what: seam.what }),
	gapMm: seam.gapMm,
	...(seam.shutLineMm === undefined ? {} : { shutLineMm: seam.shutLineMm }),
	...(seam.proud ? { proud: { panel: seam.proud.panel, byMm: seam.proud.byMm } } : {}),
	lengths: seam.lengths.map(({ from, to, mm, limitMm }) => ({ from: [...from], to: [...to], mm: [...mm], limitMm })),
	meetings: seam.meetings.map((m) => ({
		own: m.own,
		theirs: m.theirs,
		sides: [...m.sides],
		at: [at(m.at[0]), at(m.at[1])],
		alongMm: [...m.alongMm],
		angleDeg: [...m.angleDeg],
		ledMm: [...m.ledMm],
		stepMm: m.stepMm,
		kinkDeg: m.kinkDeg,
		...(m.tied ? { tied: tiedData(m.tied) } : {}),
	})),
})

const tiedData = ({ stepMm, kinkDeg, gave }: TiedMeeting) => ({
	stepMm,
	kinkDeg,
	gave: gave.map(({ alongMm, turnDeg, movedMm, way, end, overMm }) => ({
		...{ alongMm, turnDeg, movedMm, way, overMm },
		...(end === undefined ? {} : { end }),
	})),
})
