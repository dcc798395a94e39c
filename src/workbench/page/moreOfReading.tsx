/** What is said of one reading beside its figures: how it was read, and how well it is known. */
import type { Cell } from '../cells.ts'
import { Form } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { NOTE } from './schemeWords.ts'

const WITH: Cell = { key: 'with', says: 'Read with', kind: 'words', hint: 'tape, steel-rule, caliper, or one of the shop’s' }
const SD: Cell = {
	...{ key: 'sd', says: 'It is good to', kind: 'length', sign: 'positive', unsaid: 'as usual' },
	hint: 'one standard deviation, where it is not the usual one',
}
const SQUARED: Cell = {
	key: 'squared',
	says: 'Squared off with',
	kind: 'choice',
	of: [
		['t-strip', 'a T-strip'],
		['by-eye', 'the eye'],
	],
	unsaid: 'the eye',
}
const PULL: Cell = {
	key: 'pull',
	says: 'The tape was',
	kind: 'choice',
	of: [
		['pressed', 'pressed down'],
		['tight', 'pulled tight'],
	],
	unsaid: 'pressed down',
}
const WHICH: Cell = {
	key: 'panel',
	says: 'Of the pair',
	kind: 'choice',
	of: [
		['left', 'the left one'],
		['right', 'the right one'],
	],
	unsaid: 'both',
}

export function MoreOfReading({ bench, panel, index, row }: Pick<LineProps, 'bench' | 'panel' | 'index'> & { row: number }) {
	const reading = panel.readings?.[row]
	if (!reading) return null
	const kind = String(reading.kind)
	const cells = [
		...[WITH, SD],
		...(kind === 'square' || kind === 'crossing' ? [SQUARED] : []),
		...(kind === 'tape' || kind === 'width' ? [PULL] : []),
		...(panel.hand === 'pair' ? [WHICH] : []),
		NOTE,
	]
	return (
		<details class="more">
			<summary>More of row {row + 1}: how it was read</summary>
			<Form bench={bench} at={['panels', index, 'readings', row]} entry={reading} cells={cells} />
		</details>
	)
}
