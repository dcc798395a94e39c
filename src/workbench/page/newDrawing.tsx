/** A drawing dropped or chosen: read first, its size asked for where it says none, then put beside the job and written in. */
import { useId, useState } from 'preact/hooks'
import type { Problem } from '../../job/problem.ts'
import type { ArtworkView } from '../decalView.ts'
import { typedLength } from '../ledger.ts'
import { nameFrom } from '../marksOf.ts'
import { plainWords } from '../plainWords.ts'
import { putFile, sameBeside } from './api.ts'
import type { Bench, Data } from './bench.ts'
import { unitOf } from './fields.tsx'
import type { Papers } from './papers.ts'
import { named } from './schemeWords.ts'

/** A badge is a few thousand characters. */
const MOST_BYTES = 5_000_000

interface Asked {
	readonly file: File
	readonly which: 'width' | 'height'
	readonly typed: string
}

export function NewDrawing({
	bench,
	papers,
	taken,
}: {
	readonly bench: Bench
	readonly papers: Papers
	readonly taken: (index: number) => void
}) {
	const unit = unitOf(bench)
	const input = useId()
	const [over, setOver] = useState(false)
	const [asked, setAsked] = useState<Asked>()
	const [said, setSaid] = useState<string>()
	const [problems, setProblems] = useState<readonly Problem[]>([])
	const refuse = (why: string) => {
		setAsked(undefined)
		setSaid(why)
	}
	const read = async (file: File, known: Data = {}, mm: { readonly width?: number; readonly height?: number } = {}) => {
		setProblems([])
		if (!/\.svg$/i.test(file.name)) return refuse(`${file.name} is no SVG drawing: its name has to end in .svg.`)
		if (file.size > MOST_BYTES) return refuse(`${file.name} is larger than 5 MB: leave out of the drawing what is not printed.`)
		setSaid(`${file.name} is being read…`)
		const bytes = new Uint8Array(await file.arrayBuffer())
		const answer = await papers.ask({ what: 'drawing', file: file.name, bytes, unit, ...mm })
		if (!answer) return
		const wrong = answer.problems.filter(({ severity }) => severity === 'error')
		if (answer.fault !== undefined) return refuse(`${file.name} could not be read, by a fault of this program: ${answer.fault}.`)
		if (wrong.some(({ code }) => code === 'DRAWING_NO_SIZE')) {
			setAsked({ file, which: 'width', typed: '' })
			return setSaid(`${file.name} does not say its real size. Measure what is printed on the old decal.`)
		}
		setProblems(answer.problems)
		if (!answer.artwork) return refuse(`${file.name} is not taken:`)
		await keep(file, known, answer.artwork)
	}
	const keep = async (file: File, known: Data, { says }: ArtworkView) => {
		try {
			const fresh = await putFile(bench.name, file)
			if (!fresh && !(await sameBeside(bench.name, file)))
				return refuse(
					`Another file called ${file.name} is beside the job already and is left as it is: give this one another name.`,
				)
			const title = file.name.replace(/\.svg$/i, '').replace(/[-_]+/g, ' ')
			const list = bench.job?.artwork ?? []
			const id = nameFrom(title, named(list), 'drawing')
			bench.insert(['artwork'], list.length, { id, title, shape: { kind: 'drawing', file: file.name, ...known } })
			setAsked(undefined)
			setSaid(`${file.name}: ${says}.`)
			taken(list.length)
		} catch (error) {
			refuse((error as Error).message)
		}
	}
	const length = asked && asked.typed.trim() !== '' ? typedLength(asked.typed, unit) : undefined
	const whole = length && !('why' in length) && length.mm > 0 ? length : undefined
	return (
		<>
			<fieldset
				class={over ? 'drop over' : 'drop'}
				aria-label="A drawing"
				onDragOver={(event) => {
					event.preventDefault()
					setOver(true)
				}}
				onDragLeave={() => setOver(false)}
				onDrop={(event) => {
					event.preventDefault()
					setOver(false)
					const file = event.dataTransfer?.files[0]
					if (file) void read(file)
				}}
			>
				<label for={input}>A drawing (SVG): drop it here, or choose it</label>
				<input
					id={input}
					type="file"
					accept=".svg"
					onChange={(event) => {
						const file = event.currentTarget.files?.[0]
						if (file) void read(file)
						// the same file again, mended, is a choice too
						event.currentTarget.value = ''
					}}
				/>
			</fieldset>
			<p role="status" class={problems.some(({ severity }) => severity === 'error') ? 'must' : ''}>
				{said}
			</p>
			{problems.length > 0 && (
				<ul class="problems" role={problems.some(({ severity }) => severity === 'error') ? 'alert' : undefined}>
					{problems.map(({ code, found, expected, fix, severity }) => (
						<li key={`${code} ${found}`} class={severity}>
							{plainWords(found)}; expected {plainWords(expected)}. <em>{plainWords(fix)}</em>
						</li>
					))}
				</ul>
			)}
			{asked && (
				<form
					class="form known-size"
					onSubmit={(event) => {
						event.preventDefault()
						if (whole) void read(asked.file, { [asked.which]: whole.value }, { [asked.which]: whole.mm })
					}}
				>
					<label>
						What is known
						<select
							value={asked.which}
							onChange={(event) => setAsked({ ...asked, which: event.currentTarget.value as Asked['which'] })}
						>
							<option value="width">how wide it is</option>
							<option value="height">how high it is</option>
						</select>
					</label>
					<label>
						All that is printed, {unit}
						<input
							inputMode="decimal"
							autocomplete="off"
							value={asked.typed}
							aria-invalid={length !== undefined && !whole}
							onInput={(event) => setAsked({ ...asked, typed: event.currentTarget.value })}
						/>
					</label>
					<button type="submit" disabled={!whole}>
						Take {asked.file.name}
					</button>
				</form>
			)}
		</>
	)
}
