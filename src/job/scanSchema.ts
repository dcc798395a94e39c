/** A panel captured as a scan: the file, and where it sits on the vehicle. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, text } from './names.ts'

export function scanSchema(unit: Unit) {
	const { any, positive } = lengths(unit)

	const onScan = z.number().describe('A coordinate as the scanning program shows it, in the unit of the scan.')
	const datum = z.strictObject({
		id,
		what: text.optional().describe('What it is: a bolt hole, the corner of a flange.'),
		scan: z.tuple([onScan, onScan, onScan]).describe('Its x, y, z in the scan.'),
		vehicle: z
			.tuple([any('rearward'), any('to the right, negative on the left'), any('up')])
			.describe('Where it lies on the vehicle: rearward, to the right of the middle, up.'),
	})
	return z.strictObject({
		kind: z.literal('scan'),
		file: text.min(1).describe('The scan beside the job file: STL, PLY or OBJ.'),
		unit: z
			.enum(['mm', 'cm', 'm', 'in'])
			.optional()
			.describe('The unit of the scan. Where absent it is guessed from the datums and from the size, and said.'),
		datums: z.array(datum).min(3).describe('Places found both on the scan and on the vehicle, not in one line.'),
		symmetry: z
			.enum(['shape', 'datums'])
			.default('shape')
			.describe('What tells the middle of a panel on the centreline: its own shape, or the datums alone.'),
		stations: z
			.array(any('rearward, in the frame of the datums'))
			.min(3)
			.optional()
			.describe('Where sections are taken from it, as the datums count rearward; 25 evenly spaced where absent.'),
		noise: positive('How far single points scatter (one standard deviation); estimated where absent.').optional(),
		front: any('Station at which the baseline comes onto the first section.').default(0),
	})
}

export type ScanCapture = z.output<ReturnType<typeof scanSchema>>
