import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

/** "46.5", "1 13/16", "0.1234": without its unit, and as a rule reads where it does read so. */
export function sayFigure(mm: number, unit: Unit): string {
	const plain = (text: string) => text.replace(/ (mm|in)$/, '')
	const shorter = (text: string) => (text.includes('.') ? text.replace(/\.?0+$/, '') : text)
	if (unit === 'in') {
		const read = formatLength(mm, unit, { fraction: 64 })
		if (Math.abs(read.roundingMm) < 1e-6) return plain(read.text)
	}
	return shorter(plain(formatLength(mm, unit, { decimals: unit === 'mm' ? 2 : 4 }).text))
}
