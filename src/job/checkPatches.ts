/** Patches of one panel: names, hands, and the places round their rims. */
import { checkHand, checkRef, type LinesToCheck } from './checkLines.ts'
import { checkSpot } from './checkReadings.ts'
import { checkUnique, type Findings, find } from './findings.ts'
import { handOf, readRef } from './marks.ts'
import { mm } from './say.ts'
import type { PatchOutline } from './schema.ts'

type ToCheck = Pick<LinesToCheck, 'panel' | 'path' | 'marks'>

export function checkPatches(findings: Findings, about: ToCheck): void {
	const { panel, path } = about
	const patches = panel.patches ?? []
	checkUnique(findings, patches, `${path}/patches`, 'patch', panel.id)
	for (const [index, patch] of patches.entries()) checkPatch(findings, about, patch, `${path}/patches/${index}`)
}

function checkPatch(findings: Findings, about: ToCheck, patch: PatchOutline, path: string): void {
	const { panel } = about
	checkHand(findings, panel, patch.hand, `${path}/hand`)
	const hand = handOf(panel, patch.hand)
	const seen = new Set<string>()
	for (const [index, point] of patch.outline.entries()) {
		const here = `${path}/outline/${index}`
		const ref = typeof point === 'string' ? point : 'mark' in point ? point.mark : undefined
		if (ref !== undefined) checkRef(findings, about, ref, typeof point === 'string' ? here : `${here}/mark`, hand === 'across')
		else checkSpot(findings, panel, point as Spot, here)
		const name = ref ?? nameOf(point as Spot)
		if (seen.has(name)) {
			find(findings, () => ({
				...{ code: 'SAME_MARK', path: here, place: { panel: panel.id } },
				found: `${ref === undefined ? `the place at ${name}` : `"${ref}"`} a second time round "${patch.id}"`,
				expected: 'each place once: a rim comes back to its first place of itself',
				fix: 'Take it away, or correct it.',
			}))
		}
		seen.add(name)
		if (panel.hand === 'centre') checkOwnSide(findings, about, { point, ref }, patch, hand, here)
	}
}

interface Spot {
	readonly station: number
	readonly girth: number
	readonly side?: string
}

const nameOf = ({ station, girth, side }: Spot) =>
	`station ${mm(station)}${girth > 0 ? `, ${mm(girth)} ${side ?? ''}` : ''}`.trim()

/** A patch on one side has no place on the other; one that is mirrored is given on one side. */
function checkOwnSide(
	findings: Findings,
	{ panel }: ToCheck,
	{ point, ref }: { readonly point: PatchOutline['outline'][number]; readonly ref: string | undefined },
	patch: PatchOutline,
	hand: string,
	path: string,
): void {
	if (hand === 'across') return
	const side = sideOf(point)
	const first = patch.outline.map(sideOf).find((each) => each !== undefined)
	const own = hand === 'mirrored' ? first : hand
	if (side === undefined || side === own) return
	find(findings, () => ({
		...{ code: 'SIDE_WRONG', path, place: { panel: panel.id } },
		found: `${ref === undefined ? 'a place' : `"${ref}"`} on the ${side} of a patch ${hand === 'mirrored' ? `that was begun on the ${own}` : `of the ${own} only`}`,
		expected: 'a patch on one side of the centreline, or "hand": "across"',
		fix: 'Correct the side, or write "hand": "across" for a patch that lies over the centreline.',
	}))
}

function sideOf(point: PatchOutline['outline'][number]): string | undefined {
	if (typeof point === 'string') return readRef(point).side
	return 'mark' in point ? readRef(point.mark).side : point.side
}
