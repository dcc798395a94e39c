/** Decals of a panel: what goes where on it, how it is handed, and what it is made of. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { angleDeg, id, markRef, spotOf, text } from './names.ts'

/** Places of a decal by name; front and rear are those of the vehicle, on either side of it. */
export const DECAL_POINTS = [
	'middle',
	'front',
	'rear',
	'top',
	'bottom',
	'top-front',
	'top-rear',
	'bottom-front',
	'bottom-rear',
	'left',
	'right',
	'top-left',
	'top-right',
	'bottom-left',
	'bottom-right',
] as const

/** What a decal can be made of; `paint` is an emblem that is masked and sprayed. */
export const DECAL_MATERIALS = ['water-slide', 'dry-transfer', 'cast-film', 'calendered-film', 'paint'] as const

export function decalSchema(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)
	const spot = spotOf(unit)

	const point = z
		.union([
			z.enum(DECAL_POINTS),
			z.tuple([any('rearward of its middle (to the right, on a decal across the centreline)'), any('up from its middle')]),
		])
		.describe(
			'A place of the decal: of the box round all that is printed, or by two lengths from the middle of that box. Front and rear, or left and right on a decal across the centreline.',
		)
	const angle = angleDeg(
		'Degrees by which its baseline rises towards the rear; across the centreline, by which it turns anticlockwise as read.',
	)
	const turned = z.union([angle, z.literal('level').describe('Its baseline is level on the standing vehicle.')])
	const along = z
		.union([angle, z.enum(['level', 'along']).describe('Level on the standing vehicle, or along the line there.')])
		.default('along')
	const station = any('Station of that place.')
	const lay = z.enum(['inboard', 'outboard']).describe('To which side of the line: towards the baseline or away from it.')

	const place = z.discriminatedUnion('kind', [
		z.strictObject({
			kind: z.literal('marks'),
			marks: z
				.array(z.strictObject({ mark: markRef, point }))
				.min(2)
				.describe('Places of the decal that were measured on the old panel, each a mark with readings of its own.'),
		}),
		z.strictObject({
			kind: z.literal('spot'),
			...spot,
			point: point.default('middle'),
			angle: turned.default(0),
			sd: positive('One standard deviation of that place; of a tape, where not said.').optional(),
			sdDeg: z.number().gt(0).max(45).optional().describe('One standard deviation of the angle; half a degree where not said.'),
		}),
		z.strictObject({
			kind: z.literal('between'),
			edges: z.tuple([id, id]).describe('The two lines that it lies half-way between.'),
			station,
			angle: along,
		}),
		z.strictObject({
			kind: z.literal('off'),
			edge: id.describe('The line that it is set off.'),
			distance: notNegative('From the line to that place of the decal, square off the line.'),
			lay,
			station,
			point: point.default('middle'),
			angle: along,
		}),
		z.strictObject({
			kind: z.literal('follow'),
			edge: id.describe('The line that its baseline runs along, bend for bend.'),
			distance: notNegative('From the line to the bottom of the decal, square off the line.'),
			lay,
			station: any('Station of the middle of the decal.'),
		}),
	])

	return z.strictObject({
		id,
		what: text.optional(),
		artwork: id.describe('What is on it: one of the artworks of the job.'),
		place: place.describe('Where it goes.'),
		hand: z
			.enum(['mirrored', 'left', 'right', 'across'])
			.optional()
			.describe('On both sides, on one side only, or across the centreline; on both sides where not said.'),
		turn: z
			.enum(['reads', 'reflects'])
			.default('reads')
			.describe(
				'On the other side: its place is mirrored and it reads as before (lettering), or all of it is mirrored (arrows, wings).',
			),
		faces: z
			.enum(['left', 'right'])
			.optional()
			.describe('Of a decal that reflects: which end of the artwork, as it is drawn, faces the front. Left where not said.'),
		material: z.enum(DECAL_MATERIALS).default('water-slide').describe('What it is made of, or paint for a masked emblem.'),
		paint: id.optional().describe('Of a painted emblem: its paint.'),
		frame: z
			.enum(['window', 'corners'])
			.default('window')
			.describe('How it is placed: through a window of its own outline, or by marks for the corners of a transparent carrier.'),
		reverse: z.boolean().default(false).describe('Printed mirrored, for a transfer that is laid face down.'),
		clearance: notNegative('How far it keeps from stripes, rims, holes and other decals.').optional(),
		over: z.array(id).optional().describe('Stripes, fields and decals that it lies over on purpose.'),
		note: text.optional(),
	})
}
