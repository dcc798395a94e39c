/** Sheets: what they are printed on, how many there are, and the files. The floor beside it shows them. */

import { useState } from 'preact/hooks'
import type { Unit } from '../../units/length.ts'
import type { Cell } from '../cells.ts'
import type { FloorView, Stock } from '../floorView.ts'
import { typedLength } from '../ledger.ts'
import { newShop, withUsual } from '../shopEdits.ts'
import { Control, Labelled, unitOf } from './fields.tsx'
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
			<Film {...props} stock={stock} />
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
			<ShopSteps shop={shop} />
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
			<label class="pick">
				<input
					type="checkbox"
					checked={choice.mirrored === true}
					onChange={(event) => {
						const { mirrored: _, ...rest } = choice
						choose(event.currentTarget.checked ? { ...rest, mirrored: true } : rest)
					}}
				/>
				Mirrored, for film that is laid face down
			</label>
			{other && (
				<button
					type="button"
					onClick={async () => {
						const kept = await shop.change((text) => withUsual(text ?? newShop(unitOf(bench)), paper, printer))
						const { paper: _, printer: __, ...rest } = choice
						if (kept) choose(rest)
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

/** The shop's file is not this job's alone: what was changed in it from here is taken back here. */
function ShopSteps({ shop }: { readonly shop: LineProps['shop'] }) {
	if (!shop.canUndo && !shop.canRedo) return null
	return (
		<div class="row-bar">
			<span>Changed in the shop’s file ({shop.file})</span>
			<button type="button" disabled={!shop.canUndo} onClick={() => void shop.undo()}>
				Take back
			</button>
			<button type="button" disabled={!shop.canRedo} onClick={() => void shop.redo()}>
				Do again
			</button>
		</div>
	)
}

const FILM: readonly Cell[] = [
	{ key: 'width', says: 'Film across', kind: 'length', sign: 'positive' },
	{ key: 'height', says: 'Film along', kind: 'length', sign: 'positive' },
]

/** All pieces on film for a cutter. Its size is the shop's, or typed for this job. */
function Film({ bench, papers, stock }: LineProps & { readonly stock: Stock | undefined }) {
	const unit = unitOf(bench)
	const { choice, choose } = papers
	const film = choice.film ?? stock?.film
	const [typed, setTyped] = useState<Readonly<Record<string, unknown>>>({})
	const shown = (key: 'width' | 'height') => typed[key] ?? (film && inUnit(film[key], unit))
	const write = (key: string) => (value: unknown) => {
		const next = { width: shown('width'), height: shown('height'), [key]: value }
		setTyped(next)
		const [width, height] = [next.width, next.height].map((one) => typedLength(String(one ?? ''), unit))
		const { film: _, ...rest } = choice
		const whole = width && height && 'mm' in width && 'mm' in height
		choose(whole ? { ...rest, film: { width: width.mm, height: height.mm } } : rest)
	}
	return (
		<details class="more" open={choice.film !== undefined}>
			<summary>Sheets of film for a cutter</summary>
			<div class="form">
				{FILM.map((cell) => (
					<Labelled key={String(cell.key)} cell={cell}>
						{(id) => (
							<Control
								cell={cell}
								id={id}
								value={shown(cell.key as 'width' | 'height')}
								unit={unit}
								write={write(String(cell.key))}
							/>
						)}
					</Labelled>
				))}
			</div>
			{film ? (
				<PrintButtons papers={papers} files={[{ file: { kind: 'cutter', film }, says: 'All pieces on film (SVG)' }]} />
			) : (
				<p class="hint">Say how large the film is; the shop’s file can hold it for all jobs.</p>
			)}
			<p class="hint">Only what is cut is drawn. With a size typed here the folder of everything has these sheets too.</p>
		</details>
	)
}

const inUnit = (mm: number, unit: Unit) => (unit === 'mm' ? mm : `${mm} mm`)

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
