/** A section that is being read: one reading a line, drawn as it is typed, and put in when it is whole. */
import { useState } from 'preact/hooks'
import { pastedRows, typedLength } from '../ledger.ts'
import { plottedSection } from '../sectionPoints.ts'
import type { Bench, Data } from './bench.ts'
import { unitOf } from './fields.tsx'
import { SectionPlot } from './sectionPlot.tsx'

interface NewProps {
	readonly bench: Bench
	/** so many are taken together: a shape begins with three */
	readonly least: number
	readonly taken: (sections: readonly Data[]) => void
}

export function NewSections({ bench, least, taken }: NewProps) {
	const unit = unitOf(bench)
	const [whole, setWhole] = useState<readonly Data[]>([])
	const [text, setText] = useState({ along: '', drop: '', readings: '' })
	const [half, setHalf] = useState(true)
	const lines = text.readings.trim() === '' ? [] : pastedRows(spaced(text.readings))
	const points: (readonly [number | string, number | string])[] = []
	let wrong: string | undefined
	lines.forEach((cells, i) => {
		const [x, d] = cells.map((cell) => typedLength(cell, unit))
		if (x && d && 'value' in x && 'value' in d && cells.length === 2) points.push([x.value, d.value])
		else wrong ??= `Line ${i + 1}: ${why(x, d)}`
	})
	const along = typedLength(text.along, unit)
	const drop = text.drop.trim() === '' ? undefined : typedLength(text.drop, unit)
	const section: Data = {
		...('value' in along ? { along: along.value } : {}),
		...(drop && 'value' in drop && drop.value !== 0 ? { drop: drop.value } : {}),
		...(half ? { half } : {}),
		points,
	}
	const missing =
		'why' in along ? 'say where along the panel it stands' : drop && 'why' in drop ? 'the drop cannot be read' : wrong
	const ready = missing === undefined && points.length >= 3
	const put = () => {
		const all = [...whole, section]
		setText({ along: '', drop: '', readings: '' })
		if (all.length >= least) {
			taken(all)
			setWhole([])
		} else setWhole(all)
	}
	const typed = (key: keyof typeof text) => (event: { currentTarget: { value: string } }) =>
		setText({ ...text, [key]: event.currentTarget.value })
	const shown = [...whole, section].map((one) => plottedSection(one, unit))
	return (
		<div class="form new-section">
			<label>
				Along the panel
				<input inputMode="decimal" value={text.along} onInput={typed('along')} />
			</label>
			<label>
				Its zero lies below the straight-edge by
				<input inputMode="decimal" value={text.drop} placeholder="0" onInput={typed('drop')} />
			</label>
			<label class="pick">
				<input type="checkbox" checked={half} onChange={(event) => setHalf(event.currentTarget.checked)} />
				Only one half was read, from the centre outward
			</label>
			<label>
				Readings: across and down, one a line
				<textarea
					rows={6}
					value={text.readings}
					placeholder={'0 0\n18 0.5\n36 2.5'}
					spellcheck={false}
					onInput={typed('readings')}
				/>
			</label>
			<SectionPlot sections={shown} current={shown.length - 1} worst={undefined} unit={unit} />
			<p role="status">
				{ready ? `${points.length} readings.` : `Not whole yet: ${missing ?? `${points.length} of at least 3 readings`}.`}
				{least > 1 && ` Section ${whole.length + 1} of at least ${least}.`}
			</p>
			<button type="button" disabled={!ready} onClick={put}>
				Put this section in
			</button>
		</div>
	)
}

/** Two figures with a space between them are two cells; fractions keep their spaces and are parted by semicolons. */
const spaced = (text: string) =>
	text
		.split('\n')
		.map((line) => (/[\t;/a-z"']/i.test(line) ? line : line.trim().replace(/\s+/g, ';')))
		.map((line) => line.replace(/\t/g, ';'))
		.join('\n')

const why = (x: ReturnType<typeof typedLength> | undefined, d: ReturnType<typeof typedLength> | undefined) =>
	x && 'why' in x ? x.why : d && 'why' in d ? d.why : 'across and down, such as 18 0.5'
