/** What the schema cannot say of artwork: names of their own, one outline, one size. */
import type { ArtworkEntry } from './artworkSchema.ts'
import { checkUnique, type Findings, find } from './findings.ts'
import { listed } from './say.ts'

export function checkArtwork(findings: Findings, artwork: readonly ArtworkEntry[]): void {
	checkUnique(findings, artwork, '/artwork', 'artwork')
	for (const [index, { shape }] of artwork.entries()) {
		const path = `/artwork/${index}/shape`
		if (shape.kind === 'traced' && (shape.points === undefined) === (shape.loops === undefined)) {
			find(findings, () => ({
				code: 'TRACED_OUTLINE',
				path,
				found: shape.points ? 'both `points` and `loops`' : 'a tracing without an outline',
				expected: '`points` for one loop, or `loops` for several',
				fix: shape.points ? 'Put all of it into `loops`, and take `points` away.' : 'Write the places round it as `points`.',
			}))
		}
		if (shape.kind === 'drawing') {
			const sizes = (['width', 'height', 'known'] as const).filter((key) => shape[key] !== undefined)
			if (sizes.length < 2) continue
			find(findings, () => ({
				code: 'TOO_MANY_SIZES',
				path,
				found: `a drawing with ${listed(sizes, 'and')}`,
				expected: 'one known dimension: a drawing is made larger or smaller, never stretched',
				fix: 'Keep the one that was measured best.',
			}))
		}
	}
}
