/** Revisions as they come, to a page that listens (server-sent events). */
import type { TextFile } from './textFile.ts'

/** A line that says nothing, so that a connection that has gone is noticed, ms. */
const BEAT_MS = 15_000

export interface Listeners {
	/** a stream of the file's revisions, the present one first */
	listen(file: TextFile, now: number): ReadableStream<Uint8Array>
	count(): number
	endAll(): void
}

export function listeners(): Listeners {
	const ends = new Set<() => void>()
	return {
		listen(file, now) {
			let leave = () => {}
			return new ReadableStream<Uint8Array>({
				start(controller) {
					const say = (text: string) => controller.enqueue(new TextEncoder().encode(text))
					const beat = setInterval(() => say(':\n\n'), BEAT_MS)
					const stopWatching = file.watch((revision) => say(`data: ${revision}\n\n`))
					const end = () => {
						leave()
						controller.close()
					}
					leave = () => {
						clearInterval(beat)
						stopWatching()
						ends.delete(end)
					}
					ends.add(end)
					// Asked again a second after the server went, not at once and for ever.
					say(`retry: 1000\ndata: ${now}\n\n`)
				},
				cancel: () => leave(),
			})
		},
		count: () => ends.size,
		endAll() {
			for (const end of [...ends]) end()
		},
	}
}
