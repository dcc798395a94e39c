/** The jobs of the folder, and a new one. */
import { useEffect, useState } from 'preact/hooks'
import type { JobEntry, Starter } from '../wire.ts'
import { beginJob, listStarters } from './api.ts'

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

function NewJob() {
	const [starters, setStarters] = useState<readonly Starter[]>([])
	const [name, setName] = useState('')
	const [starter, setStarter] = useState('')
	const [trouble, setTrouble] = useState<string>()
	useEffect(() => {
		listStarters().then(
			(list) => {
				setStarters(list)
				setStarter(list[0]?.name ?? '')
			},
			() => setStarters([]),
		)
	}, [])
	const begin = async (event: Event) => {
		event.preventDefault()
		try {
			const made = await beginJob({ from: 'starter', starter, name })
			location.hash = encodeURIComponent(made.name)
		} catch (error) {
			setTrouble((error as Error).message)
		}
	}
	return (
		<form class="new-job" onSubmit={begin}>
			<h2>Begin a new job</h2>
			<label>
				Begin from
				<select value={starter} onChange={(event) => setStarter(event.currentTarget.value)}>
					{starters.map(({ name: id, title }) => (
						<option key={id} value={id}>
							{title}
						</option>
					))}
				</select>
			</label>
			<p class="hint">{starters.find(({ name: id }) => id === starter)?.about}</p>
			<label>
				Call it
				<input required value={name} placeholder="my-mudguard" onInput={(event) => setName(event.currentTarget.value)} />
			</label>
			<button type="submit">Begin</button>
			{trouble && <p role="alert">{trouble}</p>}
		</form>
	)
}
