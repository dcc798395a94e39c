/** Tape and paint in result.json. */
import { z } from 'zod'

const chartPoint = z.tuple([z.number(), z.number()]).describe('[station, girth], mm')
const chartLoops = z.array(z.array(chartPoint)).describe('Closed, first point not repeated.')
const hand = z.enum(['centre', 'left', 'right'])
const runEnd = z.strictObject({
	kind: z.enum(['rim', 'lap', 'cut', 'joint']),
	at: chartPoint,
	overMm: z.number().describe('How far it goes on past the end of its edge.'),
	angleDeg: z.number().optional().describe('Of a cut end, between its edge and the cut.'),
})

const run = z.strictObject({
	id: z.string(),
	number: z.number(),
	kind: z.enum(['edge', 'stripe', 'lap']),
	tape: z.string(),
	widthMm: z.number(),
	follows: z.array(z.string()),
	offMm: z.number().describe('How far off its line its inner side is.'),
	lengthMm: z.number().describe('With overruns.'),
	joints: z.number(),
	front: runEnd,
	rear: runEnd,
	strain: z.number().describe('Largest strain of its edge.'),
	offWidthMm: z.number().optional().describe('How much wider than its stripe it is.'),
	laid: z.number(),
	until: z.number(),
	outline: chartLoops,
})
const mask = z.strictObject({
	id: z.string(),
	number: z.number(),
	why: z.enum(['bends', 'narrow', 'tapers']),
	lengthMm: z.number(),
	laid: z.number(),
	until: z.number(),
	outline: chartLoops,
})

const stage = z.strictObject({
	number: z.number().describe('Of its session.'),
	paint: z.string(),
	mode: z.enum(['all-over', 'local']),
	openMm2: z.number(),
	open: chartLoops,
	runs: z.array(run),
	masks: z.array(mask),
	backing: z.array(z.strictObject({ over: z.string(), tape: z.string(), lengthMm: z.number() })),
	paperMm2: z.number(),
	laps: z.array(z.strictObject({ under: z.string(), over: z.string(), at: chartPoint, areaMm2: z.number() })),
	trims: z.array(z.strictObject({ run: z.string(), over: z.string(), at: chartPoint })),
	lay: z.array(z.string()),
	lift: z.array(z.string()),
	gap: z
		.strictObject({
			lineMm: z.number(),
			stripMm: z.number(),
			openMm2: z.number(),
			widestMm: z.number(),
			overMm2: z.number().describe('Tape on what is to be painted.'),
		})
		.describe('Beside the painted lines, what nothing covers.'),
})

const panelWork = z.strictObject({
	panel: z.string(),
	hand,
	parts: z.array(
		z.strictObject({
			id: z.string(),
			coats: z.array(z.string()).describe('From below.'),
			areaMm2: z.number(),
			rightMm2: z.number().describe('Ends with exactly these paints.'),
			bareMm2: z.number(),
			wrongMm2: z.number(),
			widestMm: z.number(),
		}),
	),
	holds: z.boolean().describe('Every part ends with its own paints.'),
	stages: z.array(stage),
	films: z.array(
		z.strictObject({
			films: z.array(z.strictObject({ stage: z.number(), paint: z.string(), um: z.number() })),
			totalUm: z.number(),
			areaMm2: z.number(),
		}),
	),
	ridges: z.array(
		z.strictObject({
			stage: z.number(),
			paint: z.string(),
			kind: z.enum(['line', 'under']),
			heightUm: z.number(),
			lengthMm: z.number(),
			line: z.array(chartPoint),
		}),
	),
	moved: z.array(z.strictObject({ line: z.string(), worstMm: z.number(), at: chartPoint })),
})

const weighed = z.strictObject({ order: z.array(z.string()), minutes: z.number(), why: z.string() })

export const paintworkSchema = z
	.strictObject({
		order: z.array(z.string()),
		why: z.string(),
		minutes: z.number().describe('For comparing orders, not for promising anything.'),
		alternatives: z.array(weighed),
		panels: z.array(panelWork),
		clears: z.array(
			z.strictObject({
				panel: z.string(),
				asked: z.boolean(),
				decals: z.enum(['under', 'over']).optional(),
				films: z.array(z.strictObject({ where: z.string(), coats: z.number(), filmUm: z.number(), leastUm: z.number() })),
			}),
		),
		paints: z.array(z.strictObject({ paint: z.string(), areaMm2: z.number(), ml: z.number(), cups: z.number() })),
		tapes: z.array(
			z.strictObject({
				tape: z.string(),
				laidMm: z.number(),
				buyMm: z.number(),
				joints: z.number(),
				rolls: z.number().optional(),
			}),
		),
		sessions: z.array(
			z.strictObject({
				number: z.number(),
				paint: z.string(),
				panels: z.array(z.string()),
				clear: z.enum(['below-decals', 'over', 'flow', 'finish']).optional().describe('After the last colour: what clear it is.'),
				day: z.number().optional().describe('At the earliest; absent where a wait is not known.'),
				ml: z.number().optional().describe('Ready to spray.'),
				mixAtLeastMl: z.number().optional().describe('Where less is needed than can be mixed well.'),
				togetherWith: z.array(z.number()).optional().describe('Other sessions of that paint.'),
			}),
		),
		overstays: z
			.array(
				z.strictObject({
					panel: z.string(),
					tape: z.string(),
					runs: z.array(z.string()),
					laid: z.number(),
					until: z.number(),
					hours: z.number().describe('At the least.'),
					longestHours: z.number(),
					liftAfter: z.number().optional(),
				}),
			)
			.describe('Tape that the plan leaves on for longer than its sheet lets it lie.'),
		paperMm2: z.number(),
		filmMm2: z.number(),
		steps: z.array(z.strictObject({ id: z.string(), kind: z.string(), runs: z.array(z.string()), done: z.string().optional() })),
	})
	.describe('Which paint goes on when, and what is taped for it.')

export type PaintworkData = z.infer<typeof paintworkSchema>
