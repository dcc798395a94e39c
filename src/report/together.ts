/** How well all readings of a panel fit together, and from what size on a slip would be seen. */
import type { CheckedReading, Survey } from '../survey/survey.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { sayReadingShort } from './words.ts'

export interface Together {
	/** by how much the readings are worse than their instruments let expect: 1 where they are as good */
	readonly factor: number
	/** the readings that are checked best and worst, with the smallest slip in them that would be seen four times in five, mm */
	readonly best: Seen
	readonly worst: Seen
}

interface Seen {
	readonly name: string
	readonly mm: number
}

/** With less of a slip showing than this, none of a size that happens would be seen. */
const LEAST_CHECKED = 0.01

/** Undefined where nothing checks anything. */
export function togetherOf({ closure: { factor }, readings }: Survey): Together | undefined {
	const seen = readings.flatMap((reading) => {
		const { seenMm, redundancy, setAside } = reading
		return seenMm === undefined || setAside || redundancy < LEAST_CHECKED ? [] : [{ reading, mm: seenMm }]
	})
	const [first] = seen
	if (factor === undefined || !first) return undefined
	const named = ({ reading, mm }: { reading: CheckedReading; mm: number }): Seen => ({ name: sayReadingShort(reading), mm })
	return {
		factor,
		best: named(seen.reduce((a, b) => (b.mm < a.mm ? b : a))),
		worst: named(seen.reduce((a, b) => (b.mm > a.mm ? b : a))),
	}
}

/** One sentence, without its full stop. */
export function sayTogether({ factor, best, worst }: Together, unit: Unit): string {
	const size = (mm: number) => formatLength(mm, unit, { decimals: unit === 'mm' ? 1 : 2 }).text
	const off =
		factor < 0.05
			? 'together the readings hardly miss each other'
			: `together the readings are ${factor.toFixed(1)} times as far off as is usual with their instruments`
	const from = `the smallest slip that would be seen is ${size(best.mm)} (${best.name})`
	return best.name === worst.name
		? `${off}; ${from}`
		: `${off}; ${from}, where they are checked least ${size(worst.mm)} (${worst.name})`
}
