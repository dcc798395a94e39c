/** Spray-out cards, and coat by coat what was sprayed. */
import { valueAt } from '../cells.ts'
import type { Bench, Data } from './bench.ts'
import { Rows } from './rows.tsx'
import { choices } from './schemeWords.ts'
import { today } from './signOff.tsx'

const listOf = (bench: Bench, key: 'sprayOut' | 'log'): readonly unknown[] => {
	const list = valueAt(bench.job, ['paintwork', key])
	return Array.isArray(list) ? list : []
}

export function SprayOutPart({ bench }: { readonly bench: Bench }) {
	const paints = bench.job?.paints
	return (
		<>
			<h3>Spray-out cards</h3>
			<Rows
				bench={bench}
				list={['paintwork', 'sprayOut']}
				rows={listOf(bench, 'sprayOut')}
				one="card"
				caption="The last card that matched says how many coats, where the paint does not."
				cells={[
					{ key: 'paint', says: 'Paint', kind: 'choice', of: choices(paints) },
					{ key: 'coats', says: 'Coats', kind: 'figure', must: true },
					{ key: 'matched', says: 'Matched', kind: 'choice', of: MATCHED },
					{ key: 'on', says: 'On', kind: 'words' },
					{ key: 'note', says: 'Note', kind: 'words' },
				]}
				begin={() => ({ paint: String(paints?.[0]?.id ?? ''), matched: true, on: today() })}
				form={CARD}
			/>
		</>
	)
}

const MATCHED = [
	['yes', 'yes'],
	['no', 'no'],
] as const

/** In the file it is true or false. */
const CARD = {
	show: (entry: unknown) => ({ ...(entry as Data), matched: (entry as Data).matched === true ? 'yes' : 'no' }),
	put(entry: unknown, key: string, value: unknown) {
		const { [key]: _, ...rest } = entry as Data
		if (value === undefined) return rest
		return { ...(entry as Data), [key]: key === 'matched' ? value === 'yes' : value }
	},
}

export function LogPart({ bench }: { readonly bench: Bench }) {
	const paints = bench.job?.paints
	return (
		<>
			<h3>Coat by coat</h3>
			<Rows
				bench={bench}
				list={['paintwork', 'log']}
				rows={listOf(bench, 'log')}
				one="coat"
				caption="As it was sprayed: the count of coats is what makes a repair match."
				cells={[
					{ key: 'paint', says: 'Paint', kind: 'choice', of: choices(paints) },
					{ key: 'coat', says: 'Coat', kind: 'figure', must: true },
					{ key: 'panel', says: 'Panel', kind: 'choice', unsaid: 'all of them', of: choices(bench.job?.panels) },
					{ key: 'on', says: 'On', kind: 'words' },
					{ key: 'at', says: 'At', kind: 'words' },
					{ key: 'celsius', says: '°C', kind: 'figure' },
					{ key: 'humidity', says: 'Humidity, %', kind: 'figure' },
					{ key: 'batch', says: 'Batch', kind: 'words' },
					{ key: 'note', says: 'Note', kind: 'words' },
				]}
				begin={() => ({ paint: String(paints?.[0]?.id ?? ''), on: today() })}
			/>
		</>
	)
}
