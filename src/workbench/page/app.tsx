/** Which job is on the bench, and what is shown while none is. */
import { useEffect, useState } from 'preact/hooks'
import type { JobEntry, StoredText } from '../wire.ts'
import { listJobs, readFolder, readJob, readShop } from './api.ts'
import { useFocusKept } from './focusKept.ts'
import { JobCard } from './jobCard.tsx'
import { Jobs } from './jobs.tsx'

/** The job of the address: /#NAME; no name, and the list of all, at /#/. */
const named = () => {
	try {
		return decodeURIComponent(location.hash.slice(1))
	} catch {
		return location.hash.slice(1)
	}
}
const ALL = '/'

interface Opened {
	readonly name: string
	/** the id of its folder */
	readonly folder: string
	readonly first: StoredText
	/** a text says why it could not be read */
	readonly shop: StoredText | string
}

export function App() {
	const [jobs, setJobs] = useState<readonly JobEntry[]>()
	const [opened, setOpened] = useState<Opened>()
	const [trouble, setTrouble] = useState<string>()
	const [name, setName] = useState(named())
	useFocusKept()
	useEffect(() => {
		// A file that is let fall beside the place that takes it must not be opened in place of the page.
		const none = (event: DragEvent) => event.preventDefault()
		addEventListener('dragover', none)
		addEventListener('drop', none)
		return () => {
			removeEventListener('dragover', none)
			removeEventListener('drop', none)
		}
	}, [])

	useEffect(() => {
		const changed = () => setName(named())
		addEventListener('hashchange', changed)
		return () => removeEventListener('hashchange', changed)
	}, [])
	useEffect(() => {
		listJobs().then(
			(list) => {
				setJobs(list)
				// A folder of one job opens it.
				const only = list[0]
				if (named() === '' && list.length === 1 && only) location.hash = encodeURIComponent(only.name)
			},
			(error: Error) => setTrouble(error.message),
		)
	}, [name])
	useEffect(() => {
		setTrouble(undefined)
		if (name === '' || name === ALL) return setOpened(undefined)
		let over = false
		Promise.all([readJob(name), readShop(name).catch((error: Error) => error.message), readFolder()]).then(
			([first, shop, { id: folder }]) => {
				if (!over) setOpened({ name, folder, first, shop })
			},
			(error: Error) => {
				if (!over) setTrouble(error.message)
			},
		)
		return () => {
			over = true
		}
	}, [name])

	if (trouble) {
		return (
			<main class="trouble">
				<h1>Nothing is on the bench</h1>
				<p>{trouble}</p>
				<p>
					<button type="button" onClick={() => location.reload()}>
						Try again
					</button>{' '}
					<a href="#/">All jobs</a>
				</p>
			</main>
		)
	}
	if (opened && opened.name === name) return <JobCard key={opened.name} {...opened} />
	return jobs && (name === '' || name === ALL) ? <Jobs jobs={jobs} /> : <p class="opening">Opening the job…</p>
}
