/** A line of the card is signed off with a date, and may be taken up again. */
import type { Bench, Data } from './bench.ts'
import type { LineId } from './lines.ts'

export function SignOff({ bench, line, panel }: { readonly bench: Bench; readonly line: LineId; readonly panel: string }) {
	const signed = (Array.isArray(bench.job?.signed) ? bench.job.signed : []) as readonly Data[]
	const index = signed.findIndex((one) => one.line === line && (one.panel ?? panel) === panel)
	const one = signed[index]
	if (one) {
		return (
			<p class="signed">
				Signed off on {String(one.on)}.{' '}
				<button type="button" onClick={() => bench.remove(['signed'], index)}>
					Take it up again
				</button>
			</p>
		)
	}
	return (
		<p class="signed">
			<button type="button" onClick={() => bench.insert(['signed'], signed.length, { line, panel, on: today() })}>
				Sign off with today’s date
			</button>
		</p>
	)
}

/** "2031-05-14", as the clock on the wall has it. */
export function today(): string {
	const now = new Date()
	const two = (n: number) => String(n).padStart(2, '0')
	return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`
}
