/** What decals are made of: drawn by measures, traced, read from a drawing, or lettering. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, text } from './names.ts'

/** The fonts that lettering is set in, by what they look like. */
export const FONTS = ['plain', 'narrow', 'stencil', 'script'] as const
export type FontId = (typeof FONTS)[number]

/** Longer than anything that is written on a panel. */
const MOST_SIGNS = 200

export function artworkSchema(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)

	const colour = z
		.string()
		.regex(/^#[0-9a-fA-F]{6}$/, 'a colour such as #1f6b4f')
		.default('#202020')
		.describe('Its colour in the drawings.')
	const place = z.tuple([any('to the right'), any('up')])
	const loop = z
		.array(z.union([place, z.strictObject({ at: place, corner: z.boolean().default(false).describe('It turns sharply here.') })]))
		.min(3)
		.describe('Places round it in order, each once: to the right and up, measured on the old decal or its tracing paper.')
	const inDrawing = z.tuple([z.number(), z.number()])

	const rectangle = z.strictObject({
		kind: z.literal('rectangle'),
		width: positive('Its width.'),
		height: positive('Its height.'),
		corner: notNegative('Radius of its corners.').default(0),
		colour,
	})
	const ellipse = z.strictObject({
		kind: z.literal('ellipse'),
		width: positive('Its width.'),
		height: positive('Its height; a circle where both are the same.'),
		colour,
	})
	const traced = z.strictObject({
		kind: z.literal('traced'),
		points: loop.optional(),
		loops: z.array(loop).min(1).optional().describe('Several loops: parts beside each other, and holes within them.'),
		colour,
	})
	const drawing = z.strictObject({
		kind: z.literal('drawing'),
		file: text.min(1).describe('The drawing beside the job file: SVG.'),
		width: positive('How wide all that is printed is, measured on the old decal.').optional(),
		height: positive('How high all that is printed is.').optional(),
		known: z
			.strictObject({
				from: inDrawing.describe('A place as the drawing program shows it, in the unit of the drawing: x, y.'),
				to: inDrawing.describe('Another.'),
				length: positive('How far they are apart on the decal.'),
			})
			.optional()
			.describe('One known length in it.'),
	})
	const lettering = z.strictObject({
		kind: z.literal('lettering'),
		text: text.min(1).max(MOST_SIGNS).describe('What it says, in one line.'),
		font: z.enum(FONTS).default('plain').describe('What the letters look like.'),
		height: positive('Height of a capital H.'),
		spacing: any('Added between letters; less than nothing sets them closer.').default(0),
		arc: z
			.strictObject({
				radius: positive('Radius of the line that the letters stand on.'),
				inside: z
					.boolean()
					.default(false)
					.describe('The letters stand inside the circle, along its bottom; else outside, over its top.'),
			})
			.optional()
			.describe('The letters stand on part of a circle.'),
		register: z
			.boolean()
			.default(false)
			.describe('A registration mark: said where its letters are not of the proportions of 14 CFR 45.29.'),
		colour,
	})
	return z.strictObject({
		id,
		title: text.optional(),
		margin: notNegative('How far the film reaches beyond what is printed.').default(1),
		tolerance: positive('How far its outline may pass from what was drawn.').default(0.02),
		lettering: z
			.boolean()
			.optional()
			.describe('There are words in it, also as outlines: it is never mirrored. Where not said, lettering is and nothing else.'),
		shape: z.discriminatedUnion('kind', [rectangle, ellipse, traced, drawing, lettering]),
	})
}

export type ArtworkEntry = z.output<ReturnType<typeof artworkSchema>>
export type ArtworkShape = ArtworkEntry['shape']
export type DrawingShape = Extract<ArtworkShape, { kind: 'drawing' }>
export type LetteringShape = Extract<ArtworkShape, { kind: 'lettering' }>
export type TracedShape = Extract<ArtworkShape, { kind: 'traced' }>
