/** Decals in result.json. */
import { z } from 'zod'
import { DECAL_MATERIALS } from '../job/decalSchema.ts'

const chartPoint = z.tuple([z.number(), z.number()]).describe('[station, girth], mm')
const chartLine = z.array(chartPoint)
const chartLoops = z.array(chartLine).describe('Closed, first point not repeated.')
const side = z.enum(['left', 'right', 'both'])

const share = (about: string) => z.number().describe(`${about}, as a share of length.`)

export const decalSchema = z.strictObject({
	id: z.string().describe('Its name and its side.'),
	decal: z.string(),
	artwork: z.string(),
	side,
	material: z.enum(DECAL_MATERIALS),
	widthMm: z.number(),
	heightMm: z.number(),
	areaMm2: z.number().describe('Of what is printed, on the panel.'),
	middle: chartPoint,
	riseDeg: z.number().describe('By how much its baseline rises towards the rear; across the centreline it turns anticlockwise.'),
	sd: z
		.strictObject({ alongMm: z.number(), acrossMm: z.number(), angleDeg: z.number() })
		.describe('How well its place is known, one standard deviation: along its baseline, across it, and its angle.'),
	mirrored: z.boolean().describe('What is seen on the panel is the mirror image of what is drawn.'),
	misses: z
		.array(z.strictObject({ mark: z.string(), mm: z.number() }))
		.optional()
		.describe('How far each mark lies from its place on the decal.'),
	halvesMm: z.tuple([z.number(), z.number()]).optional().describe('From its middle to the two lines that it lies between.'),
	laid: z.enum(['round', 'along', 'follow']).describe('About its middle, along its baseline, or along a line.'),
	give: z.strictObject({
		stretch: share('The most that its film must stretch'),
		pucker: share('The most that its film is too long'),
		stretchMm: z.number().describe('All round its rim.'),
		puckerMm: z.number().describe('All round its rim.'),
		takes: z.boolean().describe('The film takes that.'),
	}),
	relief: z
		.array(z.strictObject({ from: chartPoint, to: chartPoint, opensMm: z.number(), lapsMm: z.number() }))
		.describe('Cuts from the rim inwards.'),
	clearances: z.array(
		z.strictObject({
			kind: z.enum(['stripe', 'field', 'rim', 'hole', 'patch', 'decal']),
			name: z.string(),
			gapMm: z.number(),
			at: chartPoint,
			towards: z.enum(['front', 'rear', 'left', 'right', 'top', 'bottom']),
			overlaps: z.boolean(),
		}),
	),
	ground: z
		.strictObject({
			on: z.array(z.strictObject({ paint: z.string(), areaMm2: z.number() })),
			ridges: z.array(
				z.strictObject({
					paint: z.string(),
					heightUm: z.number(),
					lengthMm: z.number(),
					kind: z.enum(['line', 'under']),
					line: chartLine,
				}),
			),
			clear: z.strictObject({
				way: z.enum(['under', 'over']),
				decided: z.boolean(),
				coatsBelow: z.number(),
				coatsOver: z.number(),
			}),
		})
		.optional()
		.describe('What it lies on, where tape and paint were planned.'),
	outline: chartLoops,
	film: chartLoops,
})

export const decalSidesSchema = z
	.strictObject({
		decal: z.string(),
		alongMm: z.number(),
		upMm: z.number(),
		apartMm: z.number(),
		turnDeg: z.number(),
		sdMm: z.number(),
		sdDeg: z.number(),
		within: z.boolean(),
		contradicts: z.boolean().describe('One of the two was misread: no place is made of them.'),
	})
	.describe('Right less left of a decal that was measured on both sides: rearward, up, and degrees that it rises more.')
