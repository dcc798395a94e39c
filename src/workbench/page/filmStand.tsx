/** The films of the panel that is looked at, by thickness, drawn large. */
import { asImage } from './stepStand.tsx'
import type { PaintworkBench } from './usePaintwork.ts'

export function FilmStand({ panel, paintwork }: { readonly panel: string; readonly paintwork: PaintworkBench }) {
	const { view, stale } = paintwork
	const own = view?.films.find((one) => one.panel === panel)
	const svg = paintwork.picture(`films/${panel}`)
	return (
		<section class={stale ? 'film-stand stale' : 'film-stand'} aria-label="Films by thickness">
			{svg === undefined ? (
				<p class="drawing">being drawn…</p>
			) : (
				// Made by the program's own writer, which escapes what the job says.
				<figure class="step-picture" dangerouslySetInnerHTML={{ __html: asImage(svg) }} />
			)}
			{own && (
				<div class="film-words">
					<table class="step-rows">
						<caption>Paint films, clear not counted. Closer lines: thicker.</caption>
						<tbody>
							{own.films.map(({ says, paints, area }) => (
								<tr key={`${says} ${paints}`}>
									<th scope="row">{says}</th>
									<td>{paints}</td>
									<td>{area}</td>
								</tr>
							))}
						</tbody>
					</table>
					<ul class="said">
						{own.ridges.map(({ says }) => (
							<li key={says}>{says}</li>
						))}
					</ul>
				</div>
			)}
			{stale && <p class="stale-note">as it was before the last figures</p>}
		</section>
	)
}
