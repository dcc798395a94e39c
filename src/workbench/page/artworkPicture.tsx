/** What is printed of an artwork, from its outlines and flat colours as they were worked out: never the file that they came from. */
import type { ArtworkView } from '../decalView.ts'
import type { Line } from '../scene.ts'

/** y down, as pictures on a page have it. */
export const pathOf = (loops: readonly Line[]) =>
	loops
		.map((loop) => {
			const places: string[] = []
			for (let i = 0; i + 1 < loop.length; i += 2) places.push(`${loop[i]} ${-(loop[i + 1] as number)}`)
			return `M${places.join('L')}Z`
		})
		.join('')

export function ArtworkPicture({ artwork, title }: { readonly artwork: ArtworkView; readonly title: string }) {
	const { width, height, inks } = artwork
	const edge = 0.06 * Math.max(width, height)
	const box = [-width / 2 - edge, -height / 2 - edge, width + 2 * edge, height + 2 * edge]
	return (
		<svg class="artwork-picture" viewBox={box.join(' ')} role="img" aria-label={`${title}, as it is printed`}>
			{inks.map(({ loops, colour }, i) => (
				<path key={i} d={pathOf(loops)} fill={colour} fill-rule="nonzero" />
			))}
		</svg>
	)
}
