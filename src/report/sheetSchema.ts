/** Of result.json: sheets, and which sheet a part of a piece is on. */
import { z } from 'zod'

const paperPoint = z.tuple([z.number(), z.number()]).describe('[x, y] on paper, mm, y up, printed face outward')
export const paperLine = z.array(paperPoint)
export const box = z.strictObject({ minX: z.number(), minY: z.number(), maxX: z.number(), maxY: z.number() })

export const sheet = z.strictObject({
	number: z.number(),
	name: z.string(),
	paper: z.string(),
	orientation: z.enum(['portrait', 'landscape']),
	widthMm: z.number(),
	heightMm: z.number(),
	pieceIds: z.array(z.string()),
	placements: z.array(
		z.strictObject({
			piece: z.string(),
			at: paperPoint,
			angleDeg: z.number().describe('Anticlockwise, before the shift to `at`.'),
			clip: box,
		}),
	),
	joins: z.array(
		z.strictObject({
			at: z.enum(['left', 'right', 'above', 'below']),
			sheet: z.string(),
			cutHere: z.boolean(),
			line: z.tuple([paperPoint, paperPoint]),
			marks: paperLine,
		}),
	),
	live: box,
	checkSquare: box.describe('Middle of its line: 100.00 mm each way.'),
	scalePercent: z.strictObject({ x: z.number(), y: z.number() }).describe("The printer's correction, in the PDF alone."),
})

export const sheetMap = z.strictObject({
	piece: z.string(),
	rows: z.number(),
	columns: z.number(),
	joinsThroughWorking: z.number(),
	places: z.array(z.strictObject({ row: z.number(), column: z.number(), sheet: z.string() })),
})
