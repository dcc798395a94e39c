/** A filled table opened: its figures go into the job, and rows that do not fit are listed with their line. */
import { useState } from 'preact/hooks'
import { decode } from '../../files/decode.ts'
import { enteredWords } from '../../job/enteredWords.ts'
import { lengthsIn } from '../../units/format.ts'
import { unitOf } from './fields.tsx'
import { type LineProps, panelTitle } from './lineProps.ts'
import type { PaperAnswer } from './messages.ts'

/** What became of a table, by its file's name. */
type Told = Pick<PaperAnswer, 'entered' | 'problems' | 'fault'> & { readonly of: string }

export function TableIn({ bench, panel, papers }: LineProps) {
	const unit = unitOf(bench)
	const [only, setOnly] = useState(false)
	const [plain, setPlain] = useState<'mm' | 'in' | ''>('')
	const [answer, setAnswer] = useState<Told>()
	const open = async (file: File) => {
		const table = decode(new Uint8Array(await file.arrayBuffer()), true)
		if (table === undefined) return setAnswer({ of: file.name, problems: [notText(file.name)] })
		const wanted = { table, file: file.name, ...(only ? { panel: String(panel.id) } : {}), ...(plain ? { unit: plain } : {}) }
		// What was typed while the table was read is not to be written over.
		for (let text = bench.text; ; ) {
			const next = await papers.enter(text, wanted)
			setAnswer({ ...next, of: file.name })
			if (!next.entered) return
			const written = next.entered.text
			if (bench.replace(text, written)) return
			text = bench.now()
		}
	}
	return (
		<section class="table-in">
			<h3>Figures from a table</h3>
			<p class="hint">
				A measuring sheet’s table, one of strips on the old paint, or one of a check sheet, filled and saved as CSV.
			</p>
			<div class="form">
				<label>
					Open a table
					<input
						type="file"
						accept=".csv,.txt,.tsv,text/csv,text/plain"
						onChange={(event) => {
							const file = event.currentTarget.files?.[0]
							if (file) void open(file)
							event.currentTarget.value = ''
						}}
					/>
				</label>
				<label>
					Figures without a unit are
					<select value={plain} onChange={(event) => setPlain(event.currentTarget.value as typeof plain)}>
						<option value="">in {unit}, as in this job</option>
						<option value={unit === 'mm' ? 'in' : 'mm'}>in {unit === 'mm' ? 'inches' : 'mm'}</option>
					</select>
				</label>
				<label class="pick">
					<input type="checkbox" checked={only} onChange={(event) => setOnly(event.currentTarget.checked)} />
					Only for {panelTitle(panel)}
				</label>
			</div>
			<div role="status">{answer && <Became answer={answer} unit={unit} />}</div>
		</section>
	)
}

function Became({ answer, unit }: { readonly answer: Told; readonly unit: 'mm' | 'in' }) {
	const { entered, problems, fault, of } = answer
	return (
		<>
			{fault !== undefined && <p class="must">The table could not be read, by a fault of this program: {fault}.</p>}
			{entered && (
				<p>
					<strong>{of}:</strong>{' '}
					{entered.panels.length === 0
						? 'nothing in it is for this job.'
						: entered.panels.map((panel) => `${panel.title}: ${enteredWords(panel).counts}`).join('; ')}
					{entered.passed > 0 && `; ${entered.passed} rows of other panels passed over`}
				</p>
			)}
			{entered && (
				<ul>
					{entered.panels
						.flatMap((panel) => enteredWords(panel).more)
						.map((line) => (
							<li key={line}>{line}</li>
						))}
				</ul>
			)}
			{problems.length > 0 && (
				<ul class="problems">
					{problems.map(({ code, line, severity, found, expected, fix }) => (
						<li key={`${code} ${line} ${found}`} class={severity}>
							{line !== undefined && <strong>Line {line}: </strong>}
							{lengthsIn(found, unit)}; expected {lengthsIn(expected, unit)}. <em>{lengthsIn(fix, unit)}</em>
						</li>
					))}
				</ul>
			)}
		</>
	)
}

const notText = (file: string) => ({
	...{ code: 'NOT_TEXT', severity: 'error' as const, path: '', found: `${file}, which is no text` },
	...{ expected: 'a table saved as CSV', fix: 'Save it from the spreadsheet as CSV.' },
})
