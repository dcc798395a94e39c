/** Sheets: what they are printed on, how many there are, and the files. The floor beside it shows them. */

import { useState } from 'preact/hooks'
import type { FloorView, Stock } from '../floorView.ts'
import { newShop, withUsual } from '../shopEdits.ts'
import { unitOf } from './fields.tsx'
import { type LineProps, panelTitle } from './lineProps.ts'
import type { Papers } from './papers.ts'
import { PrintButtons, PrintSaid } from './printButtons.tsx'
import { PrinterTest } from './printerTest.tsx'
import { Problems } from './problems.tsx'

export function SheetsLine(props: LineProps) {
	const { bench, problems, papers, shop } = props
	const { stock, floor, stale } = papers
	return (
		<div class="sheets-line">
			{stock && <PrintedOn {...props} stock={stock} />}
			<WhichPanels {...props} />
			<p class="count" role="status">
				{floor && !stale
					? countOf(floor, stock)
					: papers.fault === undefined && papers.problems.length === 0
						? 'Laying out the sheets…'
						: ''}
			</p>
			{papers.fault !== undefined && (
				<p class="must" role="alert">
					The sheets could not be laid out, by a fault of this program: {papers.fault}. The job is as it was.
				</p>
			)}
			<h3>Templates</h3>
			<PrintButtons
				papers={papers}
				files={[
					{ file: { kind: 'sheets' }, says: 'Templates (PDF)' },
					{ file: { kind: 'all' }, says: 'Everything in a folder (ZIP)' },
				]}
			/>
			<PrintSaid papers={papers} />
			<p class="hint">Print at 100 %, “actual size”. Measure the check square on every sheet: 100.0 mm each way.</p>
			{floor && <OnePiece papers={papers} floor={floor} panel={String(props.panel.id)} />}
			<h3>Pages to write on</h3>
			<PrintButtons
				papers={papers}
				files={[
					{ file: { kind: 'measuring-sheet' }, says: 'Measuring sheet (PDF)' },
					{ file: { kind: 'measuring-table' }, says: 'its table (CSV)' },
					{ file: { kind: 'proof' }, says: 'Strips for the old paint (PDF)' },
					{ file: { kind: 'proof-table' }, says: 'their table (CSV)' },
					{ file: { kind: 'check-sheet' }, says: 'Check sheet (PDF)' },
					{ file: { kind: 'check-table' }, says: 'its table (CSV)' },
				]}
			/>
			<h3>To keep with the job</h3>
			<PrintButtons
				papers={papers}
				files={[
					{ file: { kind: 'sides' }, says: 'Both sides (PDF)' },
					{ file: { kind: 'plan', panel: String(props.panel.id) }, says: `Plan of ${panelTitle(props.panel)} (SVG)` },
					{ file: { kind: 'result' }, says: 'All figures (JSON)' },
				]}
			/>
			{stock && <PrinterTest papers={papers} shop={shop} stock={stock} unit={unitOf(bench)} />}
			<Problems problems={own(problems, papers.problems)} bench={bench} />
		</div>
	)
}

const own = (a: LineProps['problems'], b: LineProps['problems']) => [
	...a,
	...b.filter(({ code, path }) => !a.some((one) => one.code === code && one.path === path)),
]

const countOf = ({ count, paper, pieces }: FloorView, stock: Stock | undefined) =>
	count === 0
		? 'Nothing came as far as a sheet yet.'
		: `${count === 1 ? '1 sheet' : `${count} sheets`} of ${stock?.papers.find(({ id }) => id.toLowerCase() === paper.toLowerCase())?.name ?? paper}, ${pieces.length === 1 ? '1 piece' : `${pieces.length} pieces`}.`

function PrintedOn({ papers, shop, bench, stock }: LineProps & { readonly stock: Stock }) {
	const { choice, choose } = papers
	const paper = choice.paper ?? stock.paper
	const printer = choice.printer ?? stock.printer
	const known = stock.papers.some(({ id }) => id.toLowerCase() === paper.toLowerCase())
	const other = paper.toLowerCase() !== stock.paper.toLowerCase() || printer !== stock.printer
	return (
		<div class="form">
			<label>
				Paper
				<select
					value={stock.papers.find(({ id }) => id.toLowerCase() === paper.toLowerCase())?.id ?? paper}
					onChange={(event) => choose({ ...choice, paper: event.currentTarget.value })}
				>
					{!known && <option value={paper}>{paper}</option>}
					{stock.papers.map(({ id, name }) => (
						<option key={id} value={id}>
							{name}
						</option>
					))}
				</select>
			</label>
			{stock.printers.length > 0 && (
				<label>
					Printer
					<select value={printer} onChange={(event) => choose({ ...choice, printer: event.currentTarget.value })}>
						{stock.printers.map(({ id, name, measured }) => (
							<option key={id} value={id}>
								{measured ? name : `${name} (not measured)`}
							</option>
						))}
					</select>
				</label>
			)}
			{other && (
				<button
					type="button"
					onClick={async () => {
						const kept = await shop.change((text) => withUsual(text ?? newShop(unitOf(bench)), paper, printer))
						if (kept) choose({ ...(choice.only ? { only: choice.only } : {}) })
					}}
				>
					Use these from now on
				</button>
			)}
			{shop.trouble !== undefined && (
				<p class="must" role="alert">
					The shop’s file ({shop.file}): {shop.trouble}.
				</p>
			)}
		</div>
	)
}

/** Sheets of all panels, or of some. */
function WhichPanels({ bench, papers }: LineProps) {
	const panels = bench.job?.panels ?? []
	const ids = panels.map(({ id }) => String(id))
	if (ids.length < 2) return null
	const { choice, choose } = papers
	const { only: _, ...rest } = choice
	const chosen = choice.only ?? ids
	const set = (id: string, on: boolean) => {
		const next = ids.filter((one) => (one === id ? on : chosen.includes(one)))
		choose(next.length === ids.length ? rest : { ...rest, only: next })
	}
	return (
		<fieldset class="which-panels">
			<legend>Sheets of</legend>
			{panels.map((panel) => (
				<label key={panel.id} class="pick">
					<input
						type="checkbox"
						checked={chosen.includes(String(panel.id))}
						disabled={chosen.length === 1 && chosen.includes(String(panel.id))}
						onChange={(event) => set(String(panel.id), event.currentTarget.checked)}
					/>
					{panelTitle(panel)}
				</label>
			))}
		</fieldset>
	)
}

/** One piece, for a cutter. */
function OnePiece({ papers, floor, panel }: { readonly papers: Papers; readonly floor: FloorView; readonly panel: string }) {
	const pieces = floor.pieces.filter((piece) => piece.panel === panel)
	const [chosen, setChosen] = useState<string>()
	const piece = pieces.find(({ id }) => id === chosen) ?? pieces[0]
	if (!piece) return null
	return (
		<div class="one-piece">
			<select aria-label="One piece of this panel" value={piece.id} onChange={(event) => setChosen(event.currentTarget.value)}>
				{pieces.map(({ id, number, title }) => (
					<option key={id} value={id}>
						{number}: {title}
					</option>
				))}
			</select>
			<PrintButtons papers={papers} files={[{ file: { kind: 'piece', piece: piece.id }, says: 'This piece to cut (SVG)' }]} />
		</div>
	)
}
