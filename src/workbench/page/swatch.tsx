/** The bands and gaps of a stripe side by side, in their paints and in proportion. */
import { readLength } from '../../units/length.ts'
import type { Data } from './bench.ts'

export function Swatch({ bands, paints }: { readonly bands: readonly Data[]; readonly paints: readonly Data[] | undefined }) {
	const parts = bands.map((band) => ({
		mm: widthOf('gap' in band ? band.gap : band.width),
		colour: 'gap' in band ? undefined : String(paints?.find(({ id }) => id === band.paint)?.colour ?? '#d8d2c4'),
	}))
	const whole = parts.reduce((sum, { mm }) => sum + mm, 0)
	const words = `${bands.filter((band) => !('gap' in band)).length} ${bands.length === 1 ? 'band' : 'bands'}`
	return (
		<>
			<span class="swatch" aria-hidden="true">
				{parts.map(({ mm, colour }, i) => (
					<span
						key={i}
						class={colour ? 'band' : ''}
						style={{ flexGrow: Math.max(0.08 * whole, mm), background: colour ?? 'none' }}
					/>
				))}
			</span>
			{words}
		</>
	)
}

/** Only for proportion: the unit does not matter as long as it is one. */
function widthOf(width: unknown): number {
	const one = Array.isArray(width) ? ((width[0] as Data | undefined)?.width as unknown) : width
	const answer = typeof one === 'number' || typeof one === 'string' ? readLength(one, 'mm') : undefined
	return answer?.ok ? Math.max(0, answer.mm) : 0
}
