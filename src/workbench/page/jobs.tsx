/** The jobs of the folder, and a new one. */
import { useEffect, useState } from 'preact/hooks'
import { withValue } from '../document.ts'
import type { JobEntry, Starter } from '../wire.ts'
import { beginJob, listStarters, readJob, saveJob } from './api.ts'
import { type FilledTable, TableFile } from './tableFile.tsx'

export function Jobs({ jobs }: { readonly jobs: readonly JobEntry[] }) {
	return (
		<main class="jobs">
			<h1>Which vehicle is on the stand?</h1>
			{jobs.length > 0 && (
				<ul class="job-list">
					{jobs.map(({ name, title, broken }) => (
						<li key={name}>
							<a href={`#${encodeURIComponent(name)}`}>
								<strong>{title}</strong>
								<span>{broken ? 'its file cannot be read: it opens to be mended' : name}</span>
							</a>
						</li>
					))}
				</ul>
			)}
			<NewJob />
		</main>
	)
}

/** "Bob's tank (rear)" as a folder's name. */
const folderName = (title: string) =>
	title
		.toLowerCase()
		.normalize('NFKD')
		.replace(/[^a-z0-9]+/g, '-')
		.replace(/^-+|-+$/g, '')

/** A panel of one's own, with nothing measured yet. */
const OWN = 'a panel of my own, nothing measured yet'
/** A measuring sheet's table, or any other with the same headings. */
const TABLE = 'figures from a filled table (CSV)'

function NewJob() {
	const [starters, setStarters] = useState<readonly Starter[]>([])
	const [title, setTitle] = useState('')
	const [starter, setStarter] = useState(OWN)
	const [answers, setAnswers] = useState({ panel: '', hand: 'centre', hook: '', unit: 'mm' as 'mm' | 'in' })
	const [table, setTable] = useState<FilledTable>()
	const [trouble, setTrouble] = useState<string>()
	useEffect(() => {
		listStarters().then(setStarters, () => setStarters([]))
	}, [])
	const begin = async (event: Event) => {
		event.preventDefault()
		if (starter === TABLE && table?.csv === undefined) return
		setTrouble(undefined)
		const name = folderName(title)
		try {
			const made = await beginJob(
				starter === OWN
					? { from: 'answers', name, title, ...answers }
					: starter === TABLE
						? { from: 'table', csv: table?.csv ?? '', unit: answers.unit, name }
						: { from: 'starter', starter, name },
			)
			if (starter !== OWN) {
				// A starter has a title of its own, a table none.
				const { text, revision } = await readJob(made.name)
				await saveJob(made.name, withValue(text, ['title'], title), revision)
			}
			location.hash = encodeURIComponent(made.name)
		} catch (error) {
			setTrouble((error as Error).message)
		}
	}
	const answered = (key: keyof typeof answers) => (event: { readonly currentTarget: HTMLInputElement | HTMLSelectElement }) =>
		setAnswers({ ...answers, [key]: event.currentTarget.value })
	return (
		<form class="new-job" onSubmit={begin}>
			<h2>Begin a new job</h2>
			<label>
				Call it
				<input required pattern=".*[A-Za-z0-9].*" value={title} onInput={(event) => setTitle(event.currentTarget.value)} />
			</label>
			<label>
				Begin from
				<select value={starter} onChange={(event) => setStarter(event.currentTarget.value)}>
					<option>{OWN}</option>
					<option>{TABLE}</option>
					{starters.map(({ name: id, title: says }) => (
						<option key={id} value={id}>
							{says}, with figures to type over, in mm
						</option>
					))}
				</select>
			</label>
			{starter === OWN ? (
				<>
					<label>
						Which panel is it?
						<input required value={answers.panel} placeholder="Fuel tank" onInput={answered('panel')} />
					</label>
					<label>
						Where does it sit?
						<select value={answers.hand} onChange={answered('hand')}>
							<option value="centre">on the centreline, left and right alike</option>
							<option value="pair">there are two of it, left and right</option>
							<option value="left">on the left only</option>
							<option value="right">on the right only</option>
						</select>
					</label>
					<label>
						Where will you hook the tape? Stations count rearward from there.
						<input required value={answers.hook} placeholder="bolt hole at the front" onInput={answered('hook')} />
					</label>
					<TapeUnit unit={answers.unit} chosen={answered('unit')} />
				</>
			) : starter === TABLE ? (
				<>
					<TableFile
						took={(next) => {
							setTable(next)
							setTrouble(next.csv === undefined ? `${next.file} is no text: save it from the spreadsheet as CSV.` : undefined)
							// "girth (in)": a sheet of this program says it in its headings
							const said = /\((mm|in)\)/.exec(next.csv ?? '')?.[1]
							if (said === 'mm' || said === 'in') setAnswers((before) => ({ ...before, unit: said }))
						}}
					/>
					<TapeUnit unit={answers.unit} chosen={answered('unit')} />
				</>
			) : (
				<p class="hint">{starters.find(({ name: id }) => id === starter)?.about}</p>
			)}
			<button type="submit">Begin</button>
			{trouble && (
				<p role="alert" class="begin-trouble">
					{trouble}
				</p>
			)}
		</form>
	)
}

function TapeUnit({
	unit,
	chosen,
}: {
	readonly unit: 'mm' | 'in'
	readonly chosen: (event: { readonly currentTarget: HTMLSelectElement }) => void
}) {
	return (
		<label>
			Your tape is in
			<select value={unit} onChange={chosen}>
				<option value="mm">millimetres</option>
				<option value="in">inches</option>
			</select>
		</label>
	)
}
