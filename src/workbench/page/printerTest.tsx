/** The printer's test sheet: printed, measured across and along, and both figures kept in the shop's file. */
import { useState } from 'preact/hooks'
import { correctionOf } from '../../sheet/printer.ts'
import type { Unit } from '../../units/length.ts'
import type { Stock } from '../floorView.ts'
import { typedLength } from '../ledger.ts'
import { nameFrom } from '../marksOf.ts'
import { newShop, withMeasured } from '../shopEdits.ts'
import type { Papers } from './papers.ts'
import { PrintButtons } from './printButtons.tsx'
import type { Shop } from './shop.ts'

interface Own {
	readonly papers: Papers
	readonly shop: Shop
	readonly stock: Stock
	readonly unit: Unit
}

const WAYS = ['across', 'along'] as const

export function PrinterTest({ papers, shop, stock, unit }: Own) {
	const chosen = stock.printers.find(({ id }) => id === (papers.choice.printer ?? stock.printer))
	const [fresh, setFresh] = useState(false)
	const [name, setName] = useState('')
	const [typed, setTyped] = useState({ across: '', along: '' })
	const [kept, setKept] = useState<string>()
	const printer = fresh ? undefined : chosen
	const lengths = WAYS.map((way) => (typed[way].trim() === '' ? undefined : typedLength(typed[way], 'mm')))
	const [across, along] = lengths.map((length) => (length && 'mm' in length ? length.mm : undefined))
	const id =
		printer?.id ??
		nameFrom(
			name,
			stock.printers.map((one) => one.id),
			'printer',
		)
	const measured = across !== undefined && along !== undefined ? { across, along } : undefined
	const correction = measured && correctionOf({ id, measured })
	const named = printer !== undefined || name.trim() !== ''
	const keep = async (event: Event) => {
		event.preventDefault()
		if (!measured || !correction?.value || !named) return
		const entry = { id, ...(printer || name.trim() === '' ? {} : { name: name.trim() }) }
		const saved = await shop.change((text) => withMeasured(text ?? newShop(unit), entry, measured))
		if (!saved) return
		papers.choose({ ...papers.choice, printer: id })
		setKept(`Kept in ${shop.file}. Sheets are corrected for ${printer?.name ?? (name.trim() || id)} from now on.`)
		setFresh(false)
		setName('')
		setTyped({ across: '', along: '' })
	}
	return (
		<section class="printer-test">
			<h3>What the printer does to lengths</h3>
			{printer?.measured ? (
				<p>
					{printer.name} printed 200 mm as {printer.measured.across} mm across and {printer.measured.along} mm along; sheets are
					corrected for that.
				</p>
			) : (
				<p>
					{printer ? `${printer.name} has not been measured.` : 'No printer has been measured yet.'} Print the test sheet on the
					paper above, let it cool, and type what its bars of 200 mm measure.
				</p>
			)}
			<PrintButtons papers={papers} files={[{ file: { kind: 'test-sheet' }, says: 'Test sheet (PDF)' }]} />
			<form class="form" onSubmit={keep}>
				{!printer && (
					<label>
						Call the printer
						<input value={name} placeholder="office laser" onInput={(event) => setName(event.currentTarget.value)} />
					</label>
				)}
				{WAYS.map((way, i) => {
					const length = lengths[i]
					return (
						<label key={way}>
							{way === 'across' ? 'Across the sheet, mm' : 'Along the sheet, mm'}
							<span>
								<input
									class="of-length"
									inputMode="decimal"
									autocomplete="off"
									value={typed[way]}
									placeholder="200.0"
									aria-invalid={length !== undefined && 'why' in length}
									onInput={(event) => setTyped({ ...typed, [way]: event.currentTarget.value })}
								/>
								{length && 'why' in length && <span class="why">{length.why}</span>}
							</span>
						</label>
					)
				})}
				{correction?.problems.map(({ found, expected, fix }) => (
					<p key={found} class="must" role="status">
						{found}; expected {expected}. {fix}
					</p>
				))}
				<div class="print-buttons">
					<button type="submit" disabled={!measured || !correction?.value || !named}>
						Keep both figures
					</button>
					{chosen && (
						<button type="button" onClick={() => setFresh(!fresh)}>
							{fresh ? `Measure ${chosen.name}` : 'Another printer'}
						</button>
					)}
				</div>
			</form>
			{kept !== undefined && shop.canUndo && <p role="status">{kept}</p>}
		</section>
	)
}
