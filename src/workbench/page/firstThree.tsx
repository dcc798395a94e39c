/** What a panel that nothing was measured on asks first: which panel, which way is front, where the tape is hooked. */
import type { Cell } from '../cells.ts'
import { nameFrom } from '../marksOf.ts'
import type { Data } from './bench.ts'
import { Control, Labelled, unitOf } from './fields.tsx'
import type { LineProps } from './lineProps.ts'
import { panelTitle } from './lineProps.ts'
import { PanelPicture } from './panelPicture.tsx'

const NAME: Cell = { key: 'title', says: 'Which panel is it?', kind: 'words' }
const HOOK: Cell = { key: 'what', says: 'Where will you hook the tape?', kind: 'words' }

/** How a panel sits on the vehicle, in words. */
export const HANDS = [
	['centre', 'on the centreline'],
	['pair', 'a pair, left and right, with one scheme'],
	['left', 'one panel, on the left'],
	['right', 'one panel, on the right'],
] as const

export const hookOf = (panel: { readonly datums?: readonly Data[] }) => {
	const first = panel.datums?.[0]
	return String(first?.what ?? first?.id ?? 'where the tape is hooked')
}

export function FirstThree({ bench, panel, index }: LineProps) {
	const at = ['panels', index] as const
	const hand = String(panel.hand ?? 'centre')
	const unit = unitOf(bench)
	const hook = (what: unknown) => {
		if (panel.datums?.[0]) return bench.set([...at, 'datums', 0, 'what'], what, 'hook')
		bench.insert([...at, 'datums'], 0, { id: nameFrom(String(what ?? ''), [], 'hook'), what, station: 0 })
	}
	return (
		<section class="first-three">
			<p>Nothing has been measured on {panelTitle(panel)} yet. Three things come first.</p>
			<ol>
				<li>
					<Labelled cell={NAME}>
						{(id) => (
							<Control
								cell={NAME}
								id={id}
								value={panel.title}
								unit={unit}
								write={(title) => bench.set([...at, 'title'], title, 'title')}
							/>
						)}
					</Labelled>
					<fieldset>
						<legend>It is</legend>
						{HANDS.map(([value, words]) => (
							<label key={value} class="pick">
								<input
									type="radio"
									name="first-hand"
									checked={hand === value}
									onChange={() => bench.set([...at, 'hand'], value)}
								/>
								{words}
							</label>
						))}
					</fieldset>
				</li>
				<li>
					<p>
						<strong>Which way is front?</strong> {FRONT[hand] ?? FRONT.centre} Left and right are the rider’s.
					</p>
					<PanelPicture hand={hand} hook={hookOf(panel)} />
				</li>
				<li>
					<Labelled cell={HOOK}>
						{(id) => <Control cell={HOOK} id={id} value={panel.datums?.[0]?.what} unit={unit} write={hook} />}
					</Labelled>
					<p class="hint">
						A bolt hole, a seam, a stud at the front end: something that is still there after stripping, never an edge of paint.
						It is station 0, and the figures run rearward from it.
					</p>
				</li>
			</ol>
			<p>
				Then go on to <strong>Measure</strong> and type what the tape shows.
			</p>
		</section>
	)
}

const FRONT: Readonly<Record<string, string>> = {
	centre: 'You look down on it, and its front is on your left: the picture shows it so.',
	pair: 'You look at each from outside: the front of the left one is on your left, the front of the right one on your right.',
	left: 'You look at it from outside, and its front is on your left. If it is on your right, it is a right panel.',
	right: 'You look at it from outside, and its front is on your right. If it is on your left, it is a left panel.',
}
